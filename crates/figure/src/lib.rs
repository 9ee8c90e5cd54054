//! The figure: figure.toml, photo and mask intake, and the three planes of the underpainting.
//!
//! Bytes in, planes out: nothing here opens a file. [`read_figure_file`] reads the text, [`plate`] photo and mask,
//! [`underpainting`] splits the tone into substrate, light and relief.

mod checks;
mod figure_file;
mod figure_keys;
mod ground;
mod intake;
mod mask;
mod material;
mod own_range;
mod parts;
mod plate;

pub use checks::{detail_checks, same_light_photo, tone_checks};
pub use figure_file::{
    FigureFile, OwnStep, RegionEntry, UndercoatEntry, named_in, read_figure_file,
};
pub use figure_keys::{FIGURE_FILE, UndercoatKind};
pub use ground::{
    FigureSummary, Grey, Origin, RegionSummary, SimulatedUndercoat, Sourced, UndercoatPoints,
    Underpainting, ground_bytes, simulated_bounce, simulated_substrate, underpainting,
};
pub use intake::plate;
pub use mask::{BlendedEdges, read_mask};
pub use material::{ColourRange, Material, NO_HUE};
pub use own_range::{MOST_RANGES, OwnRange};
pub use parts::{Part, guesses, parts};
pub use plate::{CropBox, Plate, Subject};
