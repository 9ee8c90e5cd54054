//! Schemes: `schemes.toml`, and its coats made into optics. Knows nothing of pixels.

mod explore;
mod ground;
mod oppose;
mod resolve;
mod schema;
mod schemes_file;
mod spill;
mod words;
mod written;

pub use explore::{Exploration, Exploring, Mood, Proposal, Rival, explore};
pub use ground::{FigureGround, Grey, mean_dried};
pub use oppose::{
    Helpful, HueSpace, Opposed, OpposedRegion, Opposing, Undercoat, Way, oppose, opposite, shown,
};
pub use resolve::{MEDIUM, MID_GREY, RegionStack, Scheme, resolve};
pub use schema::json_schema;
pub use schemes_file::{CoatEntry, FORMAT, SchemeEntry, SchemesFile, Varnish, read_schemes_file};
pub use spill::{Spill, painting_order, spills};
pub use words::{PLACES, UNDERCOATS, VARNISHES, word_for};
pub use written::{Proposed, schemes_text};
