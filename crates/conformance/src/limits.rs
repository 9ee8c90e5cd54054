//! The limits of every stage, in process and as a plugin. In: nothing. Out: constants.
//!
//! The same numbers as for plugins (`plugin-host`), except for memory and work, which are not limited in process.

/// Longest name and longest version, in characters.
pub const NAME_CHARS: usize = 40;
/// Longest sentence of a stage's description, in characters.
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
/// Largest difference in codes between a finish and its kernel.
pub const KERNEL_CODES: u8 = 1;
