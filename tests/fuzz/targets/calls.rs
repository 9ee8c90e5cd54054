//! Values of calls: mixes, colours, names and sizes as somebody may type them.

use std::sync::LazyLock;

use rand::RngExt;
use rand::seq::IndexedRandom;
use velatura::{Extent, Job, MemoryOutputs, RenderOptions, render};
use velatura_pipeline::optics::colour::{Encoded, luminance};
use velatura_pipeline::scheme::{
    EvenCoat, Substrate, THICKEST_FILM, mix_text, predicted, read_mix,
};

use super::job::SESSION;
use crate::kit::base::{FIGURE, TINY};
use crate::kit::case::Case;
use crate::kit::oracle::{call_problem, finite, must, written};
use crate::kit::texts::changed;
use crate::kit::{Chance, Target, Verdict};

pub(crate) const TARGET: Target = Target {
    name: "calls",
    share: 100,
    make,
    run,
};

static JOB: LazyLock<Job> = LazyLock::new(|| {
    SESSION
        .load(&TINY.memory(), FIGURE)
        .expect("the tiny figure is right")
});

const MIXES: [&str; 6] = [
    "Oil Amber:3,medium:7",
    "Deep Eel:1",
    "medium:1",
    "Oil Amber:1e6,Deep Eel:1e-6,Oil Amber:0.5",
    "Deep Eel:2 , Oil Amber:1",
    "Oil Amber:3,medium:7,Oil Amber:1",
];
const COLOURS: [&str; 5] = ["#808080", "#000000", "#ffffff", "808080", "#fff"];
const NUMBERS: [&str; 8] = ["0", "1", "63", "64", "300", "1000", "1001", "4294967295"];

/// Values: a mix, an undercoat, a film, a scheme's name, columns, a long edge.
fn make(chance: &mut Chance) -> Case {
    let text = |from: &[&str], chance: &mut Chance| {
        let one = from.choose(chance).copied().unwrap_or("");
        String::from_utf8_lossy(&changed(one, from, chance)).into_owned()
    };
    let mut case = Case::of("");
    for from in [
        &MIXES[..],
        &COLOURS[..],
        &["1", "0", "0.25", "10", "nan"],
        &["Foglight", "Wick Smoke", ""],
    ] {
        case = case.value(text(from, chance));
    }
    for _ in 0..2 {
        // Most sizes are usual ones, so that a render is reached.
        let number = if chance.random_bool(0.5) {
            "300"
        } else {
            NUMBERS.choose(chance).unwrap_or(&"0")
        };
        case = case.value(number);
    }
    case
}

fn run(case: &Case) -> Verdict {
    let value = |index: usize| case.values.get(index).map_or("", String::as_str);
    let paints = &JOB.paints;
    match read_mix(value(0), paints, "paints.toml") {
        Err(problems) => {
            must(!problems.is_empty(), || {
                "a mix is refused without a word".to_owned()
            })?;
            problems.iter().try_for_each(call_problem)?;
        }
        Ok(mix) => {
            let text = mix_text(&mix, paints);
            let again = read_mix(&text, paints, "paints.toml");
            must(again.as_ref() == Ok(&mix), || {
                format!("{text:?} is read as {again:?}, not {mix:?}")
            })?;
            let film = value(2)
                .parse()
                .ok()
                .filter(|film| (0.0..=THICKEST_FILM).contains(film));
            let coat = EvenCoat {
                mix,
                film: film.unwrap_or(1.0),
            };
            let over: Encoded = value(1).parse().unwrap_or(Encoded([0x80; 3]));
            let below = Substrate::of_colour(over.linear(), paints.cards.specular);
            let dried = predicted(paints, &[coat], &below);
            finite("a colour", dried.colour.lab().0)?;
            finite("Y and ΔE", [luminance(dried.colour), dried.trust.delta_e])?;
        }
    }
    let number = |index| u32::try_from(case.number(index)).unwrap_or(0);
    let options = RenderOptions::default()
        .extent(Extent::SheetOnly)
        .only([value(3)])
        .columns(number(4))
        .long_edge(number(5).min(2000));
    let outputs = MemoryOutputs::new();
    written(&render(&JOB, &options, &outputs), &outputs)
}
