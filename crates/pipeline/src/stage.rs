//! The stages: small traits with plain data in and out, one for each place where a plugin can attach.
//!
//! A stage says what it is in [`StageInfo`]; `velatura plugins` lists that. Built-ins go through the same registry.

use serde::Serialize;
use velatura_figure::{DecodeLimits, FigureFile, Photo, Plate, UndercoatPoints, Underpainting};
use velatura_optics::calibrate::PaintBox;
use velatura_optics::diagnostic::Diagnostic;
use velatura_optics::document::SourceText;
use velatura_optics::table::Table;
use velatura_scheme::{RegionStack, Scheme};
use velatura_shaders::{Pixel, Planes, finish};

use crate::error::Error;
use crate::sheet::{SheetFile, SheetPicture, SheetRequest};

/// Where a stage attaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum AttachPoint {
    /// Bytes → plate.
    Intake,
    /// Plate → underpainting.
    Ground,
    /// Figure and paints → schemes.
    SchemeSource,
    /// Coats → table.
    CoatModel,
    /// Frame → frame.
    Finish,
    /// Frames and report → files.
    Sheet,
}

/// What a stage says of itself.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StageInfo {
    /// Where it attaches.
    pub attach_point: AttachPoint,
    /// Its name, unique at its attach point.
    pub name: String,
    /// Its version.
    pub version: String,
    /// What it takes, in a few words.
    pub takes: String,
    /// What it gives, in a few words.
    pub gives: String,
    /// JSON Schema of its parameters; `{}` where it has none.
    pub parameters: serde_json::Value,
    /// How far around a pixel it looks, in pixels; 0 where every pixel stands alone, absent where it sees the whole.
    pub reach_px: Option<u32>,
    /// Whether the same input always gives the same bytes.
    pub deterministic: bool,
}

/// What every stage can do: say what it is.
pub trait Stage: Send + Sync {
    /// What it is.
    fn info(&self) -> StageInfo;
}

/// Reads photo and mask.
pub trait Intake: Stage {
    /// A plate from the bytes of photo and mask.
    ///
    /// # Errors
    /// Diagnostics that name the file, what was found and how to mend it.
    fn plate(
        &self,
        figure: &FigureFile,
        photo: &[u8],
        mask: &[u8],
        limits: &DecodeLimits,
    ) -> Result<(Plate, Vec<Diagnostic>), Vec<Diagnostic>>;

    /// A further photo of the figure (the light photo).
    ///
    /// # Errors
    /// As [`Intake::plate`].
    fn photo(
        &self,
        name: &str,
        bytes: &[u8],
        limits: &DecodeLimits,
    ) -> Result<(Photo, Vec<Diagnostic>), Diagnostic>;
}

/// Splits a plate into substrate, light and relief.
pub trait Ground: Stage {
    /// The underpainting of a plate.
    ///
    /// # Errors
    /// Diagnostics, such as a light photo of another size.
    fn underpainting(
        &self,
        plate: Plate,
        figure: &FigureFile,
        light_photo: Option<Photo>,
    ) -> Result<(Underpainting, Vec<Diagnostic>), Diagnostic>;
}

/// What a scheme source works from.
#[derive(Debug, Clone, Copy)]
pub struct SchemeRequest<'a> {
    /// The text that says which schemes are wanted.
    pub source: &'a SourceText,
    /// The figure's regions, in its order.
    pub regions: &'a [String],
    /// The figure file's name, for messages.
    pub figure_name: &'a str,
    /// The paints.
    pub paints: &'a PaintBox,
    /// The paints file's name, for messages.
    pub paints_name: &'a str,
}

/// Gives schemes.
pub trait SchemeSource: Stage {
    /// The schemes, with warnings.
    ///
    /// # Errors
    /// All problems of the source at once.
    fn schemes(
        &self,
        request: &SchemeRequest<'_>,
    ) -> Result<(Vec<Scheme>, Vec<Diagnostic>), Vec<Diagnostic>>;
}

/// Turns the coats of one region into a table over substrate and relief.
pub trait CoatModel: Stage {
    /// The table; `None` where no coat lies.
    fn table(
        &self,
        scheme: &Scheme,
        stack: &RegionStack,
        points: &UndercoatPoints,
        paints: &PaintBox,
        lamp: [f64; 3],
    ) -> Option<Table>;
}

/// A run of whole rows of one scheme, before it is encoded.
#[derive(Debug)]
pub struct FrameBand<'a> {
    /// Pixels per row.
    pub width: usize,
    /// The planes of these rows.
    pub planes: Planes<'a>,
    /// Linear sRGB and coverage, to be changed in place.
    pub pixels: &'a mut [Pixel],
}

/// Changes a frame: varnish, another eye, another distance.
pub trait Finish: Stage {
    /// Whether it has anything to do for this scheme.
    fn applies(&self, scheme: &Scheme) -> bool;
    /// Changes the rows in place. Rows within the declared reach of the band's edge are thrown away afterwards.
    fn finish(&self, scheme: &Scheme, band: &mut FrameBand<'_>);
    /// The parameters with which the kernel `finish` does the same, so that a device can; `None` sends the scheme to the
    /// processor.
    fn kernel(&self, scheme: &Scheme) -> Option<finish::Params> {
        let _ = scheme;
        None
    }
}

/// Lays frames out.
pub trait Sheet: Stage {
    /// The size that each picture must have, width × height.
    fn picture_size(&self, request: &SheetRequest) -> (u32, u32);
    /// The files of the sheet.
    ///
    /// # Errors
    /// What stopped the drawing or the encoding.
    fn files(
        &self,
        request: &SheetRequest,
        pictures: &[SheetPicture],
    ) -> Result<Vec<SheetFile>, Error>;
}
