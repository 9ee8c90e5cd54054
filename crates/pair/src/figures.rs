//! The numbers of a pair: how far apart two teams are, per view and per kind of colour vision.
//!
//! In: what one view shows of each team. Out: differences of the dominant colours, the distance of all colours, and the nearest
//! regions. Colours that a vision matrix moves out of the gamut are clipped, as on the page. Not here: the distance and its
//! grades (`apart` in the crate for schemes), what the numbers mean in words (`verdict.rs`).

use velatura_pipeline::optics::colour::{Lab, Linear, delta_e, luminance};
use velatura_pipeline::optics::vision::{Deficiency, Eye};

use velatura_pipeline::scheme::apart::{Area, Look, SAME_DOMINANT, shades};

use super::team::{Part, Seen};

/// Regions smaller than this share of the team's largest are left out of the search for the closest: hands and belts of the
/// same brown confuse nobody (invented).
const TELLING: f64 = 0.2;

/// How many of the closest regions are listed.
pub(crate) const NEAREST: usize = 3;

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

/// What an eye sees of a team; `dominant` is that of normal vision close up.
pub(crate) fn look(eye: &Eye, view: &Seen, dominant: Linear, dominant_share: f64) -> Look {
    let colours = view.colours.iter();
    let colours: Vec<(Linear, f64)> = colours
        .map(|(colour, weight)| (seen(eye, *colour), *weight))
        .collect();
    Look {
        shades: shades(&colours),
        dominant: seen(eye, dominant).lab(),
        dominant_share,
    }
}

/// The parts as areas of one colour.
pub(crate) fn areas(parts: &[Part], means: &[Linear]) -> Vec<Area> {
    let pairs = parts.iter().zip(means);
    pairs
        .map(|(part, mean)| Area {
            colour: *mean,
            share: part.share,
        })
        .collect()
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

/// Two regions, one of each team.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Near {
    /// Indices into the parts of the two teams.
    pub(crate) parts: [usize; 2],
    /// CIEDE2000 between them.
    pub(crate) delta_e: f64,
    /// The share of the figure that both cover, 0…1: the smaller of the two.
    pub(crate) share: f64,
}

/// How likely two regions are mistaken for each other: the share of the figure that both cover, less the more their colours
/// differ; 0 from [`SAME_DOMINANT`] on.
pub(crate) fn risk(near: &Near) -> f64 {
    near.share * (1.0 - near.delta_e / SAME_DOMINANT).max(0.0)
}

/// The closest regions of two teams in a kind of colour vision, closest first. Two regions without paint do not count: bare
/// undercoat is the same in every team.
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
                share: parts[0][*a].share.min(parts[1][*b].share),
            })
        })
        .filter(|near| parts[0][near.parts[0]].painted || parts[1][near.parts[1]].painted)
        .collect();
    pairs.sort_by(|a, b| a.delta_e.total_cmp(&b.delta_e));
    pairs
}
