//! The mixes of owned paints that dry closest to a colour, and how close these paints can come at all.

use velatura_document::{Diagnostic, Error};
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::scheme::matching::{
    BestAt, Effort, FAR, Grid, HelpfulPaint, LOOKED_THROUGH, Match, Matching, Measure,
    OUT_OF_REACH, best_distance_watched, find, helpful_paint, useful,
};
use velatura_pipeline::scheme::{Substrate, Watch};

use super::read::Target;

/// What to look for, among which mixes.
#[derive(Debug, Clone)]
pub struct MixRequest {
    /// The dried colour to reach.
    pub target: Target,
    /// The undercoat.
    pub substrate: Substrate,
    /// How many mixes to return, 1…1000.
    pub count: usize,
    /// The most paints in a mix, 1…6.
    pub max_paints: usize,
    /// The most parts in a mix, medium included, 1…100.
    pub max_parts: u32,
    /// The films to try, each more than 0; none: the usual ones.
    pub films: Vec<f64>,
}

/// What was found.
#[derive(Debug, Clone)]
pub struct MixesFound {
    /// The mixes, nearest first, each with what it is best at.
    pub mixes: Vec<(Match, Vec<BestAt>)>,
    /// The mixes that could be tried.
    pub grid: Grid,
    /// Whether they were too many to try them all.
    pub thinned: bool,
    /// How close these paints can come.
    pub reach: Reach,
}

/// How close these paints can come, and what would help if that is not close.
#[derive(Debug, Clone)]
pub struct Reach {
    /// The least ΔE of any amounts.
    pub best: f64,
    /// The paint that would help, for a colour out of reach.
    pub helpful: Option<HelpfulPaint>,
    /// The nearest mix by plain CIELAB distance, for a colour that is far away.
    pub straight: Option<Match>,
}

impl MixRequest {
    /// Finds the mixes. `paints_name` is the name of the paints' file, for messages.
    ///
    /// # Errors
    /// [`Error::Input`] if there is no paint to mix with, [`Error::Cancelled`].
    pub fn find(
        &self,
        paints: &PaintBox,
        paints_name: &str,
        watch: &Watch<'_>,
    ) -> Result<MixesFound, Error> {
        let matching = self.matching(paints);
        refuse_nothing(&matching.grid, paints_name)?;
        let effort = Effort {
            watch: *watch,
            ..Effort::default()
        };
        let found = find(paints, &matching, &effort)?;
        let reach = Reach::new(paints, &matching, &found.mixes, &effort)?;
        Ok(MixesFound {
            mixes: useful(&found.mixes, self.count)
                .into_iter()
                .map(|(index, best_at)| (found.mixes[index].clone(), best_at))
                .collect(),
            grid: matching.grid,
            thinned: found.thinned,
            reach,
        })
    }

    fn matching(&self, paints: &PaintBox) -> Matching {
        let lab = self.target.colour.lab();
        let mut matching = Matching {
            count: self.count.max(LOOKED_THROUGH),
            ..Matching::new(paints, lab, self.substrate.clone())
        };
        let grid = &mut matching.grid;
        grid.max_paints = self.max_paints;
        grid.max_parts = self.max_parts;
        grid.paints
            .retain(|paint| Some(*paint) != self.target.paint);
        if !self.films.is_empty() {
            grid.films.clone_from(&self.films);
        }
        matching
    }
}

impl Reach {
    fn new(
        paints: &PaintBox,
        matching: &Matching,
        found: &[Match],
        effort: &Effort<'_>,
    ) -> Result<Self, Error> {
        let best = best_distance_watched(paints, matching, found, &effort.watch)?;
        let straight = || -> Result<Option<Match>, Error> {
            let by_line = Matching {
                measure: Measure::Cielab,
                count: 1,
                ..matching.clone()
            };
            Ok(find(paints, &by_line, effort)?.mixes.pop())
        };
        Ok(Self {
            best,
            helpful: (best > OUT_OF_REACH).then(|| helpful_paint(matching)),
            straight: (best > FAR).then(straight).transpose()?.flatten(),
        })
    }
}

/// Refuses a grid without paints.
fn refuse_nothing(grid: &Grid, paints_name: &str) -> Result<(), Error> {
    if !grid.paints.is_empty() {
        return Ok(());
    }
    Err(
        Diagnostic::error(paints_name, "there is no paint to mix with")
            .expected("at least one owned paint other than the target")
            .help("remove `owned = false` from the paints that you have")
            .into(),
    )
}
