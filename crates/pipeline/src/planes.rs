//! The planes of an underpainting for the kernels.

use velatura_figure::Underpainting;
use velatura_shaders::Planes;

/// The planes of a whole underpainting for the kernels.
#[must_use]
pub fn planes(underpainting: &Underpainting) -> Planes<'_> {
    Planes {
        substrate: &underpainting.substrate,
        relief: &underpainting.relief,
        light: &underpainting.light,
        region: &underpainting.subject.region,
        light_unit: underpainting.light_unit,
    }
}
