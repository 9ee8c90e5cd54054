//! How large things are: a figure in its photo, two figures side by side, a figure on a screen as seen at the table.
//!
//! In: masks, millimetres, a screen. Out: pixels. A figure's height in the photo is that of all its regions together, and
//! is taken to be the `height_mm` of its file. No picture of a pair is larger than 2060 × 3000 pixels, whatever the shape of the
//! photo: what would be too wide gets a smaller scale, and a figure too tall for the screen is refused.

use velatura_document::{Diagnostic, Hint};
use velatura_pipeline::figure::CropBox;
use velatura_pipeline::{Error, Job};

/// Viewing distances at the table, in mm; a choice: the near edge of your own side, the far edge, across the table, and further back.
pub(crate) const DISTANCES_MM: [f64; 3] = [600.0, 1000.0, 2000.0];

/// Height of the taller figure's picture close up, in pixels; a choice.
const CLOSE_UP_PX: f64 = 880.0;

/// Tallest view across the table, in pixels: larger ones would not fit on a page.
const TALLEST_VIEW_PX: f64 = 3000.0;

/// No view from the table is wider than this, in pixels: the page has no more room.
const WIDEST_VIEW_PX: f64 = 1840.0;

/// Pixels per side that one pixel of the close-up is computed from, as on the sheet.
const OVERSAMPLING: f64 = 2.0;

/// Width and height in pixels that no picture of a pair exceeds: twice the close-up's, or the largest view from the table.
/// Their product, 6.2 million pixels, bounds the work and the memory.
#[cfg(test)]
const LARGEST_PX: (u32, u32) = (2060, 3000);

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
        let figure = job.underpainting.subject.figure_box().ok_or_else(|| {
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

/// Pixels per mm of both figures seen from a distance: true to size on the screen, or less where one of them would be wider
/// than the page.
pub(crate) fn table_scale(stances: &[Stance; 2], screen: &Screen, distance_mm: f64) -> f64 {
    let [a, b] = stances.map(|stance| stance.size_mm().0);
    screen.px_per_mm(distance_mm).min(WIDEST_VIEW_PX / a.max(b))
}

/// Pixels per mm at which both figures are computed: enough for the close-up and for all views from the table.
///
/// Where both photos have fewer pixels than the close-up, there is no detail that oversampling could show.
pub(crate) fn working_scale(stances: &[Stance; 2], close_up: f64, screen: &Screen) -> f64 {
    let finest = stances[0].photo_px_per_mm.max(stances[1].photo_px_per_mm);
    let oversampling = if finest <= close_up {
        1.0
    } else {
        OVERSAMPLING
    };
    (close_up * oversampling).max(table_scale(stances, screen, DISTANCES_MM[0]))
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

    fn stance(width: u32, height: u32, photo_px_per_mm: f64, below_mm: f64) -> Stance {
        Stance {
            crop: CropBox {
                x: 0,
                y: 0,
                width,
                height,
            },
            photo_px_per_mm,
            below_mm,
        }
    }

    #[test]
    fn two_figures_share_one_scale_and_fit() {
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
    /// Sizes of one figure's pictures: the frame, the close-up, the views from the table.
    fn sizes(stances: &[Stance; 2], screen: &Screen) -> Vec<(u32, u32)> {
        let close_up = close_up_scale(stances, crate::drawn::CLOSE_UP_WIDE);
        let far = DISTANCES_MM.map(|distance_mm| table_scale(stances, screen, distance_mm));
        let scales = [working_scale(stances, close_up, screen), close_up];
        let scales = scales.into_iter().chain(far);
        scales
            .flat_map(|scale| stances.map(|stance| stance.size_px(scale)))
            .collect()
    }

    #[test]
    fn pictures_of_any_shape_stay_within_the_bound() {
        // All of the photo is the figure, 32 mm tall.
        let whole = |width, height: u32| stance(width, height, f64::from(height) / 32.0, 0.0);
        let shapes = [
            (1, 1),
            (400, 1),
            (1, 400),
            (3000, 3),
            (65_000, 2),
            (2, 65_000),
            (1, 65_000),
            (3000, 4000),
        ];
        let most = (f64::from(LARGEST_PX.0), f64::from(LARGEST_PX.1));
        for one in shapes {
            for other in shapes {
                let stances = [whole(one.0, one.1), whole(other.0, other.1)];
                for ppi in [30.0, 96.0, 500.0, 1200.0] {
                    let screen = Screen {
                        ppi,
                        ..Screen::default()
                    };
                    for (width, height) in sizes(&stances, &screen) {
                        let (width, height) = (f64::from(width), f64::from(height));
                        assert!(
                            width <= most.0 && height <= most.1,
                            "{one:?} {other:?} {ppi}: {width} × {height}"
                        );
                    }
                }
            }
        }
        // Must fail: at its true size a wide, low figure is far wider.
        let wide = whole(400, 1);
        let true_size = wide.size_px(Screen::default().px_per_mm(DISTANCES_MM[0]));
        assert!(true_size.0 > 50_000, "{true_size:?}");
    }

    #[test]
    fn an_ordinary_figure_is_shown_at_its_true_size() {
        let stances = [stance(1500, 2000, 50.0, 1.0), stance(800, 900, 30.0, 0.0)];
        let screen = Screen::default();
        for distance_mm in DISTANCES_MM {
            let scale = table_scale(&stances, &screen, distance_mm);
            assert!((scale - screen.px_per_mm(distance_mm)).abs() < 1e-12);
        }
    }
}
