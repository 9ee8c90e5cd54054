//! Whole jobs: changed figure, paints and schemes files, and changed pictures, are checked, loaded and rendered.

use std::sync::LazyLock;

use rand::RngExt;
use rand::seq::IndexedRandom;
use velatura::{Extent, Job, JobFiles, MemoryOutputs, RenderOptions, Session, render};

use crate::kit::base::{FIGURE, PAINTS, SCHEMES, SIZE, example, figure, text_of};
use crate::kit::case::Case;
use crate::kit::oracle::{diagnostics, error, must, written};
use crate::kit::pictures::{damaged, encoded, picture, size};
use crate::kit::texts::changed;
use crate::kit::{Chance, Target, Verdict};

pub(crate) const FIGURE_TARGET: Target = Target {
    name: "figure",
    share: 100,
    make: |chance| one_changed(FIGURE, chance),
    run,
};

pub(crate) const SCHEMES_TARGET: Target = Target {
    name: "schemes",
    share: 100,
    make: |chance| one_changed(SCHEMES, chance),
    run,
};

pub(crate) const JOB_TARGET: Target = Target {
    name: "job",
    share: 60,
    make: |chance| {
        let mut case = figure(chance);
        for name in [FIGURE, PAINTS, SCHEMES] {
            if chance.random_bool(0.6) {
                case = change(case, name, chance);
            }
        }
        with_options(case, chance)
    },
    run,
};

pub(crate) const PICTURES_TARGET: Target = Target {
    name: "pictures",
    share: 120,
    make: |chance| {
        let case = figure(chance);
        with_options(with_pictures(case, chance), chance)
    },
    run,
};

/// Colours of the demo's mask, some almost so.
const MASKS: [[u8; 3]; 7] = [
    [0, 0, 0],
    [0xe6, 0x19, 0x4b],
    [0x43, 0x63, 0xd8],
    [0xff, 0xe1, 0x19],
    [0xe6, 0x1b, 0x49],
    [0xe6, 0x1c, 0x4b],
    [2, 2, 2],
];

/// Other pictures in some places.
pub(super) fn with_pictures(mut case: Case, chance: &mut Chance) -> Case {
    let names: Vec<String> = case.files.keys().cloned().collect();
    let pictures = names.iter().filter(|name| !name.ends_with(".toml"));
    let same = size(SIZE, chance);
    for name in pictures {
        let colours = if name.contains("mask") {
            &MASKS[..]
        } else {
            &[]
        };
        let bytes = match chance.random_range(0..6) {
            0 => case.bytes(name).to_vec(),
            1 => damaged(case.bytes(name).to_vec(), chance),
            // Pictures of one size pass the first check.
            2..=4 => encoded(&picture(same, colours, chance), chance),
            _ => {
                let size = size(SIZE, chance);
                let bytes = encoded(&picture(size, colours, chance), chance);
                damaged(bytes, chance)
            }
        };
        case = case.file(name, bytes);
    }
    if chance.random_bool(0.4) {
        // Without a light photo, other code divides the tones.
        let figure = text_of(&case, FIGURE);
        case = case.file(FIGURE, figure.replace("light_photo = \"primed.jpg\"", ""));
    }
    case
}

/// Changes one text file of a case.
pub(super) fn change(case: Case, name: &str, chance: &mut Chance) -> Case {
    let other = example(name.strip_suffix(".toml").unwrap_or(name));
    let text = text_of(&case, name);
    case.file(name, changed(&text, &[&other], chance))
}

fn one_changed(name: &str, chance: &mut Chance) -> Case {
    let case = figure(chance);
    let case = change(case, name, chance);
    with_options(case, chance)
}

/// Values: whether to render previews, columns, long edge (0 for the usual ones), and whether to render twice.
fn with_options(case: Case, chance: &mut Chance) -> Case {
    let of = |numbers: &[u32], chance: &mut Chance| {
        numbers
            .choose(chance)
            .map(ToString::to_string)
            .unwrap_or_default()
    };
    case.value(of(&[0, 0, 1], chance))
        .value(of(&[0, 0, 1, 2, 7, 1000], chance))
        .value(of(&[64, 65, 300, 300, 300, 900], chance))
        .value(of(&[0, 0, 0, 0, 0, 0, 1], chance))
}

pub(super) static SESSION: LazyLock<Session> = LazyLock::new(velatura_tests::built_in_session);

/// Checks and loads a case: the job if it is right. Both must agree.
pub(super) fn loaded(case: &Case) -> Result<Option<Job>, String> {
    let (files, names) = (case.memory(), JobFiles::next_to(FIGURE));
    let checked = SESSION
        .check(&files, &names)
        .map_err(|why| format!("check: {why}"))?;
    let wrong = checked.any_error();
    diagnostics(&checked.all())?;
    match SESSION.load_files(&files, &names) {
        Err(why) => {
            error(&why)?;
            must(wrong, || format!("check accepts what load refuses: {why}"))?;
            Ok(None)
        }
        Ok(job) => {
            diagnostics(&job.warnings)?;
            must(!wrong, || "load accepts what check refuses".to_owned())?;
            Ok(Some(job))
        }
    }
}

fn run(case: &Case) -> Verdict {
    let Some(job) = loaded(case)? else {
        return Ok(());
    };
    let number = |index| u32::try_from(case.number(index)).unwrap_or(0);
    let mut options = RenderOptions::default().long_edge(number(2).max(64));
    if number(0) == 0 {
        options = options.extent(Extent::SheetOnly);
    }
    if number(1) > 0 {
        options = options.columns(number(1));
    }
    let outputs = MemoryOutputs::new();
    let result = render(&job, &options, &outputs);
    written(&result, &outputs)?;
    if number(3) == 1 {
        let again = MemoryOutputs::new();
        let _ = render(&job, &options, &again);
        must(again.files() == outputs.files(), || {
            "a second render differs".to_owned()
        })?;
    }
    Ok(())
}
