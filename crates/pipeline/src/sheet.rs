//! What passes between the pipeline and a sheet stage: the request, the pictures, the files.

use velatura_optics::colour::Encoded;

use crate::parameters::Parameters;

/// The contact sheet's name in the output folder.
pub const SHEET_FILE: &str = "sheet.png";

/// The request for a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetRequest {
    /// The figure's name.
    pub heading: String,
    /// How it was photographed and primed.
    pub sub_heading: String,
    /// Size of the figure's crop in photo pixels, width × height.
    pub crop: (u32, u32),
    /// Columns; `None`: chosen to fit.
    pub columns: Option<u32>,
    /// Pixels of the sheet's longer edge; `None`: chosen to fit.
    pub long_edge: Option<u32>,
    /// One per scheme.
    pub schemes: Vec<SheetScheme>,
    /// The sheet stage's own parameters.
    pub parameters: Parameters,
}

/// The words and chips under one picture.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetScheme {
    /// The scheme's name.
    pub name: String,
    /// The team that wears it; may be empty.
    pub team: String,
    /// The undercoat in words.
    pub undercoat: String,
    /// The varnish in words.
    pub finish: String,
    /// One per painted region.
    pub chips: Vec<SheetChip>,
}

/// Two colours of a region: what the eye sees on the figure, and the paint alone.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetChip {
    /// The region's name.
    pub region: String,
    /// Mean of its pixels in the picture, in linear light; as `dried` if the photo does not show it.
    pub seen: Encoded,
    /// Dried colour of its coats on mid grey at medium relief.
    pub dried: Encoded,
}

/// A finished picture of one scheme, 8-bit sRGB, row-major.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetPicture {
    /// Pixels per row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Pixels.
    pub pixels: Vec<[u8; 3]>,
}

/// A file that a sheet stage made.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetFile {
    /// Path inside the output folder, with forward slashes.
    pub path: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}
