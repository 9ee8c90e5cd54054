//! Schemes: `schemes.toml`, and its coats made into optics. Knows nothing of pixels.

mod resolve;
mod schema;
mod schemes_file;

pub use resolve::{MEDIUM, MID_GREY, RegionStack, Scheme, resolve};
pub use schema::json_schema;
pub use schemes_file::{CoatEntry, FORMAT, SchemeEntry, SchemesFile, Varnish, read_schemes_file};
