//! How near a thinned search comes to the whole one, and how long each takes, on boxes of random paints.
//!
//! `cargo run --release -p velatura-scheme --example thinned_search -- PAINTS BOXES`, for instance `50 10`. It prints a line for
//! each box: ΔE of the first and of the fifth mix by both searches, and seconds.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "an example that measures: it prints its figures"
)]

use std::time::Instant;

use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};
use velatura_document::SourceText;
use velatura_optics::calibrate::{PaintBox, calibrate};
use velatura_optics::colour::{Encoded, Linear};
use velatura_optics::paints_file::read_paints_file;
use velatura_scheme::Substrate;
use velatura_scheme::matching::{Effort, Matching, find};

/// Above so many colours the whole search is left out.
const WHOLE: u64 = 100_000_000;

fn paints(chance: &mut ChaCha8Rng, count: usize) -> PaintBox {
    let mut text =
        "format = \"velatura-paints/1\"\n[cards]\nblack = \"#1c1c1c\"\nwhite = \"#f0f0f0\"\n"
            .to_owned();
    for index in 0..count {
        let over_white = Encoded(std::array::from_fn(|_| chance.random_range(16..250)));
        let hides = 0.02 + 0.9 * chance.random_range(0.0..1.0);
        let over_black = Linear(over_white.linear().0.map(|part| part * hides)).encoded();
        text += &format!(
            "[[paint]]\nname = \"paint {index}\"\nover_white = \"{over_white}\"\nover_black = \"{over_black}\"\n"
        );
    }
    let source = SourceText::new("paints.toml", text);
    calibrate(&read_paints_file(&source).unwrap().value).value
}

fn main() {
    let numbers: Vec<u64> = std::env::args()
        .skip(1)
        .filter_map(|text| text.parse().ok())
        .collect();
    let (count, boxes) = match numbers.as_slice() {
        [count, boxes] => (usize::try_from(*count).unwrap(), *boxes),
        _ => (50, 5),
    };
    let mut worst = 0.0_f64;
    for seed in 1000..1000 + boxes {
        let mut chance = ChaCha8Rng::seed_from_u64(seed);
        let paints = paints(&mut chance, count);
        let target = Encoded(std::array::from_fn(|_| chance.random_range(0..=255)));
        let grey = Linear::grey(chance.random_range(0.02..0.9));
        let over = Substrate::of_colour(grey, paints.cards.specular);
        let matching = Matching::new(&paints, target.lab(), over);
        let size = matching.grid.size();
        let timed = |effort: &Effort<'_>| {
            let begun = Instant::now();
            let found = find(&paints, &matching, effort).unwrap();
            let [first, fifth] = [0, 4].map(|at: usize| found.mixes[at].delta_e);
            (first, fifth, begun.elapsed().as_secs_f64())
        };
        let (first, fifth, seconds) = timed(&Effort::default());
        print!("{target} {size} colours; thinned {first:.3} {fifth:.3} {seconds:.2} s");
        if size <= WHOLE {
            let (least, whole_fifth, whole_seconds) = timed(&Effort {
                colours: u64::MAX,
                ..Effort::default()
            });
            worst = worst.max(first - least);
            print!("; whole {least:.3} {whole_fifth:.3} {whole_seconds:.2} s");
        }
        println!();
    }
    println!("at worst {worst:.3} farther");
}
