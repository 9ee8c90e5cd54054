//! What every stage is held to, in process and out of it. In: nothing. Out: constants.
//!
//! The same numbers as for external stages (`plugin-host`), but for memory and work: a stage in process is not contained.

/// Longest name and longest version, in characters.
pub const NAME_CHARS: usize = 40;
/// Longest of what a stage says of itself, sentence by sentence, in characters.
pub const SENTENCE_CHARS: usize = 300;
/// Least number of a frame or table: room for colours outside sRGB.
pub const LEAST_NUMBER: f32 = -1.0;
/// Largest number of a frame or table: room for glints.
pub const LARGEST_NUMBER: f32 = 1000.0;
/// Largest light per unit of the light plane; the least is more than 0.
pub const LARGEST_LIGHT_UNIT: f32 = 1.0;
/// Bytes of the longest text next to a sheet.
pub const TEXT_BYTES: usize = 4 << 20;
/// Longest side of a sheet's picture, in pixels.
pub const SHEET_SIDE_PX: u32 = 65_535;
/// Codes by which a finish's own work and its kernel may differ.
pub const KERNEL_CODES: u8 = 1;
