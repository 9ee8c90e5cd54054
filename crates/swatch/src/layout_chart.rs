//! `[chart]` of a layout: a reference chart next to the card, its published values, their source and licence.

use velatura_document::Fields;
use velatura_optics::colour::{Encoded, Lab, Linear};

use super::geometry::RectMm;

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
    let table = fields.table("chart")?;
    let (source, licence) = (table.text("source"), table.text("licence"));
    let patch_mm = table.number("patch_mm").map(|mm| mm.value);
    let tables = table.tables("patch");
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
    // The name is for people: nothing here needs it, but it must be one.
    let _name = table.text("name");
    let at = table.numbers::<2>("at_mm");
    let truth = match (table.has("srgb"), table.has("lab")) {
        (true, false) => table
            .colour::<Encoded>("srgb")
            .map(|code| code.value.linear()),
        (false, true) => table.numbers("lab").map(|lab| Lab(lab.value).linear()),
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
    let [x, y] = at?.value;
    let half = MEASURED_SHARE * patch_mm / 2.0;
    Some(Patch {
        rect: RectMm {
            from: [x - half, y - half],
            to: [x + half, y + half],
        },
        truth: truth?,
    })
}
