//! Mixtures: a paint, zinc white and one tint of the two, against the other measured mixtures of that paint.
//!
//! Every tint of every series in turn; the rest of the series is evaluated over its own two cards. Bone black has no drawdown
//! in the data: it gets a flat, nearly black one (assumed) and the tint of 10 % black in white. Mixtures of a paint with black
//! are evaluated too, although no tint of that pair is used.

use velatura_optics::calibrate::PaintBox;
use velatura_optics::coat::reflectance;
use velatura_optics::colour::{Linear, delta_e};
use velatura_optics::mixture::{Mix, Tie};
use velatura_optics::paint::{Optics, Source};
use velatura_optics::spectrum::{BANDS, colour};
use velatura_optics::surface::Specular;

use crate::baselines::{Codes, mixture_blended, mixture_multiplied, mixture_three_band};
use crate::figures::{Figures, assert_checked_in, assert_no_update};
use crate::measured::{File, Sample, code, prior_without, samples};

const WHITE: &str = "ZincWhite";
const BLACK: &str = "BoneBlack";
/// The drawdown of zinc white, and the tint of black with white.
const WHITE_DRAWDOWN: &str = "07A";
const BLACK_TINT: &str = "07D";
/// Reflectance of a film of bone black, assumed: the surface's own 4 % and a little more.
const BLACK_REFLECTANCE: f64 = 0.043;
/// Series of one pigment that were mixed with zinc white.
const SERIES: [&str; 7] = ["01", "03", "05", "09", "11", "13", "15"];
/// Not used as tints: almost no white (99:1 and 84:16), which nobody would brush to learn a strength.
const NOT_AS_TINTS: [&str; 2] = ["13F", "15B"];
/// Not used as targets: bad samples, according to the data's README.
const NOT_AS_TARGETS: [&str; 2] = ["03E", "11D"];

/// Which tints a painter gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Given {
    /// None: drawdowns only.
    NoTint,
    /// One per paint with white.
    OneTint,
}

/// The assumption about mixtures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sums {
    /// K and S add up.
    Plain,
    /// They depart from the sum like the tint.
    Departing,
}

/// One measured mixture and its prediction.
pub(crate) struct Judged {
    pub(crate) series: String,
    pub(crate) tie: Tie,
    target: Sample,
    optics: Optics,
    /// Drawdowns of the two paints, as shares.
    paints: Vec<(f64, Codes)>,
}

impl Judged {
    /// ΔE over the two cards of a prediction of the linear colour there, from the card's own.
    fn errors(&self, shown: impl Fn(&Self, Linear) -> Linear) -> Vec<f64> {
        self.target
            .fields()
            .iter()
            .map(|(card, seen)| delta_e(shown(self, code(card).linear()).lab(), colour(seen).lab()))
            .collect()
    }

    /// ΔE over the two cards of the calibrated paints.
    pub(crate) fn our_errors(&self) -> Vec<f64> {
        self.target
            .fields()
            .iter()
            .map(|(card, seen)| {
                let shown = reflectance(&self.optics.film(1.0), card, Specular::Included);
                delta_e(colour(&shown).lab(), colour(seen).lab())
            })
            .collect()
    }
}

/// Everything that can be evaluated, with paints described in one way.
pub(crate) fn judged(source: Source, given: Given, sums: Sums) -> Vec<Judged> {
    let samples = samples();
    let of = |id: &str| samples.iter().find(|sample| sample.id == id).unwrap();
    let mut all = Vec::new();
    for series in SERIES {
        let mine: Vec<&Sample> = samples.iter().filter(|s| s.series == series).collect();
        let pure = mine[0];
        assert_eq!(pure.parts.len(), 1, "{} is pure", pure.id);
        let paint = pure.parts[0].0.clone();
        let prior = match sums {
            Sums::Departing => prior_without(series),
            Sums::Plain => prior_without(series).with_plain_sums(),
        };
        let tints: Vec<Option<&Sample>> = match given {
            Given::NoTint => vec![None],
            Given::OneTint => mine
                .iter()
                .filter(|s| s.part(WHITE) > 0.0 && !NOT_AS_TINTS.contains(&s.id.as_str()))
                .map(|sample| Some(*sample))
                .collect(),
        };
        for tint in tints {
            let paints = painted(
                pure,
                &paint,
                tint,
                of(WHITE_DRAWDOWN),
                of(BLACK_TINT),
                source,
            );
            let paints = paints.calibrated(&prior);
            for target in &mine {
                let is_tint = tint.is_some_and(|tint| tint.id == target.id);
                if target.parts.len() == 1
                    || is_tint
                    || NOT_AS_TARGETS.contains(&target.id.as_str())
                {
                    continue;
                }
                let mix = mix(&paints, target);
                let drawdown = |name: &str| match name {
                    WHITE => Codes::of(of(WHITE_DRAWDOWN)),
                    BLACK => Codes::of(&black(pure)),
                    _ => Codes::of(pure),
                };
                let total: f64 = target.parts.iter().map(|(_, part)| part).sum();
                let shares = target.parts.iter();
                all.push(Judged {
                    series: series.to_owned(),
                    tie: paints.tie(&mix),
                    target: (*target).clone(),
                    optics: paints.mixed(&mix),
                    paints: shares
                        .map(|(name, part)| (part / total, drawdown(name)))
                        .collect(),
                });
            }
        }
    }
    all
}

/// The file of a paint, white and black, with at most one tint each.
fn painted(
    pure: &Sample,
    paint: &str,
    tint: Option<&Sample>,
    white: &Sample,
    black_tint: &Sample,
    source: Source,
) -> File {
    let mut file = File::new(pure, source).paint(paint, pure);
    if let Some(tint) = tint {
        file = file.tint(WHITE, [tint.part(paint), tint.part(WHITE)], tint);
    }
    file = file.paint(WHITE, white).paint(BLACK, &black(pure));
    if tint.is_some() {
        let parts = [black_tint.part(BLACK), black_tint.part(WHITE)];
        file = file.tint(WHITE, parts, black_tint);
    }
    file
}

/// The assumed drawdown of bone black, on the cards of another.
fn black(cards: &Sample) -> Sample {
    Sample {
        over_black: [BLACK_REFLECTANCE; BANDS],
        over_white: [BLACK_REFLECTANCE; BANDS],
        ..cards.clone()
    }
}

fn mix(paints: &PaintBox, target: &Sample) -> Mix {
    let parts = target.parts.iter();
    Mix {
        paints: parts
            .map(|(name, part)| (paints.index_of(name).unwrap(), *part))
            .collect(),
        medium: 0.0,
    }
}

fn figures(judged: &[Judged], errors: impl Fn(&Judged) -> Vec<f64>) -> [Figures; 2] {
    let white = judged.iter().filter(|one| one.target.part(WHITE) > 0.0);
    [
        Figures::of(white.flat_map(&errors)),
        Figures::of(judged.iter().flat_map(&errors)),
    ]
}

fn cells(figures: [Figures; 2]) -> String {
    let [white, all] = figures;
    let cell = |f: Figures| format!("{:.2} / {:.2}", f.median, f.mean);
    format!("{} | {}", cell(white), cell(all))
}

/// The goals of the project are median 2.4 and mean 3.0, evaluated on the other half of the data, which is not in this
/// repository. On this half, which is harder (even with known films a plain sum has a mean of 3.8), they are not reached: 2.67
/// / 3.43 from spectra, 2.84 / 3.94 from codes. Series 01 is much of the reason: its two mixtures with white do not fit one
/// lake (ΔE 9 to 16). The bounds are slightly above what we reach.
const SPECTRA_AT_MOST: (f64, f64) = (2.8, 3.6);
const CODES_AT_MOST: (f64, f64) = (3.0, 4.2);

#[test]
fn mixtures_with_one_tint_come_near_measured_mixtures() {
    let [from_spectra, from_codes] = [Source::Spectrum, Source::Drawdown]
        .map(|source| judged(source, Given::OneTint, Sums::Departing));
    let mut rows = Vec::new();
    let both = |judged: [&[Judged]; 2]| {
        judged
            .map(|some| cells(figures(some, Judged::our_errors)))
            .join(" | ")
    };
    let shares = |one: &Judged| -> Vec<(f64, Codes)> { one.paints.clone() };
    type Baseline = fn(&[(f64, &Codes)], Linear) -> Linear;
    let baselines: [(&str, Baseline); 3] = [
        ("multiply blend", mixture_multiplied),
        ("alpha blend", mixture_blended),
        ("three-band Kubelka–Munk", mixture_three_band),
    ];
    let mut worst_baseline: f64 = f64::INFINITY;
    for (name, baseline) in baselines {
        let found = figures(&from_codes, |one| {
            let owned = shares(one);
            let paints: Vec<(f64, &Codes)> =
                owned.iter().map(|(share, codes)| (*share, codes)).collect();
            one.errors(|_, card| baseline(&paints, card))
        });
        worst_baseline = worst_baseline.min(found[1].median);
        rows.push(format!("| {name} | – | – | {} |", cells(found)));
    }
    let [plain_spectra, plain_codes] = [Source::Spectrum, Source::Drawdown];
    let run = |given, sums| {
        let [spectra, codes] =
            [plain_spectra, plain_codes].map(|source| judged(source, given, sums));
        both([&spectra, &codes])
    };
    rows.push(format!(
        "| sum of K and S, no tint | {} |",
        run(Given::NoTint, Sums::Plain)
    ));
    rows.push(format!(
        "| sum of K and S, strength and film from one tint | {} |",
        run(Given::OneTint, Sums::Plain)
    ));
    rows.push(format!(
        "| the same, and the tint's departure carried over (used) | {} |",
        both([&from_spectra, &from_codes])
    ));
    let without_01 = [&from_spectra, &from_codes].map(|all| {
        let kept: Vec<&Judged> = all.iter().filter(|one| one.series != "01").collect();
        Figures::of(kept.into_iter().flat_map(Judged::our_errors))
    });
    let [[white, spectra], [_, codes]] =
        [&from_spectra, &from_codes].map(|all| figures(all, Judged::our_errors));
    let table = format!(
        "| model | spectra: with white | spectra: all | codes: with white | codes: all |\n\
         | --- | --- | --- | --- | --- |\n{}\n\n\
         Median / mean ΔE (CIEDE2000) over both cards: {} mixtures with white, {} in all, counting each once per tint that\n\
         can predict it. Series 01, whose two mixtures do not fit one paint, left out: {:.2} / {:.2} from spectra,\n\
         {:.2} / {:.2} from codes.\n",
        rows.join("\n"),
        white.count / 2,
        spectra.count / 2,
        without_01[0].median,
        without_01[0].mean,
        without_01[1].median,
        without_01[1].mean,
    );
    println!("{table}");
    assert_checked_in("crates/optics/data/mixture_models.md", &table, "mixtures");
    assert_no_update("mixtures");
    assert!(
        spectra.median <= SPECTRA_AT_MOST.0 && spectra.mean <= SPECTRA_AT_MOST.1,
        "{spectra:?}"
    );
    assert!(
        codes.median <= CODES_AT_MOST.0 && codes.mean <= CODES_AT_MOST.1,
        "{codes:?}"
    );
    // Must fail: blend modes and three bands.
    assert!(worst_baseline > 2.0 * CODES_AT_MOST.0, "{worst_baseline}");
}

#[test]
fn without_a_tint_mixtures_are_a_guess() {
    let guessed = judged(Source::Spectrum, Given::NoTint, Sums::Departing);
    assert!(guessed.iter().all(|one| one.tie == Tie::Unlinked));
    let [_, all] = figures(&guessed, Judged::our_errors);
    assert!(all.median > 2.0 * SPECTRA_AT_MOST.0, "{all:?}");
}
