//! From rows to a draft: which rows belong to one paint, and whether anything is missing.
//!
//! In: tables whose rows follow the naming convention of `names.rs`. Out: a [`Draft`], or every problem.

use super::ImportOptions;
use super::draft::{CardsDraft, CardsFrom, Draft, GivenDraft, PaintDraft, SpectraDraft, TintDraft};
use super::found::Found;
use super::names::{Card, Hiding, Meaning, Subject, meaning};
use super::pairing::{Field, card_pair, film_pair};
use super::row::{Row, Seen, Table, fault};
use crate::colour::Encoded;
use crate::paints_file::OPACITY_WORDS;
use crate::paints_file::reflectance::{Fault, mixed_unit_fault, range_fault};
use crate::paints_file::{Unit, Wavelengths};
use crate::spectrum::{colour, resampled};
use crate::surface::Specular;
use std::collections::{HashMap, HashSet};
use velatura_document::{Hint, either, either_of_many};

/// Cards of a file that has only chips. A chip has no card; these two only give its contrast ratio a meaning.
const USUAL_CARDS: [&str; 2] = ["#1c1c1c", "#f4f2ee"];

/// All rows of one subject.
struct Item<'t> {
    subject: Subject,
    black: Option<Field<'t>>,
    white: Option<Field<'t>>,
    chip: Option<Field<'t>>,
    hiding: Option<Hiding>,
}

/// What a row measures, as a key: a paint, what it is mixed with, and the bits of the parts.
type Key = (Option<String>, Option<String>, [u64; 2]);

/// All subjects in the order of their first rows, and where each is: paint, other paint and the bits of the parts.
#[derive(Default)]
struct Items<'t> {
    list: Vec<Item<'t>>,
    places: HashMap<Key, usize>,
}

/// Puts the rows together.
pub(super) fn assemble(
    tables: &[Table<'_>],
    options: &ImportOptions,
    problems: &Found<'_>,
) -> Option<Draft> {
    let mut items = Items::default();
    for table in tables {
        let (unit, specular) = convention(table, options, problems);
        for row in &table.rows {
            let field = Field {
                row,
                unit,
                specular,
            };
            place(&mut items, field, problems);
        }
    }
    let items = items.list;
    let cards = cards(&items, tables, options, problems);
    let card_spectra = match &cards {
        Some((_, Some(spectra))) => Some(spectra),
        _ => None,
    };
    let paints = paints(&items, card_spectra, options, problems);
    let cards = cards?.0;
    (!problems.any()).then_some(Draft { cards, paints })
}

/// Unit and specular convention of all spectra of one file; an error if they are unknown.
fn convention(
    table: &Table<'_>,
    options: &ImportOptions,
    problems: &Found<'_>,
) -> (Unit, Specular) {
    let spectra: Vec<(&Row<'_>, &[f64])> = table
        .rows
        .iter()
        .filter_map(|row| match &row.seen {
            Seen::Spectrum(_, values) => Some((row, &values[..])),
            Seen::Colour(_) => None,
        })
        .collect();
    let specular = options.specular.or(table.specular);
    if let Some((
        Row {
            seen: Seen::Spectrum(wavelengths, _),
            ..
        },
        _,
    )) = spectra.first()
    {
        if let Some(wrong) = range_fault(wavelengths) {
            problems.in_file(table.source, || wrong);
        }
        if specular.is_none() {
            problems.in_file(table.source, || fault(
                "the file does not say whether the values include the surface's own reflection (about 4 %)",
                "the instrument setting: specular included (SCI) or excluded (SCE; 45/0 instruments always exclude it)",
                Hint::SpecularSetting,
            ));
        }
    }
    let series: Vec<(&str, &[f64])> = spectra
        .iter()
        .map(|(row, values)| (row.name.value.as_str(), *values))
        .collect();
    if options.unit.is_none()
        && let Some((index, mut wrong)) = mixed_unit_fault(&series)
    {
        wrong.help = Hint::from("convert all rows to one unit").or(Hint::UnitPercent);
        problems.in_row(spectra[index].0, || wrong);
    }
    let all = series.iter().flat_map(|(_, values)| values.iter());
    let unit = options.unit.unwrap_or_else(|| Unit::of(all));
    (unit, specular.unwrap_or(Specular::Excluded))
}

/// Adds a row to the others of its subject.
fn place<'t>(items: &mut Items<'t>, field: Field<'t>, problems: &Found<'_>) {
    let row = field.row;
    let meaning = match meaning(&row.name.value) {
        Ok(meaning) => meaning,
        Err(wrong) => return problems.in_row(row, || wrong),
    };
    let subject = match &meaning {
        Meaning::Field(subject, _) => subject.clone(),
        Meaning::Chip(name, _) => Subject::Paint(name.clone()),
    };
    let item = items.of(subject);
    let slot = match meaning {
        Meaning::Field(_, Card::Black) => &mut item.black,
        Meaning::Field(_, Card::White) => &mut item.white,
        Meaning::Chip(..) if matches!(row.seen, Seen::Spectrum(..)) => {
            let name = &row.name.value;
            return problems.in_row(row, || {
                fault(
                    "the name does not say which card this was measured over",
                    "names ending in \"/ black\" or \"/ white\"",
                    format!("name the two fields \"{name} / black\" and \"{name} / white\""),
                )
            });
        }
        Meaning::Chip(_, hiding) => {
            item.hiding = item.hiding.or(hiding);
            &mut item.chip
        }
    };
    let taken = slot.map(|earlier| earlier.row);
    slot.get_or_insert(field);
    if let Some(earlier) = taken {
        problems.in_row(row, || {
            let line = earlier.source.place(&earlier.name.at).line;
            fault(
                format!("this row is already in {}:{line}", earlier.source.name()),
                "each field only once",
                "keep one of them, or combine them into one row with their average",
            )
        });
    }
    let both = item.chip.is_some() && (item.black.is_some() || item.white.is_some());
    if both {
        problems.in_row(row, || {
            fault(
                "this paint is both a chip and a drawdown",
                "only one of them",
                "keep the drawdown: it holds more information",
            )
        });
    }
}

/// `[cards]`, and the cards' own spectra.
fn cards(
    items: &[Item<'_>],
    tables: &[Table<'_>],
    options: &ImportOptions,
    problems: &Found<'_>,
) -> Option<(CardsDraft, Option<SpectraDraft>)> {
    let stated = [options.black_card, options.white_card];
    let draft = |[black, white]: [Encoded; 2], from, specular| CardsDraft {
        black,
        white,
        specular,
        from,
    };
    if let Some(item) = items.iter().find(|item| item.subject == Subject::Card) {
        let given = card_pair(item.black.as_ref(), item.white.as_ref(), problems)?;
        let row = item.black.as_ref().or(item.white.as_ref())?.row;
        if stated.iter().any(Option::is_some) {
            let found = "the cards appear twice: in this file, and as colours passed to the import";
            problems.in_row(row, || {
                fault(found, "only one of them", Hint::NoCardColours)
            });
        }
        return match given {
            GivenDraft::Spectra(spectra) => {
                let code = |values: &[f64]| {
                    let Wavelengths {
                        start_nm, step_nm, ..
                    } = spectra.wavelengths;
                    let fractions =
                        resampled(start_nm, step_nm, values).map(|one| one / spectra.unit.whole());
                    colour(&fractions).encoded()
                };
                let codes = [code(&spectra.over_black), code(&spectra.over_white)];
                let specular = Some(spectra.specular);
                Some((draft(codes, CardsFrom::Measured, specular), Some(spectra)))
            }
            GivenDraft::Codes(pair) => {
                let codes = [pair.over_black, pair.over_white];
                Some((draft(codes, CardsFrom::Given, options.specular), None))
            }
            GivenDraft::Chip(..) => None,
        };
    }
    let specular = items
        .iter()
        .filter_map(|item| item.black.as_ref())
        .find(|field| matches!(field.row.seen, Seen::Spectrum(..)))
        .map(|field| field.specular)
        .or(options.specular);
    if let [Some(black), Some(white)] = stated {
        return Some((draft([black, white], CardsFrom::Given, specular), None));
    }
    let drawdown = tables.iter().find(|table| {
        let mut brushed = items.iter().flat_map(|item| [&item.black, &item.white]);
        brushed.any(|field| {
            field
                .as_ref()
                .is_some_and(|field| std::ptr::eq(field.row.source, table.source))
        })
    });
    match drawdown {
        Some(table) => {
            problems.in_file(table.source, || {
                fault(
                    "the colours of the bare cards are missing",
                    "rows named \"card / black\" and \"card / white\": the cards below the drawdowns",
                    Hint::from("measure them").or(Hint::CardColours),
                )
            });
            None
        }
        None => {
            let usual = USUAL_CARDS.map(|code| code.parse().expect("the usual cards are colours"));
            Some((draft(usual, CardsFrom::Assumed, options.specular), None))
        }
    }
}

fn paints(
    items: &[Item<'_>],
    card_spectra: Option<&SpectraDraft>,
    options: &ImportOptions,
    problems: &Found<'_>,
) -> Vec<PaintDraft> {
    let mut paints: Vec<PaintDraft> = Vec::new();
    // Where each paint is in `paints`.
    let mut places: HashMap<&str, usize> = HashMap::new();
    let names: Vec<&str> = items
        .iter()
        .filter_map(|item| match &item.subject {
            Subject::Paint(name) => Some(name.as_str()),
            _ => None,
        })
        .collect();
    let known: HashSet<&str> = names.iter().copied().collect();
    let film = |item: &Item<'_>, problems: &Found<'_>| match item.chip {
        Some(field) => chip(field.row, item.hiding, options, problems),
        None => film_pair(
            item.black.as_ref(),
            item.white.as_ref(),
            card_spectra,
            problems,
        ),
    };
    for item in items {
        if let Subject::Paint(name) = &item.subject {
            if name.eq_ignore_ascii_case("medium") {
                item.report(problems, || {
                    fault(
                        "a paint is called \"medium\"",
                        "another name: `medium` is reserved for clear glaze medium",
                        "",
                    )
                });
            } else if let Some(given) = film(item, problems) {
                places.insert(name, paints.len());
                paints.push(PaintDraft {
                    name: name.clone(),
                    given,
                    tints: Vec::new(),
                });
            }
        }
    }
    for item in items {
        let Subject::Tint { paint, with, parts } = &item.subject else {
            continue;
        };
        for one in [paint, with] {
            if !known.contains(one.as_str()) {
                item.report(problems, || {
                    let quoted: Vec<String> =
                        names.iter().map(|name| format!("\"{name}\"")).collect();
                    fault(
                        format!("no rows for \"{one}\" alone"),
                        either_of_many(&quoted),
                        format!("add \"{one} / black\" and \"{one} / white\", or remove the tint"),
                    )
                });
            }
        }
        let given = film(item, problems);
        if let (Some(given), Some(of)) = (given, places.get(paint.as_str())) {
            paints[*of].tints.push(TintDraft {
                with: with.clone(),
                parts: *parts,
                given,
            });
        }
    }
    paints
}

fn chip(
    row: &Row<'_>,
    hiding: Option<Hiding>,
    options: &ImportOptions,
    problems: &Found<'_>,
) -> Option<GivenDraft> {
    let Seen::Colour(colour) = row.seen else {
        return None;
    };
    let hiding = hiding.or(options.opacity.map(Hiding::Word));
    if hiding.is_none() {
        problems.in_row(row, || {
            let words = OPACITY_WORDS.map(|choice| choice.word);
            let name = &row.name.value;
            fault(
                "the opacity of this paint is missing",
                format!("{}, or a contrast ratio of 0 to 1", either(&words)),
                Hint::from(format!("name it \"{name} / {}\"", words[1]))
                    .or(Hint::Opacity(words[1].to_owned())),
            )
        });
    }
    Some(GivenDraft::Chip(colour, hiding?))
}

impl Item<'_> {
    /// Adds a problem of its first row.
    fn report(&self, problems: &Found<'_>, wrong: impl FnOnce() -> Fault) {
        let fields = [&self.black, &self.white, &self.chip];
        if let Some(field) = fields.into_iter().flatten().next() {
            problems.in_row(field.row, wrong);
        }
    }
}

impl<'t> Items<'t> {
    /// The rows of a subject, none yet if it is new.
    fn of(&mut self, subject: Subject) -> &mut Item<'t> {
        // Parts are finite and above 0, so the same number has the same bits.
        let key = match &subject {
            Subject::Card => (None, None, [0; 2]),
            Subject::Paint(name) => (Some(name.clone()), None, [0; 2]),
            Subject::Tint { paint, with, parts } => (
                Some(paint.clone()),
                Some(with.clone()),
                parts.map(f64::to_bits),
            ),
        };
        let place = *self.places.entry(key).or_insert(self.list.len());
        if place == self.list.len() {
            self.list.push(Item {
                subject,
                black: None,
                white: None,
                chip: None,
                hiding: None,
            });
        }
        &mut self.list[place]
    }
}
