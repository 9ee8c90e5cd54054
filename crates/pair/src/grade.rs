//! How well two teams can be distinguished: grades, thresholds, and the shape of a verdict.
//!
//! The thresholds are invented: they were not measured on anybody's table, and the page says so. They are large because teams
//! should be distinct at a glance under uneven light, not just distinguishable.

use std::fmt;

use serde::Serialize;
use velatura_report::Hundredths;

/// Two teams stand apart if ΔE (CIEDE2000) or the difference of L\* is at least this (invented).
pub(crate) const APART: f64 = 20.0;

/// Two teams look alike if both are below this (invented).
pub(crate) const ALIKE: f64 = 10.0;

/// How well two teams can be distinguished, worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Grade {
    /// They look alike.
    Alike,
    /// They are easily confused: the difference shows only on a second look.
    Close,
    /// They stand apart at a glance.
    Apart,
}

impl fmt::Display for Grade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Alike => "look alike",
            Self::Close => "are easily confused",
            Self::Apart => "stand apart",
        })
    }
}

/// What distinguishes two teams.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Cue {
    /// Hue and chroma: their ΔE at equal lightness is large enough alone.
    Colour,
    /// Lightness: the difference of L\* is large enough alone.
    Brightness,
}

/// The verdict on a pair.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Verdict {
    /// One line for people.
    pub line: String,
    /// For normal vision, close up.
    pub grade: Grade,
    /// The reasons for it; empty if only both together are enough, or nothing is.
    pub by: Vec<Cue>,
    /// The worst grade of any view and any colour vision that counts (normal, protan, deutan, tritan).
    pub worst: Grade,
    /// The two closest regions close up, in the colour vision in which they are closest.
    pub nearest: Option<NearestPair>,
}

/// The most likely confusion.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NearestPair {
    /// Region of the first team.
    pub first: String,
    /// Region of the second team.
    pub second: String,
    /// CIEDE2000 between them.
    pub delta_e: Hundredths,
    /// The colour vision.
    pub eye: String,
}
