//! Changed layouts, and the cards that are printed for them.

use rand::RngExt;
use velatura_swatch::{LayoutFile, Paper, card_pdf, card_svg, read_layout_file};

use super::paints::read;
use crate::kit::base::{example, text};
use crate::kit::case::Case;
use crate::kit::oracle::{self, must, page};
use crate::kit::texts::changed;
use crate::kit::{Chance, Target, Verdict};

pub(super) const LAYOUT: &str = "layout.toml";

pub(crate) const TARGET: Target = Target {
    name: "layout",
    share: 100,
    make: |chance| Case::of("").file(LAYOUT, changed_layout(chance)),
    run,
};

pub(super) fn changed_layout(chance: &mut Chance) -> Vec<u8> {
    let (demo, all) = (text("demo_images/card/layout.toml"), example("layout"));
    let text = if chance.random_bool(0.5) { &demo } else { &all };
    changed(text, &[&all, &demo], chance)
}

/// A layout, if it is right.
pub(super) fn layout_of(case: &Case) -> Result<Option<LayoutFile>, String> {
    let Some(source) = read(case, LAYOUT)? else {
        return Ok(None);
    };
    oracle::read(read_layout_file(&source))
}

fn run(case: &Case) -> Verdict {
    let Some(layout) = layout_of(case)? else {
        return Ok(());
    };
    for paper in [Paper::A4, Paper::Letter] {
        page(&card_svg(paper, Some(&layout)))?;
        let pdf = card_pdf(paper, Some(&layout));
        must(pdf.starts_with(b"%PDF-") && pdf.len() < 8 << 20, || {
            format!("{} bytes that are no card", pdf.len())
        })?;
    }
    Ok(())
}
