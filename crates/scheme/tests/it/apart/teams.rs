//! The invented teams, their parts under shade and light, and copies of them with changed colours.

use velatura_optics::colour::{Lab, Linear};
use velatura_optics::vision::Eye;
use velatura_scheme::apart::{Area, Look, dominant, shades};

/// Twelve teams by the colours of coat, hood, trousers, leather and a small accent: bright, muted, pale, dark, warm, cold.
pub(super) const TEAMS: [[&str; 5]; 12] = [
    ["#9a3030", "#c0a040", "#4a4038", "#5e4128", "#3f6f9a"],
    ["#26507f", "#b0b4b8", "#39414e", "#6a4a30", "#c8742a"],
    ["#47703a", "#7a5c34", "#8a8460", "#4a3524", "#b83a2e"],
    ["#3a3d42", "#23252a", "#55585c", "#3d2f24", "#8c1f2b"],
    ["#d8d0bc", "#b9c4cc", "#a79c86", "#8a6f52", "#5a7fa8"],
    ["#6a3f7a", "#3c8078", "#5a5560", "#4b3a30", "#d0b040"],
    ["#c8742a", "#3a5f8a", "#cdb98a", "#5b3d26", "#e0e0d8"],
    ["#5f6b57", "#6d6a52", "#4f5a60", "#54453a", "#8a8a80"],
    ["#1f3d5a", "#16302c", "#2a2430", "#2e2218", "#54742e"],
    ["#b03a5a", "#e0a0a8", "#7a3040", "#6a4434", "#4a9a8a"],
    ["#7fa6b8", "#d2c89a", "#8fa08a", "#8c6a48", "#a04038"],
    ["#8a5a2a", "#a88a50", "#5f4a38", "#3f2e22", "#2f5f5a"],
];

/// How bright parts are under shade and light, and how much of each part is: a drybrushed figure, roughly.
const LIGHTS: [(f64, f64); 3] = [(0.35, 0.25), (0.65, 0.4), (1.0, 0.35)];

/// One team.
#[derive(Debug, Clone)]
pub(super) struct Team {
    pub(super) colours: [[f64; 3]; 5],
    pub(super) shares: [f64; 5],
}

impl Team {
    pub(super) fn of(colours: &[&str; 5]) -> Self {
        Self {
            colours: colours.map(|hex| super::lab(hex).0),
            shares: [0.42, 0.24, 0.16, 0.11, 0.07],
        }
    }

    /// The mean of a property of the parts' colours, by area.
    pub(super) fn mean(&self, of: impl Fn([f64; 3]) -> f64) -> f64 {
        let parts = self.colours.iter().zip(self.shares);
        parts.map(|(lab, share)| share * of(*lab)).sum()
    }

    /// What an eye sees of it.
    pub(super) fn look(&self, eye: &Eye) -> Look {
        let seen = |lab: [f64; 3], light: f64| {
            let lit = Lab(lab)
                .linear()
                .0
                .map(|channel| (channel * light).clamp(0.0, 1.0));
            let Linear(seen) = eye.sees(Linear(lit));
            Linear(seen.map(|channel| channel.clamp(0.0, 1.0)))
        };
        let parts = || self.colours.iter().zip(self.shares);
        let points: Vec<(Linear, f64)> = parts()
            .flat_map(|(lab, share)| LIGHTS.map(|(light, of)| (seen(*lab, light), of * share)))
            .collect();
        let areas: Vec<Area> = parts()
            .map(|(lab, share)| Area {
                colour: seen(*lab, 0.7),
                share,
            })
            .collect();
        let dominant = dominant(&areas).unwrap();
        Look {
            shades: shades(&points),
            dominant: dominant.colour.lab(),
            dominant_share: dominant.share,
        }
    }
}

/// A copy whose colours are changed, by part.
pub(super) fn changed(team: &Team, change: impl Fn(usize, [f64; 3]) -> [f64; 3]) -> Team {
    let mut other = team.clone();
    for (part, colour) in other.colours.iter_mut().enumerate() {
        let [l, a, b] = change(part, *colour);
        *colour = [l.clamp(0.0, 100.0), a, b];
    }
    other
}
