//! Photo and mask to plate, plate to underpainting: `velatura-figure` does the work.

use velatura_document::{Diagnostic, Warned};
use velatura_figure::{FigureFile, Plate, Underpainting};
use velatura_photo::{DecodeLimits, Photo};

use super::info;
use crate::parameters::Parameters;
use crate::stage::{AttachPoint, Ground, Intake, Stage, StageInfo};

/// Reads JPEG, PNG, TIFF and WebP.
#[derive(Debug)]
pub(super) struct PhotoAndMask;

impl Stage for PhotoAndMask {
    fn info(&self) -> StageInfo {
        let takes = "photo (JPEG, PNG, TIFF, WebP; EXIF rotation, ICC profile) and mask";
        info(
            AttachPoint::Intake,
            "photo-and-mask",
            takes,
            "plate: sRGB, luminance, region per pixel",
        )
    }
}

impl Intake for PhotoAndMask {
    fn plate(
        &self,
        figure: &FigureFile,
        photo: &[u8],
        mask: &[u8],
        limits: &DecodeLimits,
        _: &Parameters,
    ) -> Result<Warned<Plate>, Vec<Diagnostic>> {
        velatura_figure::plate(figure, photo, mask, limits)
    }

    fn photo(
        &self,
        name: &str,
        bytes: &[u8],
        limits: &DecodeLimits,
    ) -> Result<Warned<Photo>, Diagnostic> {
        velatura_photo::decode_photo(name, bytes, limits)
    }
}

/// Splits tone into substrate, light and relief.
#[derive(Debug)]
pub(super) struct ThreePlanes;

impl Stage for ThreePlanes {
    fn info(&self) -> StageInfo {
        info(
            AttachPoint::Ground,
            "three-planes",
            "plate, optional light photo",
            "substrate, light, relief",
        )
    }
}

impl Ground for ThreePlanes {
    fn underpainting(
        &self,
        plate: Plate,
        figure: &FigureFile,
        light_photo: Option<Photo>,
        _: &Parameters,
    ) -> Result<Warned<Underpainting>, Diagnostic> {
        velatura_figure::underpainting(plate, figure, light_photo)
    }
}
