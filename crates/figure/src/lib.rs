//! The figure: figure.toml, photo and mask intake, and the three planes of the underpainting.
//!
//! Bytes in, planes out: nothing here opens a file. [`read_figure_file`] reads the text, [`plate`] photo and mask,
//! [`underpainting`] splits the tone into substrate, light and relief; [`regions()`] makes a mask of rough strokes.

mod checks;
mod figure_file;
mod ground;
mod intake;
mod plate;
mod regions;
mod schema;
pub mod swatch;

pub use checks::{detail_checks, tone_checks};
pub use figure_file::{
    DEFAULT_COUNT, DEFAULT_HEIGHT_MM, FORMAT, FigureFile, MASK_TOLERANCE, MOST_REGIONS,
    RegionEntry, UndercoatEntry, UndercoatKind, read_figure_file,
};
pub use ground::{
    CropBox, FigureSummary, From, Place, RegionSummary, SimulatedUndercoat, Sourced,
    UndercoatPoints, Underpainting, simulated_bounce, simulated_substrate, underpainting,
};
pub use intake::{
    BlendedEdges, DecodeLimits, MaskFit, Orientation, Patch, Photo, decode_photo, named_in, plate,
    read_mask,
};
pub use plate::Plate;
pub use regions::{
    Fate, Island, MOST_REFINE_PX, Marked, Marks, Regions, mask_png, overlay, picture_png,
    read_marks, refined, regions,
};
pub use schema::json_schema;
