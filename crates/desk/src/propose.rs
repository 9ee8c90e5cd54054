//! Schemes that are composed for the painter: proposals, opposites, and the mix nearest to a colour.

use velatura::Job;
use velatura_document::{Error, counted};
use velatura_pipeline::figure::{SimulatedUndercoat, parts};
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::optics::colour::{Encoded, Linear};
use velatura_pipeline::scheme::matching::{Effort, Grid, MAX_PARTS, Matching, OUT_OF_REACH, find};
use velatura_pipeline::scheme::{
    Exploring, HueSpace, MEDIUM, Mood, Opposing, Proposed, Substrate, Undercoat, Watch, Way,
    distinct_opposite, explore, painting_order, schemes_text,
};

use crate::file_names::{PAINTS, SCHEMES};

/// How many schemes are proposed.
pub(crate) const PROPOSALS: usize = 10;
/// Most paints in a proposed scheme: what `velatura explore` does without options.
const MOST_PAINTS: usize = 4;

/// What was composed: the text of a schemes file, and a sentence about it.
pub(crate) struct Composed {
    pub(crate) text: String,
    pub(crate) said: String,
}

/// Ten schemes from the owned paints.
///
/// # Errors
/// An unknown mood; no scheme satisfies all rules.
pub(crate) fn proposals(job: &Job, seed: u64, mood: Option<&str>) -> Result<Composed, Error> {
    let mood = match mood {
        None => None,
        Some("bright") => Some(Mood::Bright),
        Some("dark") => Some(Mood::Dark),
        Some("muted") => Some(Mood::Muted),
        Some(other) => {
            let found = format!("there is no mood \"{other}\"");
            return Err(Error::refused("", found, "bright, dark or muted", ""));
        }
    };
    let ground = job.ground();
    let kept = job.kept_mixes().map_err(Error::inputs)?;
    let found = explore(&Exploring {
        paints: &job.paints,
        ground: &ground,
        undercoat: SimulatedUndercoat::AsPhotographed,
        team: "",
        count: PROPOSALS,
        seed,
        most_paints: MOST_PAINTS,
        max_parts: MAX_PARTS,
        parts: &parts(&job.figure),
        mood,
        kept: &kept,
        against: None,
    });
    if found.proposals.is_empty() {
        return Err(Error::refused(
            PAINTS,
            "no scheme satisfies all rules",
            "owned paints that give neighbouring parts distinct colours",
            "add paints that you own",
        ));
    }
    let proposed = found.written(&ground);
    let head = [format!(
        "Proposed for \"{}\" from {PAINTS} with seed {seed}. Coats are listed in painting order, light to dark.",
        job.figure.name
    )];
    Ok(Composed {
        text: schemes_text(&proposed, &job.paints, &head),
        said: format!("{} proposed", counted(proposed.len(), "scheme")),
    })
}

/// The opposite of a scheme, and whether the two stand apart.
///
/// # Errors
/// The scheme has no coat, or there is no paint to match with.
pub(crate) fn opposite_of(job: &Job, at: usize) -> Result<Composed, Error> {
    let scheme = &job.schemes[at];
    let ground = job.ground();
    let all_parts = parts(&job.figure);
    let kept: Vec<usize> = job
        .kept_mixes()
        .map_err(Error::inputs)?
        .into_iter()
        .map(|(region, _)| region)
        .collect();
    let opposing = Opposing {
        scheme,
        scheme_paints: &job.paints,
        ground: &ground,
        paints: &job.paints,
        grid: quick_grid(&job.paints),
        way: Way::Negative,
        undercoat: Undercoat::Flipped,
        parts: &all_parts,
        kept: &kept,
    };
    // In the order of `velatura oppose`.
    let others = [
        Way::Both(HueSpace::Cielab),
        Way::Lightness,
        Way::Hue(HueSpace::Cielab),
    ];
    let found = distinct_opposite(&opposing, &others, &Watch::nobody())?;
    if found.opposed.regions.is_empty() {
        return Err(Error::refused(
            SCHEMES,
            "there is nothing to match: the scheme has no coat, or you own no paint",
            "",
            "give the scheme a coat, or say which paints you own",
        ));
    }
    let opposite = &found.opposed.scheme;
    let verdict = match found.confusable {
        true => "the two teams could be confused",
        false => "the two teams stand apart",
    };
    let said = format!(
        "\"{}\" is the opposite of \"{}\": {verdict}",
        opposite.name, scheme.name
    );
    let proposed = Proposed {
        order: painting_order(opposite, &ground),
        remarks: vec![said.clone()],
        scheme: opposite.clone(),
    };
    Ok(Composed {
        text: schemes_text(&[proposed], &job.paints, &[]),
        said,
    })
}

/// The mix that dries nearest to a colour on a part.
pub(crate) struct NearestMix {
    pub(crate) mix: Vec<(String, f64)>,
    pub(crate) film: f64,
    pub(crate) said: String,
}

/// Finds the mix that dries nearest to a colour over the mean undercoat of a part.
///
/// # Errors
/// There is no paint to mix with.
pub(crate) fn nearest_mix(
    job: &Job,
    scheme: usize,
    region: usize,
    colour: Encoded,
) -> Result<NearestMix, Error> {
    let ground = job.ground();
    let bare = ground.bare(region, job.schemes[scheme].undercoat);
    let substrate = Substrate::of_colour(Linear::grey(bare), ground.specular);
    let mut matching = Matching::new(&job.paints, colour.linear().lab(), substrate);
    matching.count = 1;
    let found = find(&job.paints, &matching, &Effort::default())?;
    let Some(first) = found.mixes.first() else {
        return Err(Error::refused(
            PAINTS,
            "there is no paint to mix with",
            "at least one paint that you own",
            "say which paints you own",
        ));
    };
    let paint = |(place, parts): &(usize, f64)| (job.paints.paints[*place].name.clone(), *parts);
    let medium = (first.mix.medium > 0.0).then(|| (MEDIUM.to_owned(), first.mix.medium));
    let near = match first.delta_e {
        far if far > OUT_OF_REACH => "your paints do not reach this colour; this is the nearest",
        _ => "this mix dries to the colour",
    };
    Ok(NearestMix {
        mix: first.mix.paints.iter().map(paint).chain(medium).collect(),
        film: first.film,
        said: format!("{near} (ΔE {:.1})", first.delta_e),
    })
}

/// Mixes of two paints: a page has one thread, and an opposite searches for every part. Two are also easier to mix.
fn quick_grid(paints: &PaintBox) -> Grid {
    Grid {
        max_paints: 2,
        ..Grid::of_owned(paints)
    }
}
