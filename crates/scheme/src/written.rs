//! Schemes as the text of a `schemes.toml`, to read again or to change by hand.

use std::fmt::Write as _;

use velatura_document::{one_line, quoted, word_for};
use velatura_optics::calibrate::PaintBox;
use velatura_optics::coat::Where;
use velatura_optics::mixture::Mix;

use crate::MEDIUM;
use crate::brush::brush_coats;
use crate::resolve::Scheme;
use crate::schemes_keys::FORMAT;
use crate::words::{PLACES, UNDERCOATS, VARNISHES, Varnish};

/// A scheme with remarks about it.
#[derive(Debug, Clone)]
pub struct Proposed {
    /// The scheme.
    pub scheme: Scheme,
    /// Lines above it, as comments.
    pub remarks: Vec<String>,
    /// Regions in painting order, which is the order of the file. Others follow.
    pub order: Vec<usize>,
}

/// The text of a schemes file. `head` is at its top as comments, one line each.
///
/// # Panics
/// If a mix names a paint that is not in the box.
#[must_use]
pub fn schemes_text(proposed: &[Proposed], paints: &PaintBox, head: &[String]) -> String {
    let mut text = String::new();
    comments(&mut text, head);
    let _ = writeln!(text, "format = {}", quoted(FORMAT));
    for Proposed {
        scheme,
        remarks,
        order,
    } in proposed
    {
        text.push('\n');
        comments(&mut text, remarks);
        let _ = writeln!(text, "[[scheme]]\nname = {}", quoted(&scheme.name));
        if !scheme.team.is_empty() {
            let _ = writeln!(text, "team = {}", quoted(&scheme.team));
        }
        let undercoat = word_for(&UNDERCOATS, &scheme.undercoat);
        let _ = writeln!(text, "undercoat = {}", quoted(undercoat));
        if scheme.finish != Varnish::Matte {
            let finish = word_for(&VARNISHES, &scheme.finish);
            let _ = writeln!(text, "finish = {}", quoted(finish));
        }
        let rest = (0..scheme.regions.len()).filter(|region| !order.contains(region));
        for region in order.iter().copied().chain(rest) {
            let stack = &scheme.regions[region];
            for (coat, mix) in stack.coats.iter().zip(&stack.mixes) {
                let _ = writeln!(
                    text,
                    "\n[[scheme.coat]]\nregion = {}",
                    quoted(&stack.region)
                );
                let _ = writeln!(text, "mix = {}", mix_text(mix, paints));
                let _ = writeln!(text, "film = {}  # {}", coat.film, brush_coats(coat.film));
                if coat.place != Where::All {
                    let _ = writeln!(text, "where = {}", quoted(word_for(&PLACES, &coat.place)));
                }
                if coat.place == Where::Edges {
                    let _ = writeln!(text, "width_mm = {}", coat.width_mm);
                }
                if coat.pooling > 0.0 {
                    let _ = writeln!(text, "pooling = {}", coat.pooling);
                }
            }
        }
        for table in &scheme.stages {
            let _ = writeln!(text, "\n[scheme.stage.{}]", quoted(&table.name.value));
            for (key, value) in &table.values {
                let _ = writeln!(text, "{} = {}", quoted(key), toml_text(value));
            }
        }
    }
    text
}

fn comments(text: &mut String, lines: &[String]) {
    for line in lines {
        let _ = writeln!(text, "# {}", one_line(line));
    }
}

fn mix_text(mix: &Mix, paints: &PaintBox) -> String {
    let paint = |(index, parts): &(usize, f64)| {
        format!("{} = {parts}", quoted(&paints.paints[*index].name))
    };
    let medium = (mix.medium > 0.0).then(|| format!("{MEDIUM} = {}", mix.medium));
    let parts: Vec<String> = mix.paints.iter().map(paint).chain(medium).collect();
    format!("{{ {} }}", parts.join(", "))
}

/// A value of a stage's table on one line. It came from TOML, so TOML can express it.
fn toml_text(value: &serde_json::Value) -> String {
    toml::Value::try_from(value)
        .map_or_else(|_| quoted(&value.to_string()), |value| value.to_string())
}
