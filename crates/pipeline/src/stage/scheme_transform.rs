//! Scheme transform: scheme → scheme.

use velatura_optics::diagnostic::Diagnostic;
use velatura_scheme::Scheme;

use super::{SchemeRequest, Stage};
use crate::parameters::Parameters;

/// Changes a scheme before anything is computed from it. All transforms in use run, in the order of their registration.
pub trait SchemeTransform: Stage {
    /// The scheme, changed, under the same name.
    ///
    /// A coat and its mix stand at the same place of [`velatura_scheme::RegionStack`]'s two lists; the optics of a changed
    /// mix come from `request.paints.mixed(&mix)`.
    ///
    /// # Errors
    /// Why it cannot; all schemes are shown then as they were before this stage.
    fn transform(
        &self,
        scheme: &Scheme,
        request: &SchemeRequest<'_>,
        parameters: &Parameters,
    ) -> Result<Scheme, Diagnostic>;
}
