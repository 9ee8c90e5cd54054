//! Paints and schemes of a project as a page shows them.
//!
//! In: the texts. Out: views, the problems of the texts, and the resolved schemes that pictures are numbered by.

use std::sync::Arc;

use velatura_document::{Diagnostic, SourceText, word_for};
use velatura_pipeline::optics::calibrate::{PaintBox, calibrate};
use velatura_pipeline::optics::coat::{Coat, Where, colour_over_grey, stack_at};
use velatura_pipeline::optics::colour::{Encoded, Linear};
use velatura_pipeline::optics::mixture::Mix;
use velatura_pipeline::optics::paint_report::{PaintReport, paint_reports};
use velatura_pipeline::optics::paints_file::{Given, PaintsFile, TintEntry, read_paints_file};
use velatura_pipeline::scheme::{
    CoatEntry, KnownPaints, KnownRegions, MEDIUM, MID_GREY, PLACES, RegionStack, Scheme,
    SchemesFile, UNDERCOATS, VARNISHES, brush_coats, read_schemes_file, resolve, unknown_names,
};

use crate::file_names::{FIGURE, PAINTS, SCHEMES};
use crate::project::hash_of;
use crate::view::{ChipView, CoatView, PaintView, PartsView, SchemeView, TintView};

/// Numbers in a page's language are exact below 2^53.
pub(crate) const NUMBER_BITS: u64 = (1 << 53) - 1;

/// The paints of a text, calibrated.
#[derive(Debug)]
pub(crate) struct KnownBox {
    text: Arc<str>,
    file: PaintsFile,
    pub(crate) paints: PaintBox,
    reports: Vec<PaintReport>,
    warnings: Vec<Diagnostic>,
}

impl KnownBox {
    /// The paints of a text; the one at hand if it is of this text.
    pub(crate) fn of(
        text: &Arc<str>,
        at_hand: Option<Arc<Self>>,
    ) -> Result<Arc<Self>, Vec<Diagnostic>> {
        if let Some(known) = at_hand.filter(|known| known.text == *text) {
            return Ok(known);
        }
        let source =
            SourceText::from_bytes(PAINTS, text.as_bytes().to_vec()).map_err(|one| vec![one])?;
        let (file, mut warnings) = read_paints_file(&source)?.into_parts();
        let paints = calibrate(&file).into_value(&mut warnings);
        Ok(Arc::new(Self {
            text: Arc::clone(text),
            reports: paint_reports(&file, &paints),
            file,
            paints,
            warnings,
        }))
    }

    pub(crate) fn warnings(&self) -> &[Diagnostic] {
        &self.warnings
    }

    /// The names of the paints that the painter has.
    pub(crate) fn owned(&self) -> Vec<&str> {
        let owned = self.paints.paints.iter().filter(|paint| paint.owned);
        owned.map(|paint| paint.name.as_str()).collect()
    }

    /// The paints for the page.
    pub(crate) fn view(&self, schemes: Option<&SchemesFile>) -> Vec<PaintView> {
        let uses = |name: &str| {
            let coats = schemes
                .iter()
                .flat_map(|file| &file.schemes)
                .flat_map(|scheme| &scheme.coats);
            coats
                .filter(|coat| coat.mix.iter().any(|(paint, _)| paint.value == name))
                .count()
        };
        let cards = self.paints.cards;
        let grey = |colour: Encoded| colour.linear().0[1];
        self.file
            .paints
            .iter()
            .zip(&self.paints.paints)
            .zip(&self.reports)
            .map(|((entry, paint), report)| {
                let (given, over) = match &entry.given {
                    Given::Drawdown(pair) => ("drawdown", Some([pair.over_black, pair.over_white])),
                    Given::Spectrum(_) => ("spectrum", None),
                    Given::Chip { .. } => ("chip", None),
                };
                let [over_black, over_white] = over.unwrap_or_else(|| {
                    let film = Coat::even(paint.optics.clone(), 1.0);
                    [cards.black, cards.white].map(|card| {
                        let stack = stack_at(std::slice::from_ref(&film), 0.5);
                        colour_over_grey(&stack, grey(card), cards.specular).encoded()
                    })
                });
                PaintView {
                    name: paint.name.clone(),
                    owned: paint.owned,
                    metallic: paint.metallic,
                    over_black: over_black.to_string(),
                    over_white: over_white.to_string(),
                    given,
                    contrast_ratio: report.contrast_ratio,
                    hides: report.opacity,
                    used: uses(&paint.name),
                    tints: entry.tints.iter().map(tint_view).collect(),
                }
            })
            .collect()
    }
}

fn tint_view(tint: &TintEntry) -> TintView {
    let over = match &tint.given {
        Given::Drawdown(pair) => Some([pair.over_black, pair.over_white]),
        Given::Spectrum(_) | Given::Chip { .. } => None,
    };
    TintView {
        with: tint.with.value.clone(),
        parts: tint.parts,
        over: over.map(|pair| pair.map(|colour| colour.to_string())),
    }
}

/// The schemes of a text.
#[derive(Debug, Default)]
pub(crate) struct KnownSchemes {
    pub(crate) file: Option<SchemesFile>,
    /// With their optics; `None` if a name in them is unknown.
    pub(crate) resolved: Option<Vec<Scheme>>,
    pub(crate) problems: Vec<Diagnostic>,
}

impl KnownSchemes {
    pub(crate) fn of(text: &str, parts: &[String], known: Option<&KnownBox>) -> Self {
        let mut schemes = Self::default();
        let source = match SourceText::from_bytes(SCHEMES, text.as_bytes().to_vec()) {
            Ok(source) => source,
            Err(problem) => {
                schemes.problems.push(problem);
                return schemes;
            }
        };
        match read_schemes_file(&source) {
            Ok(read) => schemes.file = Some(read.into_value(&mut schemes.problems)),
            Err(problems) => schemes.problems.extend(problems),
        }
        let Some(file) = &schemes.file else {
            return schemes;
        };
        let Some(known) = known else {
            let regions = KnownRegions {
                names: parts,
                file: FIGURE,
            };
            schemes
                .problems
                .extend(unknown_names(file, Some(regions), None::<KnownPaints<'_>>));
            return schemes;
        };
        match resolve(file, parts, FIGURE, &known.paints, PAINTS) {
            Ok(resolved) => schemes.resolved = Some(resolved),
            Err(problems) => schemes.problems.extend(problems),
        }
        schemes
    }

    /// The number of each scheme's tile, which `planes` goes into; `None`: no picture.
    pub(crate) fn tiles(&self, planes: Option<u64>) -> Vec<Option<u64>> {
        let count = self.file.as_ref().map_or(0, |file| file.schemes.len());
        let number = |index: usize| {
            let scheme = &self.resolved.as_ref()?[index];
            Some(tile_number(planes?, scheme))
        };
        (0..count).map(number).collect()
    }

    /// The schemes for the page, each with the number of its tile, which `planes` goes into; `None`: no pictures.
    pub(crate) fn view(&self, known: Option<&KnownBox>, planes: Option<u64>) -> Vec<SchemeView> {
        let Some(file) = &self.file else {
            return Vec::new();
        };
        let entries = file.schemes.iter().enumerate();
        entries
            .zip(self.tiles(planes))
            .map(|((index, entry), tile)| {
                let resolved = self.resolved.as_ref().map(|all| &all[index]);
                let coats = entry
                    .coats
                    .iter()
                    .enumerate()
                    .map(|(index, coat)| CoatView {
                        index,
                        part: coat.region.value.clone(),
                        mix: coat
                            .mix
                            .iter()
                            .map(|(paint, parts)| PartsView {
                                paint: paint.value.clone(),
                                parts: *parts,
                            })
                            .collect(),
                        film: coat.film,
                        brush: brush_coats(coat.film),
                        r#where: word_for(&PLACES, &coat.place),
                        width_mm: (coat.place == Where::Edges).then_some(coat.width_mm),
                        pooling: coat.pooling,
                        dried: dried(coat, known),
                    });
                SchemeView {
                    name: entry.name.value.clone(),
                    team: entry.team.clone(),
                    undercoat: word_for(&UNDERCOATS, &entry.undercoat),
                    finish: word_for(&VARNISHES, &entry.finish),
                    coats: coats.collect(),
                    chips: chips(resolved, known),
                    tile,
                }
            })
            .collect()
    }
}

/// The dried colour of one coat over mid grey; of an unknown paint mid grey itself.
fn dried(coat: &CoatEntry, known: Option<&KnownBox>) -> String {
    let colour = known.and_then(|known| {
        let paints = &known.paints;
        let mut mix = Mix::default();
        for (name, parts) in &coat.mix {
            if name.value == MEDIUM {
                mix.medium = *parts;
            } else {
                let place = paints
                    .paints
                    .iter()
                    .position(|paint| paint.name == name.value)?;
                mix.paints.push((place, *parts));
            }
        }
        let Linear([grey, ..]) = MID_GREY.linear();
        let film = [Coat::even(paints.mixed(&mix), coat.film)];
        let stack = stack_at(&film, 0.5);
        let dried = colour_over_grey(&stack, grey, paints.cards.specular);
        Some(dried.encoded())
    });
    colour.unwrap_or(MID_GREY).to_string()
}

fn chips(resolved: Option<&Scheme>, known: Option<&KnownBox>) -> Vec<ChipView> {
    let (Some(scheme), Some(known)) = (resolved, known) else {
        return Vec::new();
    };
    let chip = |stack: &RegionStack| {
        Some(ChipView {
            part: stack.region.clone(),
            seen: None,
            dried: stack.chip(&known.paints)?.encoded().to_string(),
        })
    };
    scheme.regions.iter().filter_map(chip).collect()
}

/// A number for everything that a picture of a scheme depends on.
fn tile_number(planes: u64, scheme: &Scheme) -> u64 {
    let coats: Vec<_> = scheme
        .regions
        .iter()
        .map(|stack| {
            let coats = stack.coats.iter().map(|coat| {
                let numbers = [coat.film, coat.pooling, coat.width_mm];
                let optics = coat.optics.k.iter().chain(&coat.optics.s);
                let bits: Vec<u64> = optics
                    .chain(&numbers)
                    .map(|number| number.to_bits())
                    .collect();
                (bits, word_for(&PLACES, &coat.place))
            });
            coats.collect::<Vec<_>>()
        })
        .collect();
    let words = (
        word_for(&UNDERCOATS, &scheme.undercoat),
        word_for(&VARNISHES, &scheme.finish),
    );
    let stages: Vec<String> = scheme
        .stages
        .iter()
        .map(|stage| format!("{} {:?}", stage.name.value, stage.values))
        .collect();
    hash_of(&(planes, coats, words, stages)) & NUMBER_BITS
}
