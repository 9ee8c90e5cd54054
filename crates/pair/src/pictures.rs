//! The pictures of a pair's page: both teams close up, from across the table, and with other colour vision.
//!
//! In: two rendered teams. Out: 8-bit pictures at the size in which they are shown, the teams always at one scale.

use image::RgbImage;
use rayon::prelude::*;
use velatura_pipeline::View;

use super::figures::Sight;
use super::scale::{DISTANCES_MM, Screen, shared_scale, table_scale};
use super::team::{Team, picture};

/// Height of a pair's picture for one kind of other colour vision, and its width, in pixels.
pub(crate) const EYES_PX: (f64, f64) = (360.0, 262.0);

/// All pictures; the two of an array are the two teams'.
pub(crate) struct Pictures {
    /// Close up, at the scale of the report.
    pub(crate) close_up: [Standing; 2],
    /// One figure of each team from each of [`DISTANCES_MM`].
    pub(crate) table: Vec<[RgbImage; 2]>,
    /// Both teams close up, for each kind of colour vision except normal.
    pub(crate) eyes: Vec<(Sight, [Standing; 2])>,
}

/// A picture and where its figure's feet are.
pub(crate) struct Standing {
    pub(crate) picture: RgbImage,
    /// Pixels from the feet down to the lower edge.
    pub(crate) below: u32,
}

impl Pictures {
    /// Makes them from two teams; `close_up` is pixels per mm.
    pub(crate) fn new(teams: &[Team; 2], close_up: f64, screen: &Screen, severity: f64) -> Self {
        let standing = |team: &Team, view: &View, px_per_mm: f64| Standing {
            picture: picture(view),
            below: team.stance.below_px(px_per_mm),
        };
        let stances = [teams[0].stance, teams[1].stance];
        let small = shared_scale(&stances, EYES_PX.1, EYES_PX.0);
        let small_views = teams.each_ref().map(|team| team.shrunk(small));
        let others = Sight::ALL
            .into_iter()
            .filter(|sight| *sight != Sight::Usual);
        Self {
            close_up: teams
                .each_ref()
                .map(|team| standing(team, &team.shrunk(close_up), close_up)),
            table: DISTANCES_MM
                .into_par_iter()
                .map(|distance_mm| {
                    let px_per_mm = table_scale(&stances, screen, distance_mm);
                    teams
                        .each_ref()
                        .map(|team| picture(&team.seen_from(distance_mm, px_per_mm)))
                })
                .collect(),
            eyes: others
                .map(|sight| {
                    let eye = sight.eye(severity);
                    let seen = [0, 1].map(|index: usize| {
                        let view = small_views[index].through(&eye);
                        standing(&teams[index], &view, small)
                    });
                    (sight, seen)
                })
                .collect(),
        }
    }
}
