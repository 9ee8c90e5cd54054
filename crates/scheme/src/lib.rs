//! Schemes: reading `schemes.toml`, the optics of its coats, predicted colours and matched mixes. Without pixels.

pub mod apart;
mod brush;
mod changed;
mod explore;
mod ground;
pub mod matching;
mod mix_text;
mod oppose;
mod prediction;
mod resolve;
mod schemes_file;
mod schemes_keys;
mod shared;
mod spill;
mod watch;
mod words;
mod written;

pub use brush::{brush_coats, thin_coats};
pub use changed::Change;
pub use explore::{
    Exploration, Exploring, MOST_COLOURS as MOST_EXPLORED_COLOURS, Mood, Proposal, Rival, explore,
    explore_watched,
};
pub use ground::{FigureGround, mean_dried};
pub use mix_text::{mix_text, named_parts, read_mix};
pub use oppose::{
    DistinctOpposite, Helpful, HueSpace, Opposed, OpposedRegion, Opposing, Stays, Undercoat, Way,
    distinct_opposite, oppose, oppose_watched, opposite, shown,
};
pub use prediction::{EvenCoat, Predicted, Substrate, predicted};
pub use resolve::{
    KnownPaints, KnownRegions, MEDIUM, MID_GREY, RegionStack, Scheme, kept_mixes, resolve,
    unknown_names,
};
pub use schemes_file::{
    CoatEntry, SchemeEntry, SchemesFile, read_schemes_file, read_schemes_file_in_part,
};
pub use schemes_keys::{SCHEMES_FILE, THICKEST_FILM};
pub use shared::resolve_shared;
pub use spill::{Spill, painting_order, spills, spills_in_order};
pub use velatura_document::word_for;
pub use watch::Watch;
pub use words::{PLACES, UNDERCOATS, VARNISHES, Varnish};
pub use written::{Proposed, schemes_text};
