//! Schemes: `schemes.toml`, its coats made into optics, colours predicted and mixes matched. Knows nothing of pixels.

pub mod matching;
mod mix_text;
mod prediction;
mod resolve;
mod schema;
mod schemes_file;

pub use mix_text::{mix_text, named_parts, read_mix};
pub use prediction::{EvenCoat, Predicted, Substrate, predicted};
pub use resolve::{MEDIUM, MID_GREY, RegionStack, Scheme, resolve};
pub use schema::json_schema;
pub use schemes_file::{
    CoatEntry, FORMAT, SchemeEntry, SchemesFile, THICKEST_FILM, Varnish, read_schemes_file,
};
