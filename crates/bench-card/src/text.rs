//! The card as plain text, and the lines that all forms of it share.

use std::fmt::Write as _;

use crate::card::{BenchCard, CoatStep, NumberedPart, SpillNote};

/// All cards, one after the other.
#[must_use]
pub fn text_pages(cards: &[BenchCard]) -> String {
    let pages: Vec<String> = cards.iter().map(page).collect();
    pages.join("\n")
}

fn page(card: &BenchCard) -> String {
    let mut text = format!("{}\n", card.scheme);
    if !card.team.is_empty() {
        let _ = writeln!(text, "{}", card.team);
    }
    let _ = writeln!(text, "{} · {}", card.figure, time_line(card));
    let _ = writeln!(text, "\nUndercoat: {}", card.undercoat.name);
    for step in &card.undercoat.steps {
        let _ = writeln!(text, "- {step}");
    }
    text.push_str("\nParts\n");
    for part in &card.parts {
        let _ = writeln!(text, "{}. {}", part.number, part_line(part));
    }
    let _ = writeln!(text, "\nCoats. {}", card.order);
    for (number, coat) in (1..).zip(&card.coats) {
        let _ = writeln!(
            text,
            "[ ] {number}. {} ({}): {}\n      {}\n      {}",
            coat.name,
            coat.part,
            mix_line(coat),
            batch(coat),
            where_line(coat)
        );
        let [dark, middle, bright] = coat.dried;
        let _ = writeln!(
            text,
            "      dries to {dark} over its dark, {middle} over its middle, {bright} over its bright undercoat"
        );
    }
    text.push_str("\nWhile you paint\n");
    let _ = writeln!(text, "- {}", card.drying);
    for spill in &card.spills {
        let _ = writeln!(text, "- {}", spill_line(spill));
    }
    for line in [&card.fix, &card.varnish]
        .into_iter()
        .chain(&card.own_steps)
    {
        let _ = writeln!(text, "- {line}");
    }
    let _ = writeln!(text, "\nYou need: {}", needs_line(card));
    for line in &card.basis {
        let _ = writeln!(text, "{line}");
    }
    text.push_str("\nWith care\n");
    for line in &card.cautions {
        let _ = writeln!(text, "{line}");
    }
    text
}

/// "for 5 figures, about 80 minutes for one, 6 h 40 min for all, not counting drying".
pub(crate) fn time_line(card: &BenchCard) -> String {
    let figure = duration(card.minutes.figure);
    match card.count {
        1 => format!("1 figure, about {figure} with the brush, not counting drying"),
        count => format!(
            "{count} figures, about {figure} with the brush for one, {} for all, drying apart",
            duration(card.minutes.team)
        ),
    }
}

fn duration(minutes: f64) -> String {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a positive number of minutes, and the cast saturates"
    )]
    let minutes = minutes.round() as u64;
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

pub(crate) fn part_line(part: &NumberedPart) -> String {
    let note = match (part.painted, part.visible) {
        (true, true) => "",
        (true, false) => ": not in the photo, so its amount and colour are guesses",
        (false, _) => ": no paint, it keeps the undercoat",
    };
    format!("{}{note}", part.name)
}

/// "3 Oil Amber + 7 medium".
pub(crate) fn mix_line(coat: &CoatStep) -> String {
    let parts: Vec<String> = coat
        .mix
        .iter()
        .map(|measure| format!("{} {}", measure.parts, measure.paint))
        .collect();
    match parts.as_slice() {
        [_] => format!("{}, neat", coat.mix[0].paint),
        parts => parts.join(" + "),
    }
}

/// "3 + 7 drops, also for step 6 (needs 0.10 ml, makes 0.50 ml)".
pub(crate) fn batch(coat: &CoatStep) -> String {
    let needed = ml(coat.needed_ml);
    if let Some(step) = coat.mix_of_step {
        return format!("the mix of step {step}, kept covered (needs {needed})");
    }
    let steps: Vec<String> = coat
        .also_for_steps
        .iter()
        .map(ToString::to_string)
        .collect();
    let also = match steps.as_slice() {
        [] => String::new(),
        [one] => format!(", also for step {one}"),
        [first @ .., last] => format!(", also for steps {} and {last}", first.join(", ")),
    };
    format!(
        "{}{also} (needs {needed}, makes {})",
        drops(coat),
        ml(coat.made_ml)
    )
}

/// "3 + 7 drops".
fn drops(coat: &CoatStep) -> String {
    let drops: Vec<String> = coat
        .mix
        .iter()
        .map(|measure| measure.drops.to_string())
        .collect();
    match drops.as_slice() {
        [one] if one == "1" => "1 drop".to_owned(),
        drops => format!("{} drops", drops.join(" + ")),
    }
}

fn ml(volume: f64) -> String {
    match volume {
        volume if volume < 0.01 => "less than 0.01 ml".to_owned(),
        volume if volume < 1.0 => format!("{volume:.2} ml"),
        volume => format!("{volume:.1} ml"),
    }
}

/// Where and how to lay a coat.
pub(crate) fn where_line(coat: &CoatStep) -> String {
    [
        coat.coats.as_str(),
        &coat.place.paint,
        &coat.place.leave_bare,
        &coat.pooling,
    ]
    .into_iter()
    .filter(|words| !words.is_empty())
    .collect::<Vec<_>>()
    .join("; ")
}

pub(crate) fn spill_line(spill: &SpillNote) -> String {
    format!(
        "Keep {} off {}: a slip there shows.",
        spill.from, spill.onto
    )
}

/// Every paint with its drops; those that the painter does not have are marked.
pub(crate) fn needs_line(card: &BenchCard) -> String {
    let needs: Vec<String> = card
        .needs
        .iter()
        .map(|need| {
            let missing = if need.owned {
                ""
            } else {
                ", which you do not own"
            };
            let unit = if need.drops == 1 { "drop" } else { "drops" };
            format!(
                "{} ({} {unit}, {}{missing})",
                need.paint,
                need.drops,
                ml(need.ml)
            )
        })
        .collect();
    match needs.is_empty() {
        true => "no paint: the scheme has no coat.".to_owned(),
        false => format!("{}.", needs.join(", ")),
    }
}
