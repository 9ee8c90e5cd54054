//! Common methods for two codes per paint: multiply, alpha blend, Kubelka–Munk in three bands.
//!
//! In: a drawdown's and its cards' codes. Out: linear sRGB of a film, or of a mixture, over a card. The definitions are ours,
//! as close as possible to an image editor or a simple paint program.

use velatura_optics::colour::{Encoded, Linear, encode};
use velatura_optics::film::Film;
use velatura_optics::surface::Specular;

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

    /// Alpha: an opaque colour with a cover per channel, both solved from the two cards.
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

    /// K and S of the three channels, each as if it were one wavelength band: those whose film shows the two codes best.
    pub(crate) fn three_bands(&self) -> [(f64, f64); 3] {
        std::array::from_fn(|i| {
            let miss = |ln_k: f64, ln_s: f64| -> f64 {
                let film = Film::new(ln_k.exp(), ln_s.exp(), 1.0);
                let fields = self.cards.iter().zip(&self.over);
                fields
                    .map(|(card, over)| {
                        let below = SURFACE.inside(card.0[i]).max(0.0);
                        let shown = SURFACE.measured(film.over(below));
                        (encode(shown) - encode(over.0[i])).powi(2)
                    })
                    .sum()
            };
            best(miss)
        })
    }
}

/// The smallest error over ln K and ln S of −9…5: the best of a grid, then smaller and smaller steps from there.
fn best(miss: impl Fn(f64, f64) -> f64) -> (f64, f64) {
    let grid = || (0..=28).map(|step| f64::from(step) / 2.0 - 9.0);
    let mut at = (0.0, 0.0);
    let mut least = miss(0.0, 0.0);
    let mut better = |at: &mut (f64, f64), (k, s): (f64, f64)| {
        let found = miss(k, s);
        let less = found < least;
        if less {
            (least, *at) = (found, (k, s));
        }
        less
    };
    for k in grid() {
        for s in grid() {
            better(&mut at, (k, s));
        }
    }
    let mut step = 0.25;
    while step > 1e-5 {
        let (k, s) = at;
        let mut moved = false;
        for (by_k, by_s) in [
            (1, 0),
            (-1, 0),
            (0, 1),
            (0, -1),
            (1, 1),
            (-1, -1),
            (1, -1),
            (-1, 1),
        ] {
            let next = (k + step * f64::from(by_k), s + step * f64::from(by_s));
            moved |= better(&mut at, next);
        }
        if !moved {
            step /= 2.0;
        }
    }
    (at.0.exp(), at.1.exp())
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
