//! The numbers of a pair: how far apart two teams are, per view and per kind of colour vision.
//!
//! In: the mean light of each team's regions in one view. Out: differences of the dominant colours and the nearest regions. A
//! team's *dominant colour*: regions of nearly one colour close up count as one, the group that covers most of the figure wins,
//! and its colour is the mean of its light by area. Colours that a vision matrix moves out of the gamut are clipped, as on the
//! page. Not here: what the numbers mean (`verdict.rs`).

use velatura_pipeline::optics::colour::{Lab, Linear, delta_e, luminance};
use velatura_pipeline::optics::vision::{Deficiency, Eye};

use super::team::Part;

/// Regions closer than this ΔE count as one colour in the search for the dominant one (invented): one paint in slightly
/// different light.
pub(crate) const ONE_COLOUR: f64 = 5.0;

/// Regions smaller than this share of the team's largest are left out of the search for the closest: hands and belts of the
/// same brown confuse nobody (invented).
const TELLING: f64 = 0.2;

/// How many of the closest regions are listed.
const NEAREST: usize = 3;

/// A kind of colour vision.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sight {
    /// Normal colour vision.
    Usual,
    /// Luminance alone.
    Grey,
    /// The model of 2009, at the requested severity.
    Machado(Deficiency),
    /// The model of 1999, with one kind of cone missing: a second opinion.
    Vienot(Deficiency),
}

impl Sight {
    /// All kinds that a pair is compared for; the first is normal vision.
    pub(crate) const ALL: [Self; 7] = [
        Self::Usual,
        Self::Grey,
        Self::Machado(Deficiency::Protan),
        Self::Machado(Deficiency::Deutan),
        Self::Machado(Deficiency::Tritan),
        Self::Vienot(Deficiency::Protan),
        Self::Vienot(Deficiency::Deutan),
    ];

    pub(crate) fn eye(self, severity: f64) -> Eye {
        match self {
            Self::Usual => Eye::USUAL,
            Self::Grey => Eye::GREY,
            Self::Machado(kind) => Eye::machado(kind, severity),
            Self::Vienot(kind) => Eye::vienot(kind).expect("the list has only protan and deutan"),
        }
    }

    /// Its name on pages: `normal`, `grey`, `deutan`, `deutan (1999)`.
    pub(crate) fn label(self) -> String {
        match self {
            Self::Usual => "normal".to_owned(),
            Self::Grey => "grey".to_owned(),
            Self::Machado(kind) => kind.to_string(),
            Self::Vienot(kind) => format!("{kind} (1999)"),
        }
    }

    /// Whether the verdict uses it: grey says nothing about colour, and a second opinion is only for comparison.
    pub(crate) fn counts(self) -> bool {
        matches!(self, Self::Usual | Self::Machado(_))
    }
}

/// How far two colours are apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Difference {
    /// CIEDE2000.
    pub(crate) delta_e: f64,
    /// CIEDE2000 of the same two with the lightness of both at their mean: the part of hue and chroma.
    pub(crate) hue_and_chroma: f64,
    /// L\* of the second less L\* of the first.
    pub(crate) lightness: f64,
    /// Michelson contrast of the luminances, 0…1.
    pub(crate) michelson: f64,
}

/// The difference between two colours in a kind of colour vision.
pub(crate) fn difference(eye: &Eye, colours: [Linear; 2]) -> Difference {
    let seen = colours.map(|colour| seen(eye, colour));
    let [a, b] = seen.map(Linear::lab);
    let mean = f64::midpoint(a.0[0], b.0[0]);
    let level = |lab: Lab| Lab([mean, lab.0[1], lab.0[2]]);
    let [dark, bright] = seen.map(luminance);
    let both = dark + bright;
    Difference {
        delta_e: delta_e(a, b),
        hue_and_chroma: delta_e(level(a), level(b)),
        lightness: b.0[0] - a.0[0],
        michelson: if both > 0.0 {
            (bright - dark).abs() / both
        } else {
            0.0
        },
    }
}

/// A colour in a kind of colour vision, clipped as on the page.
pub(crate) fn seen(eye: &Eye, colour: Linear) -> Linear {
    Linear(eye.sees(colour).0.map(|channel| channel.clamp(0.0, 1.0)))
}

/// The parts of a team's dominant colour, as indices, the largest first.
pub(crate) fn dominant(parts: &[Part], means: &[Linear]) -> Vec<usize> {
    let labs: Vec<Lab> = means.iter().map(|mean| mean.lab()).collect();
    let group = |seed: usize| -> Vec<usize> {
        let mut alike: Vec<usize> = (0..parts.len())
            .filter(|other| delta_e(labs[seed], labs[*other]) < ONE_COLOUR)
            .collect();
        alike.sort_by(|a, b| parts[*b].share.total_cmp(&parts[*a].share));
        alike
    };
    let area = |group: &[usize]| group.iter().map(|index| parts[*index].share).sum::<f64>();
    let mut best: Vec<usize> = Vec::new();
    for seed in 0..parts.len() {
        let group = group(seed);
        if area(&group) > area(&best) {
            best = group;
        }
    }
    best
}

/// The mean light of some parts by area.
pub(crate) fn mixed(parts: &[Part], means: &[Linear], of: &[usize]) -> Linear {
    let whole: f64 = of.iter().map(|index| parts[*index].share).sum();
    let mut light = [0.0; 3];
    for index in of {
        for (sum, channel) in light.iter_mut().zip(means[*index].0) {
            *sum += channel * parts[*index].share / whole;
        }
    }
    Linear(light)
}

/// Two regions, one of each team.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Near {
    /// Indices into the parts of the two teams.
    pub(crate) parts: [usize; 2],
    /// CIEDE2000 between them.
    pub(crate) delta_e: f64,
}

/// The closest regions of two teams in a kind of colour vision, closest first.
pub(crate) fn nearest(eye: &Eye, parts: [&[Part]; 2], means: [&[Linear]; 2]) -> Vec<Near> {
    let telling = parts.map(|parts| {
        let largest = parts.iter().map(|part| part.share).fold(0.0, f64::max);
        let enough = |index: &usize| parts[*index].share >= largest * TELLING;
        (0..parts.len()).filter(enough).collect::<Vec<usize>>()
    });
    let lab = |team: usize, index: usize| seen(eye, means[team][index]).lab();
    let [first, second] = &telling;
    let mut pairs: Vec<Near> = first
        .iter()
        .flat_map(|a| {
            second.iter().map(|b| Near {
                parts: [*a, *b],
                delta_e: delta_e(lab(0, *a), lab(1, *b)),
            })
        })
        .collect();
    pairs.sort_by(|a, b| a.delta_e.total_cmp(&b.delta_e));
    pairs.truncate(NEAREST);
    pairs
}
