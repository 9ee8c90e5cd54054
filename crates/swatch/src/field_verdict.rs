//! What is wrong with the drawdowns themselves: one message for one field, and one for all fields that have the same fault.

use velatura_document::{Diagnostic, counted};
use velatura_optics::colour::{Encoded, Linear, luminance};

use super::card_reading::{FieldColour, FieldReading};
use super::chart::apart;
use super::layout_file::{FieldEntry, LayoutFile};

/// Shares of a place's pixels above which they are reported.
const MOST_GLARE: f64 = 0.03;
const MOST_CLIPPED: f64 = 0.02;
const MOST_DROWNED: f64 = 0.25;
const MOST_LEFT_OUT: f64 = 0.25;
/// ΔE within a place: a brushed drawdown is never quite even, more than this is streaks.
const STREAKS: f64 = 3.0;
/// A place that is no further than this ΔE from bare card on both strips has nothing on it.
const BARE: f64 = 1.5;
/// A field lighter over black than over white by more than this (in Y) is beyond the noise of photos; `paints.toml` refuses it
/// too.
const EXCHANGED: f64 = 0.01;

/// Something that is wrong with one field.
struct Fault {
    /// In words for one field.
    found: String,
    /// What several fields do, after their number: "show glare". Faults with the same words are one message.
    several: &'static str,
    /// What differs from field to field: "over black 12 %".
    amount: String,
    expected: String,
    help: &'static str,
    is_error: bool,
}

/// All faults of all fields.
pub(super) fn of_fields(
    name: &str,
    layout: &LayoutFile,
    fields: &[FieldReading],
) -> Vec<Diagnostic> {
    let faults: Vec<(&FieldEntry, Fault)> = fields
        .iter()
        .flat_map(|field| {
            let faults = faults(layout, field).into_iter();
            faults.map(|fault| (&field.entry, fault))
        })
        .collect();
    let mut done: Vec<&str> = Vec::new();
    let mut found = Vec::new();
    for (_, fault) in &faults {
        if done.contains(&fault.several) {
            continue;
        }
        done.push(fault.several);
        let alike: Vec<&(&FieldEntry, Fault)> = faults
            .iter()
            .filter(|(_, other)| other.several == fault.several)
            .collect();
        let one_field = alike
            .iter()
            .all(|(entry, _)| entry.place == alike[0].0.place);
        if one_field {
            found.extend(alike.iter().map(|(entry, fault)| {
                fault.message(name, fault.found.clone(), place_of(layout, entry))
            }));
        } else {
            let words = joined(&alike);
            found.push(fault.message(name, words, layout.source.name().to_owned()));
        }
    }
    found
}

/// "2 fields show glare: "Oil Amber" (over black 12 %), "Deep Eel" (over black 5 %, over white 4 %)".
fn joined(alike: &[&(&FieldEntry, Fault)]) -> String {
    let mut fields: Vec<(&FieldEntry, Vec<&str>)> = Vec::new();
    for (entry, fault) in alike {
        match fields.last_mut() {
            Some((last, amounts)) if last.place == entry.place => amounts.push(&fault.amount),
            _ => fields.push((entry, vec![&fault.amount])),
        }
    }
    let named: Vec<String> = fields
        .iter()
        .map(|(entry, amounts)| match amounts.concat().as_str() {
            "" => format!("\"{}\" (place {})", entry.title(), entry.place + 1),
            _ => format!("\"{}\" ({})", entry.title(), amounts.join(", ")),
        })
        .collect();
    let count = counted(fields.len(), "field");
    format!("{count} {}: {}", alike[0].1.several, named.join(", "))
}

impl Fault {
    fn message(&self, name: &str, found: String, within: String) -> Diagnostic {
        let problem = match self.is_error {
            true => Diagnostic::error(name, found),
            false => Diagnostic::warning(name, found),
        };
        problem
            .within(within)
            .expected(self.expected.clone())
            .help(self.help)
    }
}

fn faults(layout: &LayoutFile, field: &FieldReading) -> Vec<Fault> {
    let (black, white) = (&field.over_black, &field.over_white);
    let mut found: Vec<Fault> = [(black, "over black"), (white, "over white")]
        .into_iter()
        .flat_map(|(colour, strip)| strip_faults(colour, strip))
        .collect();
    let (dark, light) = (luminance(black.linear), luminance(white.linear));
    if dark > light + EXCHANGED {
        found.push(Fault {
            found: format!(
                "the field is lighter over black ({}) than over white ({})",
                black.srgb, white.srgb
            ),
            several: "are lighter over black than over white",
            amount: format!("{} and {}", black.srgb, white.srgb),
            expected: "a film no lighter over black than over white".to_owned(),
            help: "is there glare on the black part? remove the field from the layout, or take the photo again",
            is_error: true,
        });
    }
    let bare = |colour: &FieldColour, card: Encoded| {
        let Linear(card) = card.linear();
        apart(colour.linear.0, card) < BARE
    };
    if bare(black, layout.cards.black) && bare(white, layout.cards.white) {
        found.push(Fault {
            found: "the field looks like bare card on both strips".to_owned(),
            several: "look like bare card on both strips",
            amount: String::new(),
            expected: "a drawdown across both".to_owned(),
            help: "remove the field from the layout, or correct its `place`",
            is_error: false,
        });
    }
    found
}

fn strip_faults(colour: &FieldColour, strip: &str) -> Vec<Fault> {
    let mut found = Vec::new();
    let mut add = |words: String, several, amount: String, expected: String, help| {
        found.push(Fault {
            found: format!("{strip}, {words}"),
            several,
            amount: format!("{strip} {amount}"),
            expected,
            help,
            is_error: false,
        });
    };
    if colour.glare > MOST_GLARE {
        let share = percent(colour.glare);
        add(
            format!("{share} of the field shows glare"),
            "show glare",
            share,
            format!(
                "at most {}; glare is left out, but weaker glare around it may remain",
                percent(MOST_GLARE)
            ),
            "turn the card or the lamp until you see no reflection, or let the film dry fully",
        );
    }
    if colour.clipped > MOST_CLIPPED {
        let share = percent(colour.clipped);
        add(
            format!("{share} of the field is clipped"),
            "are clipped",
            share,
            "every channel below code 254: the true value of a clipped channel is unknown"
                .to_owned(),
            "take the photo again with less exposure",
        );
    }
    if colour.drowned > MOST_DROWNED && colour.in_gamut {
        let share = percent(colour.drowned);
        add(
            format!("{share} of the field has a channel at 0"),
            "have a channel at 0",
            share,
            "codes above 0: darker tones are lost".to_owned(),
            "expose longer, and save without filters or automatic contrast",
        );
    }
    if !colour.in_gamut {
        add(
            format!(
                "the colour is outside sRGB; the closest code is {}",
                colour.srgb
            ),
            "have a colour outside sRGB; the closest codes are",
            colour.srgb.to_string(),
            "a colour inside sRGB".to_owned(),
            "mixtures with it may look slightly duller than they are; a spectrum from an instrument has no such limit",
        );
    }
    // Streaks and glints exclude pixels as well: reported once.
    if colour.spread > STREAKS {
        add(
            format!(
                "the film is uneven: its parts differ by ΔE {:.1}",
                colour.spread
            ),
            "have an uneven film, with parts that differ",
            format!("by ΔE {:.1}", colour.spread),
            format!("at most {STREAKS}"),
            "brush it again with more paint and a wide, soft brush, or draw it down with a straight edge",
        );
    } else if colour.left_out > MOST_LEFT_OUT && colour.glare <= MOST_GLARE {
        let share = percent(colour.left_out);
        add(
            format!("{share} of the pixels differ from the rest of the field"),
            "have pixels that differ from the rest of the field",
            share,
            format!("at most {}", percent(MOST_LEFT_OUT)),
            "does the film fill its place? correct the layout, or brush it again",
        );
    }
    found
}

fn place_of(layout: &LayoutFile, entry: &FieldEntry) -> String {
    format!(
        "field \"{}\" (place {} of {})",
        entry.title(),
        entry.place + 1,
        layout.source.name()
    )
}

pub(super) fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read_layout_file;
    use velatura_document::SourceText;

    fn fault(amount: &str) -> Fault {
        Fault {
            found: "the field shows glare".to_owned(),
            several: "show glare",
            amount: amount.to_owned(),
            expected: String::new(),
            help: "",
            is_error: false,
        }
    }

    #[test]
    fn fields_with_one_fault_are_named_in_one_sentence() {
        let text =
            "format = \"velatura-layout/1\"\n[[field]]\nname = \"A\"\n[[field]]\nname = \"B\"\n";
        let layout = read_layout_file(&SourceText::new("layout.toml", text))
            .unwrap()
            .value;
        let [a, b] = [&layout.fields[0], &layout.fields[1]];
        let all = [
            (a, fault("over black 5 %")),
            (a, fault("over white 7 %")),
            (b, fault("over black 9 %")),
        ];
        assert_eq!(
            joined(&all.each_ref()),
            "2 fields show glare: \"A\" (over black 5 %, over white 7 %), \"B\" (over black 9 %)"
        );
        let all = [(a, fault("")), (b, fault(""))];
        assert_eq!(
            joined(&all.each_ref()),
            "2 fields show glare: \"A\" (place 1), \"B\" (place 2)"
        );
        assert_eq!(place_of(&layout, b), "field \"B\" (place 2 of layout.toml)");
    }
}
