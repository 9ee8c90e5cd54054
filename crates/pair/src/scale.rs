//! How large things are: a figure in its photo, two figures side by side, a figure on a screen as seen at the table.
//!
//! In: masks, millimetres, a screen. Out: pixels. A figure's height in the photo is that of all its regions together, and
//! is taken to be the `height_mm` of its file.

use velatura_document::{Diagnostic, Hint};
use velatura_pipeline::figure::CropBox;
use velatura_pipeline::{Error, Job};

/// Viewing distances at the table, in mm; a choice: the near edge of your own side, the far edge, across the table, and further back.
pub(crate) const DISTANCES_MM: [f64; 3] = [600.0, 1000.0, 2000.0];

/// Height of the taller figure's picture close up, in pixels; a choice.
const CLOSE_UP_PX: f64 = 880.0;

/// Tallest view across the table, in pixels: larger ones would not fit on a page.
const TALLEST_VIEW_PX: f64 = 3000.0;

const MM_PER_INCH: f64 = 25.4;

/// The screen that the page is viewed on, and the viewing distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Screen {
    /// Pixels per inch.
    pub ppi: f64,
    /// Distance of the eyes from it, in mm.
    pub distance_mm: f64,
}

impl Default for Screen {
    /// The reference pixel of CSS: 96 pixels per inch seen from 28 inches (W3C, CSS Values and Units Level 4, 6.2).
    fn default() -> Self {
        Self {
            ppi: 96.0,
            distance_mm: 28.0 * MM_PER_INCH,
        }
    }
}

impl Screen {
    /// Pixels of this screen that look as large as one millimetre seen from `distance_mm` away.
    pub(crate) fn px_per_mm(&self, distance_mm: f64) -> f64 {
        self.distance_mm / distance_mm * self.ppi / MM_PER_INCH
    }
}

/// A figure in its photo.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stance {
    /// The part of the photo that is shown.
    pub(crate) crop: CropBox,
    /// Pixels of the photo per mm of the figure.
    pub(crate) photo_px_per_mm: f64,
    /// From the figure's feet down to the lower edge of the crop, in mm.
    pub(crate) below_mm: f64,
}

impl Stance {
    /// Finds a job's figure in its photo.
    ///
    /// # Errors
    /// If no pixel of the photo belongs to a region: the height of the figure is then unknown.
    pub(crate) fn of(job: &Job) -> Result<Self, Error> {
        let crop = job.underpainting.crop_box();
        let figure = job.underpainting.figure_box().ok_or_else(|| {
            Diagnostic::error(
                job.figure.mask.value.clone(),
                "no pixel belongs to a region, so the height of the figure in the photo is unknown",
            )
            .expected("pixels in the mask colours of the regions")
            .help("paint the mask in the colours of the figure file")
        })?;
        let photo_px_per_mm = f64::from(figure.height) / job.figure.height_mm;
        let below = (crop.y + crop.height) - (figure.y + figure.height);
        Ok(Self {
            crop,
            photo_px_per_mm,
            below_mm: f64::from(below) / photo_px_per_mm,
        })
    }

    /// Width and height of the crop in mm.
    pub(crate) fn size_mm(&self) -> (f64, f64) {
        let mm = |px: u32| f64::from(px) / self.photo_px_per_mm;
        (mm(self.crop.width), mm(self.crop.height))
    }

    /// Width and height of the crop at a scale, in whole pixels, at least 1.
    pub(crate) fn size_px(&self, px_per_mm: f64) -> (u32, u32) {
        let (width, height) = self.size_mm();
        (whole(width * px_per_mm), whole(height * px_per_mm))
    }

    /// From the feet down to the crop's lower edge at a scale, in whole pixels.
    pub(crate) fn below_px(&self, px_per_mm: f64) -> u32 {
        let below = rounded(self.below_mm * px_per_mm);
        below.min(self.size_px(px_per_mm).1)
    }
}

/// The scale at which both crops, feet on one line, are at most `tallest_px` tall and together at most `widest_px` wide.
pub(crate) fn shared_scale(stances: &[Stance; 2], tallest_px: f64, widest_px: f64) -> f64 {
    let [a, b] = stances.map(|stance| stance.size_mm());
    let below = stances[0].below_mm.max(stances[1].below_mm);
    let above = (a.1 - stances[0].below_mm).max(b.1 - stances[1].below_mm);
    // A pixel of each length may be lost or won by rounding.
    ((tallest_px - 2.0) / (above + below)).min((widest_px - 2.0) / (a.0 + b.0))
}

/// Pixels per mm of the close-up, for two figures on `widest_px` pixels.
pub(crate) fn close_up_scale(stances: &[Stance; 2], widest_px: f64) -> f64 {
    shared_scale(stances, CLOSE_UP_PX, widest_px)
}

/// Refuses a screen on which a figure at the table would be too large for any page.
///
/// # Errors
/// Names the figure, its size and what to change.
pub(crate) fn check_screen(screen: &Screen, job: &Job, stance: &Stance) -> Result<(), Error> {
    let tall = stance.size_mm().1 * screen.px_per_mm(DISTANCES_MM[0]);
    if tall <= TALLEST_VIEW_PX {
        return Ok(());
    }
    let found = format!(
        "\"{}\" ({} mm) seen from 0.6 m would be {tall:.0} pixels tall on this screen",
        job.figure.name, job.figure.height_mm
    );
    Err(Error::refused(
        "",
        found,
        &format!("at most {TALLEST_VIEW_PX} pixels"),
        Hint::from("check height_mm in the figure file").or(Hint::Screen),
    ))
}

/// A length in whole pixels, at least 1.
fn whole(length: f64) -> u32 {
    rounded(length).max(1)
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "lengths on a page, 0 or more"
)]
fn rounded(length: f64) -> u32 {
    length.round().max(0.0) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_at_arms_length_is_as_large_on_the_screen_as_it_is() {
        let screen = Screen::default();
        // Seen from the screen's own distance, a millimetre is a millimetre: 96 / 25.4 pixels.
        assert!((screen.px_per_mm(711.2) - 96.0 / 25.4).abs() < 1e-9);
        // Twice as far away, half as large.
        assert!((screen.px_per_mm(2.0 * 711.2) - 48.0 / 25.4).abs() < 1e-9);
    }

    #[test]
    fn two_figures_share_one_scale_and_fit() {
        let stance = |width, height, photo_px_per_mm, below_mm| Stance {
            crop: CropBox {
                x: 0,
                y: 0,
                width,
                height,
            },
            photo_px_per_mm,
            below_mm,
        };
        let stances = [stance(600, 1000, 25.0, 4.0), stance(400, 500, 10.0, 1.0)];
        let scale = shared_scale(&stances, 500.0, 2000.0);
        let [a, b] = stances.map(|stance| stance.size_px(scale));
        // 40 mm and 50 mm tall; the feet stand 4 mm and 1 mm above the edge.
        assert!(
            (f64::from(a.1) / f64::from(b.1) - 0.8).abs() < 0.01,
            "{a:?} {b:?}"
        );
        assert!(b.1 - stances[1].below_px(scale) + stances[0].below_px(scale) <= 500);
        assert!(
            shared_scale(&stances, 500.0, 300.0) < scale,
            "the width counts too"
        );
    }
}
