//! The shape of a verdict on two teams.

use serde::Serialize;
use velatura_pipeline::scheme::apart::{Cue, Grade};
use velatura_report::{Hundredths, Ratio};

/// The verdict on a pair.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Verdict {
    /// One line for people.
    pub line: String,
    /// For normal vision, from across the table.
    pub grade: Grade,
    /// The reasons for it; empty if only both together are enough, or nothing is.
    pub by: Vec<Cue>,
    /// The worst grade of any view and any colour vision that counts (normal, protan, deutan, tritan).
    pub worst: Grade,
    /// The two closest regions close up, in the colour vision in which they are closest. Regions that are bare in both teams do
    /// not count.
    pub nearest: Option<NearestPair>,
    /// The two regions that are most likely mistaken for each other: close in colour, on much of both figures. For normal vision
    /// if it has any, else for the colour vision with the largest risk.
    pub mix_up: Option<NearestPair>,
}

/// Two regions that could be confused, one of each team.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NearestPair {
    /// Region of the first team.
    pub first: String,
    /// Region of the second team.
    pub second: String,
    /// CIEDE2000 between them.
    pub delta_e: Hundredths,
    /// The share of the figure that both cover, 0…1: the smaller of the two.
    pub share: Ratio,
    /// The colour vision.
    pub eye: String,
}
