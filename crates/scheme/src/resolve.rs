//! From names to optics: looks up the region and the paints of every coat, and computes K and S of every mix.

use std::collections::HashMap;

use velatura_document::{At, Diagnostic, Problems, StageTable, counted, nearest};
use velatura_figure::SimulatedUndercoat;
use velatura_optics::calibrate::PaintBox;
use velatura_optics::coat::{Coat, stack_at};
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
    /// Dried colour of the coats on mid grey, at medium relief; `None` without a coat.
    #[must_use]
    pub fn chip(&self, paints: &PaintBox) -> Option<Linear> {
        let Linear([grey, ..]) = MID_GREY.linear();
        let on_chip: Vec<Coat> = self
            .coats
            .iter()
            .map(|coat| Coat {
                place: velatura_optics::coat::Where::All,
                ..coat.clone()
            })
            .collect();
        (!on_chip.is_empty()).then(|| {
            velatura_optics::coat::colour_over_grey(
                &stack_at(&on_chip, 0.5),
                grey,
                paints.cards.specular,
            )
        })
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
    let problems = Problems::default();
    let mut places = HashMap::new();
    for (place, paint) in paints.paints.iter().enumerate() {
        places.entry(paint.name.as_str()).or_insert(place);
    }
    let context = Context {
        file,
        regions,
        figure_name,
        paints,
        places,
        paints_name,
    };
    let schemes = file
        .schemes
        .iter()
        .map(|entry| context.scheme(entry, &problems))
        .collect();
    if problems.any_error() {
        Err(problems.into_sorted(file.source.name()))
    } else {
        Ok(schemes)
    }
}

struct Context<'a> {
    file: &'a SchemesFile,
    regions: &'a [String],
    figure_name: &'a str,
    paints: &'a PaintBox,
    /// The place of each name in `paints`.
    places: HashMap<&'a str, usize>,
    paints_name: &'a str,
}

impl Context<'_> {
    fn scheme(&self, entry: &SchemeEntry, problems: &Problems) -> Scheme {
        let mut regions: Vec<RegionStack> = self
            .regions
            .iter()
            .map(|region| RegionStack {
                region: region.clone(),
                coats: Vec::new(),
                mixes: Vec::new(),
                trust: Trust::AS_PHOTOGRAPHED,
            })
            .collect();
        for (index, coat) in entry.coats.iter().enumerate() {
            let part = format!(
                "coat {} (region \"{}\") of scheme \"{}\"",
                index + 1,
                coat.region.value,
                entry.name.value
            );
            let mix = self.mix(coat, &part, problems);
            let Some(stack) = regions
                .iter_mut()
                .find(|stack| stack.region == coat.region.value)
            else {
                problems.error(|| self.no_region(coat, &part));
                continue;
            };
            let Some(mix) = mix else {
                continue;
            };
            stack.coats.push(Coat {
                optics: self.paints.mixed(&mix),
                film: coat.film,
                place: coat.place,
                pooling: coat.pooling,
            });
            stack.trust = Trust::weakest([stack.trust, self.paints.trust(&mix)]);
            stack.mixes.push(mix);
        }
        Scheme {
            name: entry.name.value.clone(),
            team: entry.team.clone(),
            undercoat: entry.undercoat,
            finish: entry.finish,
            regions,
            stages: entry.stages.clone(),
        }
    }

    fn no_region(&self, coat: &CoatEntry, part: &str) -> Diagnostic {
        let name = &coat.region.value;
        let near = nearest(name, self.regions.iter().map(String::as_str));
        let problem = self
            .file
            .source
            .error_at(&coat.region.at, format!("no region is called \"{name}\""))
            .within(part)
            .expected(format!(
                "a region in {}: {}",
                self.figure_name,
                self.regions.join(", ")
            ));
        match near {
            Some(near) => problem.help(format!("did you mean \"{near}\"?")),
            None => problem.help("add the region to the figure and its mask, or remove the coat"),
        }
    }

    fn no_paint(&self, name: &At<String>, part: &str) -> Diagnostic {
        let names = self.paints.paints.iter().map(|paint| paint.name.as_str());
        let near = nearest(&name.value, names.chain([MEDIUM]));
        self.file
            .source
            .error_at(&name.at, format!("no paint is called \"{}\"", name.value))
            .within(part)
            .expected(format!(
                "a paint in {} ({}), or medium",
                self.paints_name,
                counted(self.paints.paints.len(), "paint")
            ))
            .help(match near {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => format!("add the paint to {}, or use another", self.paints_name),
            })
    }

    fn mix(&self, coat: &CoatEntry, part: &str, problems: &Problems) -> Option<Mix> {
        let mut all_known = true;
        let mut mix = Mix::default();
        for (name, parts) in &coat.mix {
            if name.value == MEDIUM {
                mix.medium = *parts;
            } else if let Some(index) = self.places.get(name.value.as_str()) {
                mix.paints.push((*index, *parts));
            } else {
                all_known = false;
                problems.error(|| self.no_paint(name, part));
            }
        }
        all_known.then_some(mix)
    }
}
