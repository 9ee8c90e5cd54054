//! Two rows, over black and over white, become one drawdown or the two bare cards.

use super::draft::{GivenDraft, SpectraDraft};
use super::found::Found;
use super::row::{Row, Seen, fault};
use crate::colour::luminance;
use crate::paints_file::reflectance::{Fault, order_fault, value_fault};
use crate::paints_file::{Pair, Unit};
use crate::surface::Specular;
use velatura_document::Hint;

/// A row with the unit and the specular convention of its numbers.
#[derive(Clone, Copy)]
pub(super) struct Field<'t> {
    pub(super) row: &'t Row<'t>,
    pub(super) unit: Unit,
    pub(super) specular: Specular,
}

/// A film over both cards, with the spectra of the bare cards if there are any.
pub(super) fn film_pair(
    black: Option<&Field<'_>>,
    white: Option<&Field<'_>>,
    cards: Option<&SpectraDraft>,
    problems: &Found<'_>,
) -> Option<GivenDraft> {
    let dark = black.map(|field| field.row);
    let mut given = pair(
        black,
        white,
        ["the film over black", "the film over white"],
        problems,
    )?;
    let wrong = match &mut given {
        GivenDraft::Codes(pair) => pair.fault(),
        GivenDraft::Spectra(own) => match cards {
            Some(cards)
                if (cards.wavelengths, cards.unit, cards.specular)
                    != (own.wavelengths, own.unit, own.specular) =>
            {
                Some(fault(
                    "the bare cards differ from the paints in wavelengths, unit or specular setting",
                    "cards and paints measured in the same way",
                    Hint::from("export them together").or(Hint::CardColours),
                ))
            }
            Some(cards) => {
                own.cards = Some([cards.over_black.clone(), cards.over_white.clone()]);
                None
            }
            None => None,
        },
        GivenDraft::Chip(..) => None,
    };
    match (wrong, dark) {
        (Some(wrong), Some(row)) => {
            problems.in_row(row, || wrong);
            None
        }
        _ => Some(given),
    }
}

/// The two bare cards.
pub(super) fn card_pair(
    black: Option<&Field<'_>>,
    white: Option<&Field<'_>>,
    problems: &Found<'_>,
) -> Option<GivenDraft> {
    let dark = black.map(|field| field.row);
    let given = pair(black, white, ["the black card", "the white card"], problems)?;
    if let (GivenDraft::Codes(pair), Some(row)) = (&given, dark)
        && luminance(pair.over_black.linear()) >= luminance(pair.over_white.linear())
    {
        problems.in_row(row, || {
            fault(
                format!(
                    "the black card ({}) is not darker than the white card ({})",
                    pair.over_black, pair.over_white
                ),
                "black darker than white",
                "are the two swapped?",
            )
        });
        return None;
    }
    Some(given)
}

/// Two fields that belong together; `called` are the names of the darker and the lighter one in messages.
fn pair(
    black: Option<&Field<'_>>,
    white: Option<&Field<'_>>,
    called: [&str; 2],
    problems: &Found<'_>,
) -> Option<GivenDraft> {
    let (black, white) = match (black, white) {
        (Some(black), Some(white)) => (black, white),
        (Some(one), None) => return lonely(one, "black", "white", problems),
        (None, Some(one)) => return lonely(one, "white", "black", problems),
        (None, None) => return None,
    };
    match (&black.row.seen, &white.row.seen) {
        (Seen::Colour(dark), Seen::Colour(light)) => Some(GivenDraft::Codes(Pair {
            over_black: *dark,
            over_white: *light,
        })),
        (Seen::Spectrum(wavelengths, dark), Seen::Spectrum(others, light)) => {
            let (unit, specular) = (black.unit, black.specular);
            if (wavelengths, unit, specular) != (others, white.unit, white.specular) {
                problems.in_row(white.row, || unlike(black));
                return None;
            }
            let mut sound = true;
            let mut report = |row: &Row<'_>, wrong: Option<Fault>| {
                sound &= wrong.is_none();
                if let Some(wrong) = wrong {
                    problems.in_row(row, || wrong);
                }
            };
            report(black.row, value_fault(wavelengths, unit, dark));
            report(white.row, value_fault(wavelengths, unit, light));
            let order = order_fault(wavelengths, unit, (called[0], dark), (called[1], light));
            report(black.row, order);
            sound.then(|| {
                GivenDraft::Spectra(SpectraDraft {
                    wavelengths: *wavelengths,
                    unit,
                    specular,
                    over_black: dark.clone(),
                    over_white: light.clone(),
                    cards: None,
                })
            })
        }
        _ => {
            problems.in_row(white.row, || unlike(black));
            None
        }
    }
}

fn lonely(field: &Field<'_>, own: &str, other: &str, problems: &Found<'_>) -> Option<GivenDraft> {
    let name = &field.row.name.value;
    let before = name
        .rsplit_once('/')
        .map_or(name.as_str(), |(before, _)| before.trim());
    problems.in_row(field.row, || {
        fault(
            format!("there is a row over {own} but none over {other}"),
            "both: one alone cannot separate absorption from scattering",
            format!("add a row \"{before} / {other}\", or remove this one"),
        )
    });
    None
}

fn unlike(other: &Field<'_>) -> Fault {
    let place = other.row.source.place(&other.row.name.at);
    fault(
        format!(
            "this does not match its partner in {}:{}",
            other.row.source.name(),
            place.line
        ),
        "the same kind of value, wavelengths, unit and specular setting over black and over white",
        "export the two together",
    )
}
