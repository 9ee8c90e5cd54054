//! One paint: glazes over greys at half, whole and double film, against Kubelka–Munk solved backwards from spectra.

use velatura_optics::coat::{colour_over_grey, reflectance};
use velatura_optics::colour::{Linear, delta_e};
use velatura_optics::film::Film;
use velatura_optics::paint::{Optics, Source};
use velatura_optics::spectrum::{BANDS, colour};
use velatura_optics::surface::Specular;

use crate::baselines::{Codes, three_band_film};
use crate::figures::Figures;
use crate::kubelka_munk::truth;
use crate::measured::{Sample, code, held_out_optics, samples};

/// Greys that glazes are evaluated over; the surface alone reflects 0.04.
const GREYS: [f64; 7] = [0.04, 0.05, 0.1, 0.2, 0.4, 0.6, 0.8];
const FILMS: [f64; 3] = [0.5, 1.0, 2.0];

fn see_through() -> Vec<Sample> {
    let kept: Vec<Sample> = samples()
        .into_iter()
        .filter(Sample::is_see_through)
        .collect();
    assert_eq!(kept.len(), 17);
    kept
}

fn glaze(optics: &Optics, film: f64, grey: f64) -> Linear {
    colour_over_grey(&optics.film(film), grey, Specular::Included)
}

/// ΔE over all greys, per film, of what `shown` gives for a sample, a film and a grey.
fn errors(truths: &[(Sample, Optics)], shown: impl Fn(usize, f64, f64) -> Linear) -> [Figures; 3] {
    FILMS.map(|film| {
        Figures::of(truths.iter().enumerate().flat_map(|(index, (_, truth))| {
            let shown = &shown;
            GREYS.map(|grey| {
                delta_e(
                    shown(index, film, grey).lab(),
                    glaze(truth, film, grey).lab(),
                )
            })
        }))
    })
}

fn print(title: &str, figures: &[Figures; 3]) {
    let cells: Vec<String> = figures
        .iter()
        .map(|f| format!("{:5.2} {:5.2} {:5.2}", f.mean, f.p95, f.max))
        .collect();
    println!("{title:44} {}", cells.join("  | "));
}

/// Every transparent sample with its truth, and the number of bands without one.
fn truths() -> (Vec<(Sample, Optics)>, usize) {
    let mut gaps = 0;
    let truths = see_through()
        .into_iter()
        .map(|sample| {
            let (truth, missing) = truth(&sample, &held_out_optics(&sample, Source::Spectrum));
            gaps += missing;
            (sample, truth)
        })
        .collect();
    (truths, gaps)
}

/// Mean error of glazes of all transparent samples over all greys and films, given in one way, and how many were evaluated.
pub(crate) fn held_out_error(source: Source) -> Figures {
    let (truths, _) = truths();
    Figures::of(truths.iter().flat_map(|(sample, truth)| {
        let fit = held_out_optics(sample, source);
        FILMS.into_iter().flat_map(move |film| {
            let fit = fit.clone();
            GREYS.map(move |grey| {
                delta_e(
                    glaze(&fit, film, grey).lab(),
                    glaze(truth, film, grey).lab(),
                )
            })
        })
    }))
}

#[test]
fn glazes_from_spectra_agree_with_spectral_kubelka_munk() {
    let (truths, gaps) = truths();
    let bands = truths.len() * BANDS;
    println!("bands without a closed answer: {gaps} of {bands}");
    // Opaque and nearly black bands have no closed answer; there the fit is compared with itself.
    assert!(gaps * 10 < 3 * bands, "too few bands are judged");
    let fits: Vec<Optics> = truths
        .iter()
        .map(|(sample, _)| held_out_optics(sample, Source::Spectrum))
        .collect();
    let figures = errors(&truths, |index, film, grey| glaze(&fits[index], film, grey));
    println!("17 samples × 7 greys: mean, 95th percentile, max ΔE at film 0.5 | 1 | 2");
    print("spectra", &figures);
    for f in figures {
        assert!(f.mean <= 0.3 && f.max <= 1.0, "{f:?}");
    }
    // Must fail: the surface's reflection counted twice.
    let [_, twice, _] = errors(&truths, |index, film, grey| {
        let below = Specular::Included.inside(grey);
        let bands = fits[index]
            .film(film)
            .map(|film| Specular::Included.measured(Specular::Included.measured(film.over(below))));
        colour(&bands)
    });
    assert!(twice.mean > 1.0, "{twice:?}");
}

#[test]
fn glazes_from_two_codes_come_near_and_blend_modes_do_not() {
    let (truths, _) = truths();
    let fits: Vec<Optics> = truths
        .iter()
        .map(|(sample, _)| held_out_optics(sample, Source::Drawdown))
        .collect();
    let codes: Vec<Codes> = truths.iter().map(|(sample, _)| Codes::of(sample)).collect();
    let three: Vec<[(f64, f64); 3]> = codes.iter().map(Codes::three_bands).collect();
    let ours = errors(&truths, |index, film, grey| glaze(&fits[index], film, grey));
    let multiply = errors(&truths, |index, film, grey| {
        codes[index].multiplied(film, Linear::grey(grey))
    });
    let alpha = errors(&truths, |index, film, grey| {
        codes[index].blended(film, Linear::grey(grey))
    });
    let three = errors(&truths, |index, film, grey| {
        three_band_film(&three[index], film, Linear::grey(grey))
    });
    println!("17 samples × 7 greys: mean, 95th percentile, max ΔE at film 0.5 | 1 | 2");
    print("multiply blend", &multiply);
    print("alpha blend", &alpha);
    print("three-band Kubelka–Munk", &three);
    print("two codes, 31 bands, learned prior", &ours);
    let [half, whole, double] = ours;
    // The goals; we reach 0.65 / 0.25 (0.69) / 0.46.
    assert!(half.mean <= 1.2 && double.mean <= 0.55, "{ours:?}");
    assert!(whole.mean <= 0.4 && whole.p95 <= 1.3, "{ours:?}");
    // Must fail: each baseline.
    for baseline in [multiply, alpha, three] {
        let [half, whole, double] = baseline;
        assert!(
            half.mean > 1.2 && whole.mean > 0.4 && double.mean > 0.55,
            "{baseline:?}"
        );
    }
}

#[test]
fn a_fitted_drawdown_hits_its_own_codes() {
    let misses: Vec<f64> = samples()
        .iter()
        .filter(|sample| !sample.is_odd())
        .flat_map(|sample| {
            let fit = held_out_optics(sample, Source::Drawdown);
            sample.fields().map(|(card, seen)| {
                let card = velatura_optics::calibrate::smoothest_spectrum(code(card).linear());
                let film: [Film; BANDS] = fit.film(1.0);
                let shown = colour(&reflectance(&film, &card, Specular::Included)).lab();
                delta_e(shown, code(seen).lab())
            })
        })
        .collect();
    assert_eq!(misses.len(), 76);
    let near = misses.iter().filter(|miss| **miss <= 0.5).count();
    let figures = Figures::of(misses);
    println!(
        "own codes: {near} of 76 within ΔE 0.5, mean {:.2}, worst {:.2}",
        figures.mean, figures.max
    );
    // Several samples are darker than the surface's own reflection, which no film can be: their errors are larger.
    assert!(
        near >= 60 && figures.mean <= 0.3 && figures.max <= 2.0,
        "{near} {figures:?}"
    );
}
