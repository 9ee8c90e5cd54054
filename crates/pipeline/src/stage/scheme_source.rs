//! Scheme source: figure and paints → schemes.

use velatura_optics::calibrate::PaintBox;
use velatura_optics::diagnostic::Diagnostic;
use velatura_optics::document::SourceText;
use velatura_scheme::Scheme;

use super::Stage;
use crate::parameters::Parameters;

/// What a scheme source works from.
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

/// Gives schemes. All sources in use are asked; what they give stands in the order of their registration.
pub trait SchemeSource: Stage {
    /// The schemes, with warnings.
    ///
    /// # Errors
    /// All problems at once; the schemes of the other sources are shown then without these.
    fn schemes(
        &self,
        request: &SchemeRequest<'_>,
        parameters: &Parameters,
    ) -> Result<(Vec<Scheme>, Vec<Diagnostic>), Vec<Diagnostic>>;
}
