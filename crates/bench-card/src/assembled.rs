//! From a job and its schemes to their cards.

use velatura_document::Error;
use velatura_pipeline::figure::Grey;
use velatura_pipeline::optics::coat::{Coat, colour_over_grey, stack_at};
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::scheme::{
    FigureGround, MEDIUM, RegionStack, Scheme, brush_coats, named_parts, spills_in_order,
    thin_coats,
};
use velatura_pipeline::{Cancel, Job};
use velatura_report::CAUTIONS;

use crate::amounts::Bench;
use crate::card::{BenchCard, CoatStep, Measure, Minutes, Need, NumberedPart, SpillNote};
use crate::mixed_once::mixed_once;
use crate::order::PaintingOrder;
use crate::thumbnail::thumbnail;
use crate::words;

/// The value of the first key of a card as data.
pub const BENCH_CARD_FORMAT: &str = "velatura-bench-card/1";

/// A slip counts as visible above this ΔE (CIEDE2000): colours that differ less are hard to tell apart side by side (common
/// practice, no source).
const VISIBLE: f64 = 5.0;
/// More slips than this nobody keeps in mind.
const MOST_SPILLS: usize = 4;
/// Shares of a part's surface that are darker than its dark, middle and bright undercoat on the card.
const QUANTILES: [f64; 3] = [0.1, 0.5, 0.9];

/// The cards of some of the job's schemes, by their indices.
///
/// # Errors
/// [`Error::Call`] if a stage in use is missing, [`Error::Cancelled`].
///
/// # Panics
/// If the job has no such scheme.
pub fn bench_cards(
    job: &Job,
    schemes: &[usize],
    order: PaintingOrder,
    bench: &Bench,
    cancel: &Cancel,
) -> Result<Vec<BenchCard>, Error> {
    let ground = job.ground();
    let seen_mm2 = seen_mm2(job);
    let schemes = schemes.iter().map(|scheme| &job.schemes[*scheme]);
    schemes
        .map(|scheme| {
            let numbers = Numbers {
                job,
                scheme,
                ground: &ground,
                bench,
                seen_mm2,
            };
            bench_card(&numbers, order, cancel)
        })
        .collect()
}

fn bench_card(
    numbers: &Numbers<'_>,
    order: PaintingOrder,
    cancel: &Cancel,
) -> Result<BenchCard, Error> {
    let Numbers {
        job,
        scheme,
        ground,
        bench,
        ..
    } = *numbers;
    let painted = order.parts(scheme, ground);
    let mut coats: Vec<CoatStep> = painted
        .iter()
        .flat_map(|region| numbers.coats(*region))
        .collect();
    mixed_once(&mut coats, bench);
    let undercoat = words::undercoating(scheme.undercoat, job.figure.undercoat.kind.value);
    let name = |region: usize| scheme.regions[region].region.clone();
    let spills = spills_in_order(scheme, ground, &painted)
        .into_iter()
        .filter(|spill| spill.delta_e >= VISIBLE)
        .take(MOST_SPILLS)
        .map(|spill| SpillNote {
            from: name(spill.from),
            onto: name(spill.onto),
            delta_e: spill.delta_e,
        });
    let parts = scheme.regions.iter().zip(1..).map(|(stack, number)| {
        let seen = &ground.summary.regions[number - 1];
        NumberedPart {
            number,
            name: stack.region.clone(),
            painted: !stack.coats.is_empty(),
            visible: seen.area > 0.0,
        }
    });
    let steps = &job.figure.steps;
    let (thumbnail, thumbnail_png) = thumbnail(job, scheme, cancel)?;
    Ok(BenchCard {
        figure: job.figure.name.clone(),
        scheme: scheme.name.clone(),
        team: scheme.team.clone(),
        count: job.figure.count,
        fix: words::fix(&undercoat),
        undercoat,
        parts: parts.collect(),
        order: order.in_words().to_owned(),
        drying: words::DRYING.to_owned(),
        spills: spills.collect(),
        varnish: words::varnish(scheme.finish),
        needs: needs(&coats, bench),
        own_steps: steps.iter().map(|step| step.text.clone()).collect(),
        minutes: minutes(&coats, bench, job),
        basis: basis(bench, job, scheme),
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
        coats,
        thumbnail_png,
        thumbnail,
    })
}

/// Area of all parts in the photo.
fn seen_mm2(job: &Job) -> f64 {
    let planes = &job.underpainting;
    let pixels = planes
        .subject
        .region
        .iter()
        .filter(|region| **region != 0)
        .count();
    #[allow(clippy::cast_precision_loss, reason = "fewer pixels than 2^53")]
    let pixels = pixels as f64;
    pixels / planes.px_per_mm.powi(2)
}

struct Numbers<'a> {
    job: &'a Job,
    scheme: &'a Scheme,
    ground: &'a FigureGround,
    bench: &'a Bench,
    seen_mm2: f64,
}

impl Numbers<'_> {
    fn coats(&self, region: usize) -> Vec<CoatStep> {
        let stack = &self.scheme.regions[region];
        (0..stack.coats.len())
            .map(|coat| self.coat(region, stack, coat))
            .collect()
    }

    fn coat(&self, region: usize, stack: &RegionStack, index: usize) -> CoatStep {
        let (coat, mix) = (&stack.coats[index], &stack.mixes[index]);
        let count = self.job.figure.count;
        let paints = &self.job.paints;
        let greys = self.ground.greys(region, self.scheme.undercoat);
        let area_mm2 = self.ground.summary.regions[region].area * self.seen_mm2;
        let needed_ml = self
            .bench
            .needed_ml(area_mm2, mean_film(coat, &greys), count);
        let owned = |name: &str| {
            name == MEDIUM
                || paints
                    .index_of(name)
                    .is_none_or(|index| paints.paints[index].owned)
        };
        CoatStep {
            part: region + 1,
            name: stack.region.clone(),
            mix: named_parts(mix, paints)
                .map(|(paint, parts)| Measure {
                    paint: paint.to_owned(),
                    parts,
                    // `mixed_once` counts them.
                    drops: 0,
                    owned: owned(paint),
                })
                .collect(),
            film: coat.film,
            coats: brush_coats(coat.film),
            place: words::place(coat),
            pooling: words::pooling(coat),
            dried: self.dried(&stack.coats[..=index], &greys),
            mix_of_step: None,
            also_for_steps: Vec::new(),
            needed_ml,
            made_ml: 0.0,
        }
    }

    /// Colours of these coats over the part's dark, middle and bright undercoat.
    fn dried(&self, coats: &[Coat], greys: &[Grey]) -> [Encoded; 3] {
        let mut sorted = greys.to_vec();
        sorted.sort_by(|a, b| a.substrate.total_cmp(&b.substrate));
        QUANTILES.map(|share| {
            let mut passed = 0.0;
            let grey = sorted
                .iter()
                .find(|grey| {
                    passed += grey.weight;
                    passed >= share
                })
                .or(sorted.last())
                .expect("a part without a pixel has one mid grey");
            let stack = stack_at(coats, grey.relief);
            colour_over_grey(&stack, grey.substrate, self.ground.specular).encoded()
        })
    }
}

/// The film of a coat, averaged over a part: less where it stays in the recesses.
fn mean_film(coat: &Coat, greys: &[Grey]) -> f64 {
    greys
        .iter()
        .map(|grey| grey.weight * coat.film_at(grey.relief))
        .sum()
}

/// Drops of each paint over all coats, in the order of first use; medium last.
fn needs(coats: &[CoatStep], bench: &Bench) -> Vec<Need> {
    let mut needs: Vec<Need> = Vec::new();
    for measure in coats.iter().flat_map(|coat| &coat.mix) {
        match needs.iter_mut().find(|need| need.paint == measure.paint) {
            Some(need) => need.drops = need.drops.saturating_add(measure.drops),
            None => needs.push(Need {
                paint: measure.paint.clone(),
                drops: measure.drops,
                ml: 0.0,
                owned: measure.owned,
            }),
        }
    }
    for need in &mut needs {
        need.ml = f64::from(need.drops) * bench.drop_ml;
    }
    needs.sort_by_key(|need| need.paint == MEDIUM);
    needs
}

fn minutes(coats: &[CoatStep], bench: &Bench, job: &Job) -> Minutes {
    let thin: f64 = coats.iter().map(|coat| thin_coats(coat.film)).sum();
    let own: f64 = job.figure.steps.iter().map(|step| step.minutes).sum();
    let figure = bench.minutes_for_undercoat
        + thin * bench.minutes_per_coat
        + bench.minutes_for_varnish
        + own;
    Minutes {
        figure,
        team: figure * f64::from(job.figure.count),
    }
}

fn basis(bench: &Bench, job: &Job, scheme: &Scheme) -> Vec<String> {
    let height = job.figure.height_mm;
    let metallic = scheme.metallic_paints(&job.paints);
    let glint = (!metallic.is_empty()).then(|| {
        let names = metallic.join(", ");
        format!("{names}: expect the glint of metal that picture and chips do not show.")
    });
    let mut basis = vec![
        format!(
            "Amounts are estimates: area in the photo at {height} mm figure height × {} (the surface of a part is larger than what \
             the photo shows) × {} mm of wet paint at film 1 × {} (some stays on palette and brush); {} ml a drop.",
            bench.surface_per_seen,
            bench.wet_film_mm,
            1.0 + bench.loss,
            bench.drop_ml
        ),
        format!(
            "Minutes are estimates, without drying: {} for the undercoat, {} for a thin coat on one part, {} for the varnish.",
            bench.minutes_for_undercoat, bench.minutes_per_coat, bench.minutes_for_varnish
        ),
    ];
    basis.extend(glint);
    basis
}
