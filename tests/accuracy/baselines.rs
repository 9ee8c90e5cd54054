//! What others do with two codes per paint: multiply, alpha blend, Kubelka–Munk in three bands.
//!
//! In: a drawdown's and its cards' codes. Out: linear sRGB of a film, or of a mixture, over a card. Definitions are ours,
//! as near as can be to what an image editor or a simple paint program does.

use velatura_optics::colour::{Encoded, Linear};
use velatura_optics::film::Film;
use velatura_optics::surface::Specular;

use crate::kubelka_munk::inverted;
use crate::measured::{Sample, code};

const SURFACE: Specular = Specular::Included;

/// A paint known by four codes, as linear light.
#[derive(Debug, Clone)]
pub(crate) struct Codes {
    cards: [Linear; 2],
    over: [Linear; 2],
}

impl Codes {
    pub(crate) fn of(sample: &Sample) -> Self {
        let linear = |spectrum| code(spectrum).linear();
        Self {
            cards: [linear(&sample.black_card), linear(&sample.white_card)],
            over: [linear(&sample.over_black), linear(&sample.over_white)],
        }
    }

    /// Multiply: the substrate times the colour over white, once per film.
    pub(crate) fn multiplied(&self, film: f64, substrate: Linear) -> Linear {
        Linear(std::array::from_fn(|i| {
            substrate.0[i] * self.over[1].0[i].max(0.0).powf(film)
        }))
    }

    /// Alpha: an opaque colour laid on with a cover per channel, both solved from the two cards.
    pub(crate) fn blended(&self, film: f64, substrate: Linear) -> Linear {
        Linear(std::array::from_fn(|i| {
            let [black, white] = self.cards.map(|card| card.0[i]);
            let [over_black, over_white] = self.over.map(|over| over.0[i]);
            let through = ((over_white - over_black) / (white - black)).clamp(0.0, 1.0);
            let own = over_white - through * white;
            // A film of x covers like x films of 1.
            let let_through = through.powf(film);
            let colour = if through < 1.0 {
                own / (1.0 - through)
            } else {
                0.0
            };
            colour * (1.0 - let_through) + substrate.0[i] * let_through
        }))
    }

    /// K and S of the three channels, each as if it were one wavelength band.
    pub(crate) fn three_bands(&self) -> [(f64, f64); 3] {
        std::array::from_fn(|i| {
            let inside = |linear: Linear| SURFACE.inside(linear.0[i]).clamp(5e-4, 0.999);
            let (over, card) = (self.over.map(inside), self.cards.map(inside));
            // A channel that hides everything: as one film so thick that nothing shows, with an S that is so.
            inverted(over, card).unwrap_or_else(|| {
                let infinite = f64::midpoint(over[0], over[1]);
                let s = 10.0;
                (s * (1.0 - infinite).powi(2) / (2.0 * infinite), s)
            })
        })
    }
}

/// A film of three-band K and S over a substrate.
pub(crate) fn three_band_film(bands: &[(f64, f64); 3], film: f64, substrate: Linear) -> Linear {
    Linear(std::array::from_fn(|i| {
        let (k, s) = bands[i];
        SURFACE.measured(Film::new(k, s, film).over(SURFACE.inside(substrate.0[i]).max(0.0)))
    }))
}

/// Multiply, for a mixture: each paint a layer whose opacity is its share.
pub(crate) fn mixture_multiplied(paints: &[(f64, &Codes)], substrate: Linear) -> Linear {
    paints.iter().fold(substrate, |below, (share, paint)| {
        Linear(std::array::from_fn(|i| {
            below.0[i] * (1.0 - share + share * paint.over[1].0[i])
        }))
    })
}

/// Alpha, for a mixture: the codes over the same card in between by share, as an image editor blends them.
pub(crate) fn mixture_blended(paints: &[(f64, &Codes)], substrate: Linear) -> Linear {
    let mut sum = [0.0; 3];
    for (share, paint) in paints {
        let Encoded(codes) = paint.blended(1.0, substrate).encoded();
        for (sum, code) in sum.iter_mut().zip(codes) {
            *sum += share * f64::from(code) / 255.0;
        }
    }
    Linear(sum.map(velatura_optics::colour::decode))
}

/// Kubelka–Munk in three bands, for a mixture: K and S by share.
pub(crate) fn mixture_three_band(paints: &[(f64, &Codes)], substrate: Linear) -> Linear {
    let mut bands = [(0.0, 0.0); 3];
    for (share, paint) in paints {
        for (sum, (k, s)) in bands.iter_mut().zip(paint.three_bands()) {
            sum.0 += share * k;
            sum.1 += share * s;
        }
    }
    three_band_film(&bands, 1.0, substrate)
}
