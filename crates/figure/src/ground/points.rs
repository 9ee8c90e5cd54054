//! The black and white points of an undercoat and the share of light in its tone: given, estimated or measured.

use serde::Serialize;
use velatura_document::Diagnostic;
use velatura_optics::colour::luminance;

use super::PLANE_MAX;
use super::light::{MeasuredLight, share_of};
use super::lit::WHITE;
use crate::figure_file::FigureFile;
use crate::figure_keys::UndercoatKind;
use crate::plate::Plate;

/// Default share of light of a washed figure where nothing is given. Invented: where the wash is in the recesses only, the
/// tone is mostly light and shade.
const WASHED_LIGHT_SHARE: f64 = 0.8;
/// What the share of a drybrushed figure is until its light is estimated (`lit`).
const NOT_YET: f64 = 0.0;
/// Reflectances that the brightest drybrushing may have (from memory of matte white paint, with and without the surface's own
/// reflection). A photo value outside them shows that the photo is too dark or too bright.
pub(super) const PLAUSIBLE_WHITE: std::ops::Range<f64> = 0.65..1.0;
/// Most that black primer or a black card may reflect, surface reflection included (from memory of matte black paint).
pub(super) const MOST_BLACK: f64 = 0.09;
/// Share of the figure's pixels that are darker than the black point, and brighter than the white point.
const DARKEST_SHARE: f64 = 0.02;
const BRIGHTEST_SHARE: f64 = 0.01;
/// Darkest black primer, without glare (from memory of matte black paint: about 1 %).
const LEAST_BLACK: f64 = 0.008;

/// Where a number comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Origin {
    /// Set in the figure file.
    Given,
    /// It was guessed from the photo.
    Estimated,
    /// It was computed from the light photo.
    Measured,
}

/// A value and where it comes from.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Sourced<T = f64> {
    /// The value.
    pub value: T,
    /// Where it comes from.
    pub from: Origin,
}

impl<T> Sourced<T> {
    /// Another value with the same origin.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Sourced<U> {
        Sourced {
            value: change(self.value),
            from: self.from,
        }
    }
}

/// The numbers that the split of tone into paint and light is based on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UndercoatPoints {
    /// How the figure was prepared.
    pub kind: UndercoatKind,
    /// Reflectance of the bare dark primer, or of the darkest wash.
    pub black: Sourced,
    /// Reflectance of the brightest drybrushing, or of the bare white primer.
    pub white: Sourced,
    /// Share of the logarithm of the tone that is light and shade, 0…1.
    pub light_share: Sourced,
}

impl UndercoatPoints {
    /// Reflectances of the dark primer and of the white paint, if light and paint are to be estimated from the photo alone;
    /// the given points may be off by the exposure of the photo.
    pub(super) fn basis_of_estimate(&self) -> Option<[f64; 2]> {
        let unknown = self.light_share.from == Origin::Estimated;
        (self.kind == UndercoatKind::BlackToWhite && unknown).then(|| {
            let white = self.white.value;
            if PLAUSIBLE_WHITE.contains(&white) {
                return [self.black.value, white];
            }
            let exposure = match self.black.from {
                Origin::Given => white / WHITE,
                Origin::Estimated | Origin::Measured => 1.0,
            };
            [self.black.value / exposure, WHITE]
        })
    }
}

/// Finds the points of a plate.
pub(super) fn points(
    plate: &Plate,
    figure: &FigureFile,
    measured: Option<&MeasuredLight>,
) -> Result<UndercoatPoints, Diagnostic> {
    let entry = &figure.undercoat;
    let kind = entry.kind.value;
    let tones = Tones::of(
        plate
            .luminance
            .iter()
            .zip(&plate.subject.region)
            .filter(|(_, r)| **r != 0)
            .map(|(y, _)| *y),
    );
    let given = |code: velatura_optics::colour::Encoded| Sourced {
        value: luminance(code.linear()),
        from: Origin::Given,
    };
    // The light photo shows the bare primer: the black point of a drybrushed figure, the white one of a washed figure.
    let primer = |of: UndercoatKind| {
        measured.filter(|_| kind == of).map(|light| Sourced {
            value: light.full,
            from: Origin::Measured,
        })
    };
    // Without a light photo and a share of light, the tone alone shows how much of it is light.
    let alone =
        kind == UndercoatKind::BlackToWhite && measured.is_none() && entry.light_share.is_none();
    let white = match (&entry.white, primer(UndercoatKind::WhiteWithWash)) {
        (Some(code), _) => given(code.value),
        (None, Some(primer)) => primer,
        (None, None) if alone => Sourced {
            value: WHITE,
            from: Origin::Estimated,
        },
        (None, None) => Sourced {
            value: tones.quantile(1.0 - BRIGHTEST_SHARE).clamp(0.05, 1.0),
            from: Origin::Estimated,
        },
    };
    // A matte black card and a matte black primer are alike.
    let card_black = entry
        .card_black
        .filter(|black| kind == UndercoatKind::BlackToWhite && *black <= MOST_BLACK);
    let black = match (&entry.black, primer(UndercoatKind::BlackToWhite)) {
        (Some(code), _) => given(code.value),
        (None, Some(primer)) => primer,
        (None, None) => Sourced {
            value: card_black
                .unwrap_or_else(|| tones.quantile(DARKEST_SHARE))
                .clamp(LEAST_BLACK, (white.value / 2.0).max(LEAST_BLACK)),
            from: Origin::Estimated,
        },
    };
    if black.value >= white.value {
        let at = entry.black.as_ref().map_or(&entry.kind.at, |code| &code.at);
        return Err(figure
            .source
            .error_at(
                at,
                format!(
                    "the black point (Y {:.3}) is not darker than the white point (Y {:.3})",
                    black.value, white.value
                ),
            )
            .within("[undercoat]")
            .expected("black darker than the brightest drybrushing")
            .help(
                "set `black` and `white` to the values the photo shows in full light, or remove both",
            ));
    }
    let light_share = match (&entry.light_share, measured) {
        _ if kind == UndercoatKind::Plain => Sourced {
            value: 1.0,
            from: Origin::Given,
        },
        (_, Some(light)) => Sourced {
            value: share_of(&plate.luminance, &plate.subject.region, |at| {
                f64::from(light.light[at])
            }),
            from: Origin::Measured,
        },
        (Some(share), None) => Sourced {
            value: share.value,
            from: Origin::Given,
        },
        (None, None) => Sourced {
            value: match kind {
                UndercoatKind::WhiteWithWash => WASHED_LIGHT_SHARE,
                UndercoatKind::BlackToWhite | UndercoatKind::Plain => NOT_YET,
            },
            from: Origin::Estimated,
        },
    };
    Ok(UndercoatPoints {
        kind,
        black,
        white,
        light_share,
    })
}

/// How often every tone occurs.
pub(super) struct Tones {
    counts: Vec<u64>,
    total: u64,
}

impl Tones {
    pub(super) fn of(tones: impl Iterator<Item = u16>) -> Self {
        let mut counts = vec![0; 1 << 16];
        let mut total = 0;
        for tone in tones {
            counts[usize::from(tone)] += 1;
            total += 1;
        }
        Self { counts, total }
    }

    /// The tone (0…1) below which a share of all pixels is; 0 if there is none.
    #[allow(clippy::cast_precision_loss, reason = "fewer pixels than 2^53")]
    pub(super) fn quantile(&self, share: f64) -> f64 {
        let wanted = share * self.total as f64;
        let mut below = 0;
        for (tone, count) in self.counts.iter().enumerate() {
            below += count;
            if below as f64 >= wanted && below > 0 {
                return tone as f64 / PLANE_MAX;
            }
        }
        0.0
    }
}
