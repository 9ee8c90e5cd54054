//! `[chart]` of a layout: a reference chart next to the card, its published values, their source and licence.

use velatura_document::Fields;
use velatura_optics::colour::{Lab, Linear};

use super::chart::LEAST_PATCHES;
use super::geometry::RectMm;
use super::layout_card::pair_of;
use super::layout_file::colour;

pub(super) const CHART_KEYS: &[&str] = &["source", "licence", "patch_mm", "patch"];
pub(super) const PATCH_KEYS: &[&str] = &["name", "at_mm", "srgb", "lab"];

/// A reference chart.
#[derive(Debug, Clone)]
pub struct Chart {
    /// Whose reference values these are.
    pub source: String,
    /// Under which licence.
    pub licence: String,
    /// Its patches.
    pub patches: Vec<Patch>,
}

/// One patch.
#[derive(Debug, Clone)]
pub struct Patch {
    /// Its measured middle, on the card's plane.
    pub rect: RectMm,
    /// What it is.
    pub truth: Linear,
}

/// Share of a patch's width that is measured.
const MEASURED_SHARE: f64 = 0.5;

/// The outer `None` is a mistake, the inner one no chart at all.
#[allow(
    clippy::option_option,
    reason = "a mistake and an absent table are different news"
)]
pub(super) fn read(fields: &Fields<'_>) -> Option<Option<Chart>> {
    if !fields.has("chart") {
        return Some(None);
    }
    let table = fields.table("chart", "[chart]", CHART_KEYS)?;
    let source = table.required_text("source", "the source of the reference values");
    let licence = table.required_text("licence", "the licence of the reference values");
    let expected = "width of a patch, 1 to 200 mm";
    if !table.has("patch_mm") {
        table.missing("patch_mm", expected);
    }
    let patch_mm = table
        .number("patch_mm", 1.0..=200.0, expected)
        .map(|mm| mm.value);
    let tables = table.tables("patch", "patch", PATCH_KEYS);
    if tables.len() < LEAST_PATCHES {
        table.problem(
            &table.at(),
            format!("the chart has {} patches", tables.len()),
            &format!("at least {LEAST_PATCHES} of different hues: a matrix has nine unknowns"),
            "add patches, or remove [chart]: the black and white of the card are then used alone",
        );
    }
    let patches: Vec<Option<Patch>> = tables
        .iter()
        .map(|patch| read_patch(patch, patch_mm.unwrap_or(1.0)))
        .collect();
    patch_mm?;
    Some(Some(Chart {
        source: source?.value,
        licence: licence?.value,
        patches: patches.into_iter().collect::<Option<_>>()?,
    }))
}

fn read_patch(table: &Fields<'_>, patch_mm: f64) -> Option<Patch> {
    let _name = table.text("name", "a text");
    let at = pair_of(
        table,
        "at_mm",
        "[x, y]: the patch's centre in mm, from the upper left mark",
    );
    let truth = match (table.has("srgb"), table.has("lab")) {
        (true, false) => colour(table, "srgb").map(|code| code.value.linear()),
        (false, true) => {
            let expected = "[L*, a*, b*] under D65, 2° observer";
            table
                .numbers("lab", expected)
                .and_then(|lab| match lab.value[..] {
                    [l, a, b]
                        if (0.0..=100.0).contains(&l) && a.abs() <= 150.0 && b.abs() <= 150.0 =>
                    {
                        Some(Lab([l, a, b]).linear())
                    }
                    _ => {
                        table.problem(&lab.at, "`lab` is not a colour", expected, "");
                        None
                    }
                })
        }
        _ => {
            table.problem(
                &table.at(),
                "the patch needs exactly one reference value",
                "`srgb` (\"#rrggbb\") or `lab` ([L*, a*, b*], D65)",
                "write the published value",
            );
            None
        }
    };
    let [x, y] = at?;
    let half = MEASURED_SHARE * patch_mm / 2.0;
    Some(Patch {
        rect: RectMm {
            from: [x - half, y - half],
            to: [x + half, y + half],
        },
        truth: truth?,
    })
}
