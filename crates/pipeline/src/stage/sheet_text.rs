//! Sheet text: report → a text file next to the sheet.

use serde::Serialize;
use velatura_document::Diagnostic;

use super::Stage;
use crate::parameters::Parameters;

/// The format of a text. None of them can run code when it is opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum TextKind {
    /// Plain text.
    Txt,
    /// Comma-separated values (RFC 4180).
    Csv,
    /// JSON (RFC 8259).
    Json,
    /// Markdown.
    Md,
}

impl TextKind {
    /// The file ending, without the dot.
    #[must_use]
    pub fn ending(self) -> &'static str {
        match self {
            Self::Txt => "txt",
            Self::Csv => "csv",
            Self::Json => "json",
            Self::Md => "md",
        }
    }
}

/// Writes one text about a whole render: a shopping list, notes for the table. All in use are called; each writes `texts/<stage
/// name>.<ending>` in the output folder.
///
/// # Example
/// A list of schemes and their varnishes. `velatura_conformance::small_report` shows which keys a report has:
///
/// ```
/// use velatura_document::Diagnostic;
/// use velatura_pipeline::serde_json::{Value, from_str};
/// use velatura_pipeline::stage::{AttachPoint, SheetText, Stage, StageInfo, TextKind};
/// use velatura_pipeline::{AnyStage, Cancel, Parameters, Run, Session};
///
/// struct SchemeList;
///
/// impl Stage for SchemeList {
///     fn info(&self) -> StageInfo {
///         StageInfo::new(AttachPoint::SheetText, "scheme-list", "1.0.0")
///             .with_words("report.json", "a line per scheme")
///     }
/// }
///
/// impl SheetText for SchemeList {
///     fn kind(&self) -> TextKind {
///         TextKind::Txt
///     }
///
///     fn text(&self, report: &str, _: &Parameters) -> Result<String, Diagnostic> {
///         let report: Value = from_str(report)
///             .map_err(|problem| Diagnostic::error("report.json", problem.to_string()))?;
///         let mut text = String::new();
///         for scheme in report["schemes"].as_array().into_iter().flatten() {
///             let word = |key: &str| scheme[key].as_str().unwrap_or_default();
///             text += &format!("{}: {}\n", word("name"), word("finish"));
///         }
///         Ok(text)
///     }
/// }
///
/// let session = Session::builder()
///     .built_in_stages()
///     .stage(AnyStage::SheetText(Box::new(SchemeList)))
///     .build()?;
///
/// let job = velatura_conformance::small_job(&session)?;
/// let run = Run::new(&job, &Cancel::default());
/// let files = run.sheet_texts(velatura_conformance::small_report())?;
/// assert_eq!(files[0].path, "texts/scheme-list.txt");
/// assert!(files[0].bytes.starts_with(b"Foglight: matte\nWick Smoke: satin\n"));
///
/// let report = velatura_conformance::check(&AnyStage::SheetText(Box::new(SchemeList)));
/// assert_eq!(report.breaches(), [], "{report}");
/// # Ok::<(), velatura_pipeline::Error>(())
/// ```
pub trait SheetText: Stage {
    /// The format of the text.
    fn kind(&self) -> TextKind;

    /// The text. `report` is the text of `report.json`, except for failures of sheet texts.
    ///
    /// # Errors
    /// Why there is none; nothing else is missing then.
    fn text(&self, report: &str, parameters: &Parameters) -> Result<String, Diagnostic>;
}
