//! From a card's photo to colours: runs all steps of this crate.

use velatura_document::{Diagnostic, Warned, room_for};
use velatura_optics::colour::{Encoded, Linear};

use super::card_reading::{CardReading, FieldColour, FieldReading, LightReport, MarksFrom};
use super::chart::{ChartReport, Correction, apart};
use super::edge::edge_mm;
use super::geometry::{RectMm, Strip};
use super::layout_file::{FieldEntry, LayoutFile};
use super::light::{BareCell, LightField};
use super::marks::find_marks;
use super::plane::Plane;
use super::samples::{Agreed, Sample, agreed, linear, median, samples, y};
use super::verdict;
use velatura_photo::Photo;

/// Cells that a bare stretch is cut into, and a further bare area (columns × rows).
const STRETCH_CELLS: [u32; 2] = [1, 3];
const AREA_CELLS: [u32; 2] = [8, 1];
/// Blocks of a place, to detect streaks.
const BLOCKS: usize = 5;

/// The most memory per pixel of the photo that [`read_card`] holds at one time.
pub const CARD_BYTES_PER_PIXEL: u64 = 4;

/// Reads a card. `name` is the photo's, for messages.
///
/// # Errors
/// Everything that makes the colours useless: no marks, a card that is cut off, clipped white, heavy blur, strips that are not
/// where the layout says; too little memory.
pub fn read_card(
    name: &str,
    photo: &Photo,
    layout: &LayoutFile,
) -> Result<Warned<CardReading>, Vec<Diagnostic>> {
    let one = |problem| vec![problem];
    room_for(CARD_BYTES_PER_PIXEL * photo.luminance.len() as u64, name).map_err(one)?;
    let (corners, marks) = match layout.corners {
        Some(corners) => (corners, MarksFrom::Given),
        None => (find_marks(name, photo).map_err(one)?, MarksFrom::Found),
    };
    let [width, height] = layout.geometry.marks_mm;
    let plane = Plane::through(layout.geometry.outline().corners(), corners)
        .ok_or_else(|| vec![verdict::no_plane(name, layout)])?;
    let looked = Looked {
        name,
        photo,
        layout,
        plane,
    };

    let bare = looked.bare().map_err(one)?;
    let light = LightField::fit(&bare, layout.geometry.marks_mm)
        .ok_or_else(|| vec![verdict::no_light(name, layout)])?;
    let edge = edge_mm(photo, &plane, &layout.geometry, &light);
    let (correction, chart) = looked.chart(&light).map_err(one)?;
    let fields: Vec<FieldReading> = layout
        .fields
        .iter()
        .map(|entry| looked.field(entry, &light, &correction))
        .collect::<Result<_, _>>()
        .map_err(one)?;
    let reading = CardReading {
        light: LightReport {
            evenness: evenness(&fields, layout, &light),
            veil: y(light.veil()) / y(light.light([width / 2.0, height / 2.0])),
            residual: light.residual(&bare),
            white_tone: tone_of(&bare, layout.cards.white),
            edge_mm: edge,
        },
        fields,
        chart,
        corners_px: corners,
        marks,
    };
    let mut found = verdict::verdict(name, layout, &reading);
    let unnamed = looked.unnamed(&light, &correction);
    found.extend(verdict::unnamed(name, layout, &unnamed));
    if found.iter().any(Diagnostic::is_error) {
        return Err(found);
    }
    Ok(Warned::new(reading, found))
}

/// A photo whose card is found.
struct Looked<'a> {
    name: &'a str,
    photo: &'a Photo,
    layout: &'a LayoutFile,
    plane: Plane,
}

impl Looked<'_> {
    fn samples(&self, rect: &RectMm, what: &str) -> Result<Vec<Sample>, Diagnostic> {
        samples(self.photo, &self.plane, rect)
            .ok_or_else(|| verdict::outside(self.name, what, self.layout))
    }

    /// Bare card next to every drawdown, and what is wrong with it.
    fn bare(&self) -> Result<Vec<BareCell>, Diagnostic> {
        let card = &self.layout.geometry;
        let colours = &self.layout.cards;
        let (black, white) = (colours.black.linear().0, colours.white.linear().0);
        let mut cells = Vec::new();
        let (mut bright, mut clipped) = (0_usize, 0_usize);
        let mut measure = |rect: &RectMm, truth: [f64; 3], cut: [u32; 2], strip: Strip| {
            for cell in rect.cells(cut[0], cut[1]) {
                let found = self.samples(&cell, "the bare card")?;
                if strip == Strip::White {
                    bright += found.len();
                    clipped += found
                        .iter()
                        .filter(|one| verdict::is_clipped(one.code))
                        .count();
                }
                let seen: Vec<[f64; 3]> = found.iter().map(|one| linear(one.code)).collect();
                cells.push(BareCell {
                    mm: [0, 1].map(|i| f64::midpoint(cell.from[i], cell.to[i])),
                    seen: agreed(&seen).colour,
                    card: truth,
                });
            }
            Ok::<(), Diagnostic>(())
        };
        for (row, pair) in card.pairs.iter().enumerate() {
            for (strip, truth) in [(Strip::Black, black), (Strip::White, white)] {
                // A row without drawdowns may still lack its black card or paint.
                if strip == Strip::Black && !self.has_fields(row) {
                    continue;
                }
                for stretch in card.bare(pair, strip) {
                    measure(&stretch, truth, STRETCH_CELLS, strip)?;
                }
            }
        }
        for area in &card.bare_white {
            measure(area, white, AREA_CELLS, Strip::White)?;
        }
        let tones = [colours.black, colours.white].map(|card| tone_of(&cells, card));
        verdict::bare(self.name, self.layout, tones, share(clipped, bright))?;
        Ok(cells)
    }

    /// Whether the layout has a drawdown on this pair of strips.
    fn has_fields(&self, row: usize) -> bool {
        let across = self.layout.geometry.across;
        let mut fields = self.layout.fields.iter();
        fields.any(|field| field.place / across == row)
    }

    /// The places without a name in the layout, from 0, that are not bare card: on both strips in rows in use, in others on the white
    /// strip alone.
    fn unnamed(&self, light: &LightField, correction: &Correction) -> Vec<usize> {
        let card = &self.layout.geometry;
        let colours = &self.layout.cards;
        let painted = |place: usize| {
            let mut strips = vec![(Strip::White, colours.white)];
            if self.has_fields(place / card.across) {
                strips.push((Strip::Black, colours.black));
            }
            strips.into_iter().any(|(strip, truth)| {
                // A place outside the photo shows nothing.
                let found = samples(self.photo, &self.plane, &card.measured(place, strip));
                found.is_some_and(|found| {
                    let colour = correction.apply(self.reflectance(&found, light).colour);
                    verdict::is_painted(colour, truth)
                })
            })
        };
        let named = |place: &usize| self.layout.fields.iter().any(|field| field.place == *place);
        (0..card.places())
            .filter(|place| !named(place) && painted(*place))
            .collect()
    }

    fn chart(&self, light: &LightField) -> Result<(Correction, Option<ChartReport>), Diagnostic> {
        let Some(chart) = &self.layout.chart else {
            return Ok((Correction::none(), None));
        };
        let mut patches = Vec::new();
        for patch in &chart.patches {
            let found = self.samples(&patch.rect, "a patch of the chart")?;
            patches.push((self.reflectance(&found, light).colour, patch.truth.0));
        }
        let white = self.layout.cards.white.linear().0;
        let correction = Correction::fit(&patches, white)
            .ok_or_else(|| verdict::flat_chart(self.name, self.layout))?;
        let missed = |with: &Correction| -> Vec<f64> {
            patches
                .iter()
                .map(|(found, truth)| apart(with.apply(*found), *truth))
                .collect()
        };
        let (before, after) = (missed(&Correction::none()), missed(&correction));
        #[allow(clippy::cast_precision_loss, reason = "a few patches")]
        let mean = |all: &[f64]| all.iter().sum::<f64>() / all.len() as f64;
        let report = ChartReport {
            patches: patches.len(),
            source: chart.source.clone(),
            licence: chart.licence.clone(),
            mean_before: mean(&before),
            mean_after: mean(&after),
            worst_after: after.iter().copied().fold(0.0, f64::max),
            matrix: correction.rows(),
        };
        Ok((correction, Some(report)))
    }

    fn reflectance(&self, found: &[Sample], light: &LightField) -> Agreed {
        let colours: Vec<[f64; 3]> = found
            .iter()
            .map(|one| light.reflectance(one.mm, linear(one.code)))
            .collect();
        agreed(&colours)
    }

    fn field(
        &self,
        entry: &FieldEntry,
        light: &LightField,
        correction: &Correction,
    ) -> Result<FieldReading, Diagnostic> {
        let strip = |strip| {
            let rect = self.layout.geometry.measured(entry.place, strip);
            let what = format!("the field \"{}\"", entry.title());
            let found = self.samples(&rect, &what)?;
            Ok(self.colour(&rect, &found, light, correction))
        };
        Ok(FieldReading {
            entry: entry.clone(),
            over_black: strip(Strip::Black)?,
            over_white: strip(Strip::White)?,
        })
    }

    fn colour(
        &self,
        rect: &RectMm,
        found: &[Sample],
        light: &LightField,
        correction: &Correction,
    ) -> FieldColour {
        let agreed = self.reflectance(found, light);
        let colour = Linear(correction.apply(agreed.colour));
        let count = |is: &dyn Fn(&Sample) -> bool| {
            share(found.iter().filter(|one| is(one)).count(), found.len())
        };
        let tone = |one: &Sample| y(light.reflectance(one.mm, linear(one.code)));
        let middle = y(agreed.colour);
        let spread = self.spread(rect, found, light, agreed.colour);
        FieldColour {
            srgb: colour.encoded(),
            lab: colour.lab().0,
            in_gamut: colour.in_gamut(),
            spread,
            left_out: 1.0 - agreed.kept_share,
            glare: count(&|one| tone(one) > middle + verdict::GLARE_ABOVE),
            clipped: count(&|one| verdict::is_clipped(one.code)),
            drowned: count(&|one| one.code.contains(&0)),
            linear: colour,
        }
    }

    /// Median ΔE of a place's blocks from its colour.
    fn spread(&self, rect: &RectMm, found: &[Sample], light: &LightField, colour: [f64; 3]) -> f64 {
        let size = rect.size();
        let mut blocks = vec![Vec::new(); BLOCKS * BLOCKS];
        for one in found {
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                clippy::cast_precision_loss,
                reason = "a few blocks"
            )]
            let [column, row] = [0, 1].map(|i| {
                let at = (one.mm[i] - rect.from[i]) / size[i] * BLOCKS as f64;
                (at as usize).min(BLOCKS - 1)
            });
            blocks[row * BLOCKS + column].push(light.reflectance(one.mm, linear(one.code)));
        }
        median(
            blocks
                .iter()
                .filter(|block| !block.is_empty())
                .map(|block| apart(agreed(block).colour, colour)),
        )
    }
}

/// Luminance of one of the cards in the photo.
fn tone_of(cells: &[BareCell], card: Encoded) -> f64 {
    let truth = card.linear().0;
    let of_card = cells.iter().filter(|cell| apart(cell.card, truth) < 0.1);
    median(of_card.map(|cell| y(cell.seen)))
}

/// Darkest over brightest light on the places in use.
fn evenness(fields: &[FieldReading], layout: &LayoutFile, light: &LightField) -> f64 {
    let lights = fields.iter().flat_map(|field| {
        [Strip::Black, Strip::White].map(|strip| {
            let rect = layout.geometry.measured(field.entry.place, strip);
            y(light.light([0, 1].map(|i| f64::midpoint(rect.from[i], rect.to[i]))))
        })
    });
    let (least, most) = lights.fold((f64::INFINITY, 0.0_f64), |(least, most), light| {
        (least.min(light), most.max(light))
    });
    if most > 0.0 { least / most } else { 0.0 }
}

#[allow(clippy::cast_precision_loss, reason = "counts of pixels")]
fn share(part: usize, whole: usize) -> f64 {
    part as f64 / (whole as f64).max(1.0)
}
