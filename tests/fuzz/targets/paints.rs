//! Changed paints files: read, calibrated, reported, and used for colours.

use rand::seq::IndexedRandom;
use velatura_document::SourceText;
use velatura_pipeline::optics::calibrate::{PaintBox, calibrate};
use velatura_pipeline::optics::colour::{Encoded, luminance};
use velatura_pipeline::optics::mixture::Mix;
use velatura_pipeline::optics::paint_report::paint_reports;
use velatura_pipeline::optics::paints_file::{PaintsFile, read_paints_file};
use velatura_pipeline::scheme::{EvenCoat, Substrate, predicted};
use velatura_report::json_value;

use crate::kit::base::{DEMO, PAINTS, example, text_of};
use crate::kit::case::Case;
use crate::kit::oracle::{self, diagnostics, finite};
use crate::kit::texts::changed;
use crate::kit::{Chance, Target, Verdict};

pub(crate) const TARGET: Target = Target {
    name: "paints",
    share: 100,
    make,
    run,
};

fn make(chance: &mut Chance) -> Case {
    let demo = text_of(&DEMO, PAINTS);
    let all = example("paints");
    let text = [&demo, &all, &all]
        .choose(chance)
        .map_or("", |text| text.as_str());
    Case::of("").file(PAINTS, changed(text, &[&all, &demo], chance))
}

/// A text file that is right, if it is; its diagnostics hold.
pub(super) fn read(case: &Case, name: &str) -> Result<Option<SourceText>, String> {
    match SourceText::from_bytes(name.to_owned(), case.bytes(name).to_vec()) {
        Ok(source) => Ok(Some(source)),
        Err(problem) => diagnostics(&[problem]).map(|()| None),
    }
}

/// A paints file, if it is right.
pub(super) fn paints_of(source: &SourceText) -> Result<Option<PaintsFile>, String> {
    oracle::read(read_paints_file(source))
}

fn run(case: &Case) -> Verdict {
    let Some(source) = read(case, PAINTS)? else {
        return Ok(());
    };
    let Some(file) = paints_of(&source)? else {
        return Ok(());
    };
    let calibrated = calibrate(&file);
    diagnostics(&calibrated.warnings)?;
    let paints = calibrated.value;
    json_value(&paint_reports(&file, &paints)).map_err(|why| why.to_string())?;
    colours(&paints)
}

/// Some colours that these paints give.
fn colours(paints: &PaintBox) -> Verdict {
    let count = paints.paints.len();
    let mixes = (0..count.min(6)).map(|paint| Mix {
        paints: vec![(paint, 1.0), ((paint + 1) % count, 1e6)],
        medium: if paint % 2 == 0 { 0.0 } else { 1e-3 },
    });
    for mut mix in mixes {
        if count == 1 {
            mix.paints.pop();
        }
        for film in [0.0, 1e-6, 1.0, 10.0] {
            let coat = EvenCoat {
                mix: mix.clone(),
                film,
            };
            for over in [Encoded([0; 3]), Encoded([255, 0, 3])] {
                let below = Substrate::of_colour(over.linear(), paints.cards.specular);
                let dried = predicted(paints, &[coat.clone(), coat.clone()], &below);
                finite("a colour", dried.colour.0)?;
                finite("a colour", dried.colour.lab().0)?;
                finite("Y and ΔE", [luminance(dried.colour), dried.trust.delta_e])?;
            }
        }
    }
    Ok(())
}
