//! Finish: frame → frame.

use velatura_optics::diagnostic::Diagnostic;
use velatura_scheme::Scheme;
use velatura_shaders::{Pixel, Planes, finish};

use super::Stage;
use crate::parameters::Parameters;

/// A run of whole rows of one scheme, before it is encoded.
#[derive(Debug)]
pub struct FrameBand<'a> {
    /// Pixels per row.
    pub width: usize,
    /// How many rows of the picture lie above this band.
    pub first_row: usize,
    /// Rows of the whole picture.
    pub picture_rows: usize,
    /// Pixels per millimetre of the figure, at the scale of this picture.
    pub px_per_mm: f64,
    /// The planes of these rows.
    pub planes: Planes<'a>,
    /// Linear sRGB and coverage, to be changed in place; row-major, `width` a row.
    pub pixels: &'a mut [Pixel],
}

/// Changes a frame: varnish, dust, another eye. All finishes in use run, in the order of their registration.
pub trait Finish: Stage {
    /// Whether it has anything to do for this scheme.
    fn applies(&self, scheme: &Scheme) -> bool {
        let _ = scheme;
        true
    }

    /// Changes the rows in place. Rows within the declared reach of the band's edge are thrown away afterwards, unless the
    /// picture ends there. A band is cut anywhere: what comes out of a row must not depend on it.
    ///
    /// # Errors
    /// Why it cannot; the whole picture is made again then without this stage, so the band may be left half changed.
    fn finish(
        &self,
        scheme: &Scheme,
        band: &mut FrameBand<'_>,
        parameters: &Parameters,
    ) -> Result<(), Diagnostic>;

    /// The parameters with which the kernel `finish` does the same, so that a device can; `None` sends the scheme to the
    /// processor.
    fn kernel(&self, scheme: &Scheme, parameters: &Parameters) -> Option<finish::Params> {
        let _ = (scheme, parameters);
        None
    }
}
