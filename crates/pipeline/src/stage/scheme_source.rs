//! Scheme source: figure and paints → schemes.

use velatura_document::{Diagnostic, SourceText, Warned, in_file_order};
use velatura_optics::calibrate::PaintBox;
use velatura_scheme::{Scheme, read_schemes_file_in_part, resolve_shared};

use super::Stage;
use crate::parameters::Parameters;

/// The input of a scheme source.
#[derive(Debug, Clone, Copy)]
pub struct SchemeRequest<'a> {
    /// The text of the schemes file, if there is one.
    pub source: Option<&'a SourceText>,
    /// The figure's regions, in its order.
    pub regions: &'a [String],
    /// The figure file's name, for messages.
    pub figure_name: &'a str,
    /// The paints.
    pub paints: &'a PaintBox,
    /// The paints file's name, for messages.
    pub paints_name: &'a str,
}

impl SchemeRequest<'_> {
    /// The schemes of a text as in `schemes.toml`, with warnings; `name` is its name in messages.
    ///
    /// # Errors
    /// Every problem of the text, every unknown paint, and every region whose name is nearly that of one of the figure. Coats on
    /// other unknown regions are skipped with a warning: the photo may not show the part.
    pub fn read(&self, name: &str, text: &str) -> Result<Warned<Vec<Scheme>>, Vec<Diagnostic>> {
        let source = SourceText::from_bytes(name, text.as_bytes().to_vec())
            .map_err(|problem| vec![problem])?;
        self.read_source(&source)
    }

    /// Like [`SchemeRequest::read`], for a text with a name.
    ///
    /// # Errors
    /// As [`SchemeRequest::read`].
    pub fn read_source(&self, source: &SourceText) -> Result<Warned<Vec<Scheme>>, Vec<Diagnostic>> {
        let read = read_schemes_file_in_part(source);
        let is_wrong = read.is_wrong();
        let mut problems = read.problems;
        let Some(file) = read.value else {
            return Err(problems);
        };
        let resolved = resolve_shared(
            &file,
            self.regions,
            self.figure_name,
            self.paints,
            self.paints_name,
        );
        match resolved {
            Ok(schemes) if !is_wrong => {
                let schemes = schemes.into_value(&mut problems);
                Ok(Warned::new(schemes, problems))
            }
            Ok(_) => Err(problems),
            Err(unknown) => {
                problems.retain(Diagnostic::is_error);
                problems.extend(unknown);
                in_file_order(&mut problems);
                Err(problems)
            }
        }
    }
}

/// Provides schemes. All sources in use are called; their schemes are in the order of registration.
///
/// # Example
/// A source of one scheme, clear medium everywhere, for comparison. It writes the text that a user would write:
///
/// ```
/// use std::fmt::Write as _;
///
/// use velatura_document::{Diagnostic, Warned};
/// use velatura_pipeline::scheme::Scheme;
/// use velatura_pipeline::stage::{AttachPoint, SchemeRequest, SchemeSource, Stage, StageInfo};
/// use velatura_pipeline::{AnyStage, Parameters, Session};
///
/// struct ClearCoat;
///
/// impl Stage for ClearCoat {
///     fn info(&self) -> StageInfo {
///         StageInfo::new(AttachPoint::SchemeSource, "clear-coat", "1.0.0")
///             .with_words("regions", "a scheme of medium alone")
///     }
/// }
///
/// impl SchemeSource for ClearCoat {
///     fn schemes(
///         &self,
///         request: &SchemeRequest<'_>,
///         _: &Parameters,
///     ) -> Result<Warned<Vec<Scheme>>, Vec<Diagnostic>> {
///         let mut text = String::from("format = \"velatura-schemes/1\"\n");
///         text += "[[scheme]]\nname = \"Clear coat\"\nundercoat = \"as-photographed\"\n";
///         for region in request.regions {
///             let _ = write!(text, "[[scheme.coat]]\nregion = {region:?}\n");
///             text += "mix = { medium = 1 }\nfilm = 1.0\n";
///         }
///         request.read("clear-coat", &text)
///     }
/// }
///
/// let session = Session::builder()
///     .built_in_stages()
///     .stage(AnyStage::SchemeSource(Box::new(ClearCoat)))
///     .build()?;
///
/// let job = velatura_conformance::small_job(&session)?;
/// let names: Vec<&str> = job.schemes.iter().map(|scheme| &*scheme.name).collect();
/// assert_eq!(names, ["Foglight", "Wick Smoke", "Harbour Glass", "Clear coat"]);
///
/// let report = velatura_conformance::check(&AnyStage::SchemeSource(Box::new(ClearCoat)));
/// assert_eq!(report.breaches(), [], "{report}");
/// # Ok::<(), velatura_pipeline::Error>(())
/// ```
pub trait SchemeSource: Stage {
    /// The schemes, with warnings.
    ///
    /// # Errors
    /// All problems at once; only the schemes of the other sources are then shown.
    fn schemes(
        &self,
        request: &SchemeRequest<'_>,
        parameters: &Parameters,
    ) -> Result<Warned<Vec<Scheme>>, Vec<Diagnostic>>;
}
