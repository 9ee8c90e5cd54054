//! Kubelka and Munk solved backwards, band by band and without any prior: the truth that fits are compared with.

use velatura_optics::paint::Optics;
use velatura_optics::spectrum::{BANDS, Spectrum};
use velatura_optics::surface::Specular;

use crate::measured::Sample;

/// K and S of one band from two reflectances inside the film, by Kubelka's hyperbolic solution solved for a and b
/// (Kubelka 1948). `None` if the two fields are indistinguishable.
fn inverted(over: [f64; 2], card: [f64; 2]) -> Option<(f64, f64)> {
    let [b, w] = over;
    let [gb, gw] = card;
    // b·coth(bSx) is (1 + R·Rg − a(R + Rg)) / (R − Rg) for both fields.
    let a = ((1.0 + b * gb) * (w - gw) - (1.0 + w * gw) * (b - gb))
        / ((b + gb) * (w - gw) - (w + gw) * (b - gb));
    let root = (a * a - 1.0).sqrt();
    let c = (1.0 + w * gw - a * (w + gw)) / (w - gw);
    let s = (root / c).atanh() / root;
    let k = s * (a - 1.0);
    (k.is_finite() && s.is_finite() && k >= 0.0 && s >= 0.0).then_some((k, s))
}

/// The truth of a sample, and the number of bands in which the closed form has no answer and the K, S of the fit are used.
pub(crate) fn truth(sample: &Sample, fitted: &Optics) -> (Optics, usize) {
    let mut truth = fitted.clone();
    let mut gaps = 0;
    let inside =
        |spectrum: &Spectrum, band: usize| Specular::Included.inside(spectrum[band]).max(0.0);
    for band in 0..BANDS {
        let [black, white] = sample.fields();
        let over = [inside(black.1, band), inside(white.1, band)];
        let card = [inside(black.0, band), inside(white.0, band)];
        match inverted(over, card) {
            Some((k, s)) => (truth.k[band], truth.s[band]) = (k, s),
            None => gaps += 1,
        }
    }
    (truth, gaps)
}
