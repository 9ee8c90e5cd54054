//! From names to optics: looks up the region and the paints of every coat, and computes K and S of every mix.

use std::collections::{BTreeSet, HashMap};

use velatura_document::{At, Diagnostic, Problems, SourceText, StageTable, counted, nearest};
use velatura_figure::{FigureFile, SimulatedUndercoat};
use velatura_optics::calibrate::PaintBox;
use velatura_optics::coat::{Coat, Where, colour_over_grey, stack_at};
use velatura_optics::colour::{Encoded, Linear};
use velatura_optics::mixture::Mix;
use velatura_optics::trust::Trust;

use crate::schemes_file::{CoatEntry, SchemeEntry, SchemesFile};
use crate::words::Varnish;

/// The name of clear glaze medium, which is always available.
pub const MEDIUM: &str = "medium";

/// The grey under chips: the code in the middle.
pub const MID_GREY: Encoded = Encoded([128; 3]);

/// A scheme ready for the pipeline.
#[derive(Debug, Clone)]
pub struct Scheme {
    /// Its name.
    pub name: String,
    /// The team that wears it; may be empty.
    pub team: String,
    /// The undercoat below the coats.
    pub undercoat: SimulatedUndercoat,
    /// The varnish.
    pub finish: Varnish,
    /// One entry per region of the figure, in the figure's order.
    pub regions: Vec<RegionStack>,
    /// The tables `[scheme.stage.NAME]` as written.
    pub stages: Vec<StageTable>,
}

/// The coats of one region.
#[derive(Debug, Clone)]
pub struct RegionStack {
    /// The region's name.
    pub region: String,
    /// Coats, lowest first. Without coats the region stays as photographed.
    pub coats: Vec<Coat>,
    /// The mix of each coat, in the same order.
    pub mixes: Vec<Mix>,
    /// The weakest basis of its colour, and the usual error of such colours.
    pub trust: Trust,
}

impl RegionStack {
    /// Dried colour of the coats on mid grey, at medium relief; `None` without a coat. A coat that is only in the recesses or on
    /// raised parts does not reach there: a highlight does not stand for the whole part. If no coat reaches there, all count as if
    /// they were everywhere.
    #[must_use]
    pub fn chip(&self, paints: &PaintBox) -> Option<Linear> {
        let Linear([grey, ..]) = MID_GREY.linear();
        let reaches = |coat: &&Coat| coat.film_at(0.5) > 0.0;
        let mut on_chip: Vec<Coat> = self.coats.iter().filter(reaches).cloned().collect();
        if on_chip.is_empty() {
            let everywhere = |coat: &Coat| Coat {
                place: Where::All,
                ..coat.clone()
            };
            on_chip = self.coats.iter().map(everywhere).collect();
        }
        (!on_chip.is_empty())
            .then(|| colour_over_grey(&stack_at(&on_chip, 0.5), grey, paints.cards.specular))
    }
}

impl Scheme {
    /// The names of the metallic paints in it, each once: their glint is in no picture.
    #[must_use]
    pub fn metallic_paints<'a>(&self, paints: &'a PaintBox) -> Vec<&'a str> {
        let mixes = self.regions.iter().flat_map(|stack| &stack.mixes);
        let used = mixes.flat_map(|mix| &mix.paints);
        let places: BTreeSet<usize> = used.map(|(place, _)| *place).collect();
        let used = places.into_iter().map(|place| &paints.paints[place]);
        used.filter(|paint| paint.metallic)
            .map(|paint| &*paint.name)
            .collect()
    }
}

/// The regions that a file of schemes may name.
#[derive(Debug, Clone, Copy)]
pub struct KnownRegions<'a> {
    /// Their names, in the figure's order.
    pub names: &'a [String],
    /// The figure file, for messages.
    pub file: &'a str,
}

/// The paints that a file of schemes may name.
#[derive(Debug, Clone, Copy)]
pub struct KnownPaints<'a> {
    /// The paints, calibrated.
    pub paints: &'a PaintBox,
    /// The paints file, for messages.
    pub file: &'a str,
}

impl<'a> KnownPaints<'a> {
    /// The place of each name; of two equal names, the first place.
    pub(crate) fn places(&self) -> HashMap<&'a str, usize> {
        let mut places = HashMap::new();
        for (place, paint) in self.paints.paints.iter().enumerate() {
            places.entry(paint.name.as_str()).or_insert(place);
        }
        places
    }
}

/// Looks up every name of a file of schemes.
///
/// `regions` are the figure's, in its order; `figure_name` and `paints_name` are the files' names for messages.
///
/// # Errors
/// Every unknown region and paint, each with the nearest known name; at most
/// [`COLLECTED_AT_MOST`](velatura_document::COLLECTED_AT_MOST), and the number of the others.
pub fn resolve(
    file: &SchemesFile,
    regions: &[String],
    figure_name: &str,
    paints: &PaintBox,
    paints_name: &str,
) -> Result<Vec<Scheme>, Vec<Diagnostic>> {
    let known_regions = KnownRegions {
        names: regions,
        file: figure_name,
    };
    let known_paints = KnownPaints {
        paints,
        file: paints_name,
    };
    let problems = unknown_names(file, Some(known_regions), Some(known_paints));
    if problems.is_empty() {
        let places = known_paints.places();
        let scheme = |entry| resolved(entry, regions, paints, &places);
        Ok(file.schemes.iter().map(scheme).collect())
    } else {
        Err(problems)
    }
}

/// Every name in a file of schemes that is unknown, as [`resolve`] reports them. Where the figure or the paints could not be
/// read, pass `None`: then nothing is said about their names.
#[must_use]
pub fn unknown_names(
    file: &SchemesFile,
    regions: Option<KnownRegions<'_>>,
    paints: Option<KnownPaints<'_>>,
) -> Vec<Diagnostic> {
    let problems = Problems::default();
    let paints = paints.map(|paints| (paints, paints.places()));
    for entry in &file.schemes {
        for (coat, number) in entry.coats.iter().zip(1..) {
            let region = &coat.region.value;
            let part = || {
                let scheme = &entry.name.value;
                format!("coat {number} (region \"{region}\") of scheme \"{scheme}\"")
            };
            if let Some((paints, places)) = &paints {
                for (name, _) in &coat.mix {
                    if name.value != MEDIUM && !places.contains_key(name.value.as_str()) {
                        problems.error(|| no_paint(&file.source, name, *paints, &part()));
                    }
                }
            }
            if let Some(regions) = regions
                && !regions.names.contains(region)
            {
                problems.error(|| no_region(file, coat, regions, &part()));
            }
        }
    }
    problems.into_sorted(file.source.name())
}

/// A scheme of which every name is known.
fn resolved(
    entry: &SchemeEntry,
    regions: &[String],
    paints: &PaintBox,
    places: &HashMap<&str, usize>,
) -> Scheme {
    let stack = |region: &String| {
        let mut stack = RegionStack {
            region: region.clone(),
            coats: Vec::new(),
            mixes: Vec::new(),
            trust: Trust::AS_PHOTOGRAPHED,
        };
        for coat in entry
            .coats
            .iter()
            .filter(|coat| coat.region.value == *region)
        {
            let mix = mix_of(&coat.mix, places);
            stack.coats.push(Coat {
                optics: paints.mixed(&mix),
                film: coat.film,
                place: coat.place,
                pooling: coat.pooling,
                width_mm: coat.width_mm,
            });
            stack.trust = Trust::weakest([stack.trust, paints.trust(&mix)]);
            stack.mixes.push(mix);
        }
        stack
    };
    Scheme {
        name: entry.name.value.clone(),
        team: entry.team.clone(),
        undercoat: entry.undercoat,
        finish: entry.finish,
        regions: regions.iter().map(stack).collect(),
        stages: entry.stages.clone(),
    }
}

fn mix_of(written: &[(At<String>, f64)], places: &HashMap<&str, usize>) -> Mix {
    let mut mix = Mix::default();
    for (name, parts) in written {
        match places.get(name.value.as_str()) {
            Some(place) if name.value != MEDIUM => mix.paints.push((*place, *parts)),
            _ => mix.medium = *parts,
        }
    }
    mix
}

/// The mixes that stay whatever the scheme, `keep` in a figure file: the index of the region, and its mix.
///
/// # Errors
/// Every paint of a `keep` that is not in the box, with the nearest known name.
pub fn kept_mixes(
    figure: &FigureFile,
    paints: KnownPaints<'_>,
) -> Result<Vec<(usize, Mix)>, Vec<Diagnostic>> {
    let problems = Problems::default();
    let places = paints.places();
    let mut kept = Vec::new();
    for (index, region) in figure.regions.iter().enumerate() {
        let Some(written) = &region.keep else {
            continue;
        };
        for (name, _) in written {
            if name.value != MEDIUM && !places.contains_key(name.value.as_str()) {
                let part = || format!("`keep` of region \"{}\"", region.name.value);
                problems.error(|| no_paint(&figure.source, name, paints, &part()));
            }
        }
        let parts = written
            .iter()
            .map(|(name, parts)| (name.clone(), parts.value));
        kept.push((index, mix_of(&parts.collect::<Vec<_>>(), &places)));
    }
    if problems.any_error() {
        Err(problems.into_sorted(figure.source.name()))
    } else {
        Ok(kept)
    }
}

fn no_region(
    file: &SchemesFile,
    coat: &CoatEntry,
    regions: KnownRegions<'_>,
    part: &str,
) -> Diagnostic {
    let name = &coat.region.value;
    let near = nearest(name, regions.names.iter().map(String::as_str));
    let problem = file
        .source
        .error_at(&coat.region.at, format!("no region is called \"{name}\""))
        .within(part)
        .expected(format!(
            "a region in {}: {}",
            regions.file,
            regions.names.join(", ")
        ));
    match near {
        Some(near) => problem.help(format!("did you mean \"{near}\"?")),
        None => problem.help("add the region to the figure and its mask, or remove the coat"),
    }
}

fn no_paint(
    file: &SourceText,
    name: &At<String>,
    paints: KnownPaints<'_>,
    part: &str,
) -> Diagnostic {
    let names = paints.paints.paints.iter().map(|paint| paint.name.as_str());
    let near = nearest(&name.value, names.chain([MEDIUM]));
    file.error_at(&name.at, format!("no paint is called \"{}\"", name.value))
        .within(part)
        .expected(format!(
            "a paint in {} ({}), or medium",
            paints.file,
            counted(paints.paints.paints.len(), "paint")
        ))
        .help(match near {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => format!("add the paint to {}, or use another", paints.file),
        })
}
