//! The thinned search against the whole one, on random paints and targets.
//!
//! The whole search itself answers to brute force in `matching.rs`. `examples/thinned_search.rs` measures the same on more and
//! larger boxes.

#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    clippy::print_stdout,
    reason = "everything here is a test: it may fail loudly and prints its figures"
)]

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};
use velatura_document::{Error, SourceText};
use velatura_optics::calibrate::{PaintBox, calibrate};
use velatura_optics::colour::{Encoded, Linear};
use velatura_optics::paints_file::read_paints_file;
use velatura_scheme::matching::{Effort, Found, Matching, THINNED_WITHIN, WHOLE_UP_TO, find};
use velatura_scheme::{Substrate, Watch};

/// Paints of random colours and opacities.
fn paints(chance: &mut ChaCha8Rng, count: usize) -> PaintBox {
    let mut text =
        "format = \"velatura-paints/1\"\n[cards]\nblack = \"#1c1c1c\"\nwhite = \"#f0f0f0\"\n"
            .to_owned();
    for index in 0..count {
        let over_white = Encoded(std::array::from_fn(|_| chance.random_range(16..250)));
        // Over black, a film shows at least what the card reflects of it: darker, never lighter.
        let hides = 0.02 + 0.9 * chance.random_range(0.0..1.0);
        let over_black = Linear(over_white.linear().0.map(|part| part * hides)).encoded();
        text += &format!(
            "[[paint]]\nname = \"paint {index}\"\nover_white = \"{over_white}\"\nover_black = \"{over_black}\"\n"
        );
    }
    let file = read_paints_file(&SourceText::new("paints.toml", text))
        .unwrap_or_else(|problems| panic!("{problems:?}"));
    calibrate(&file.value).value
}

fn random(seed: u64, count: usize) -> (PaintBox, Matching) {
    let mut chance = ChaCha8Rng::seed_from_u64(seed);
    let paints = paints(&mut chance, count);
    let target = Encoded(std::array::from_fn(|_| chance.random_range(0..=255)));
    let grey = Linear::grey(chance.random_range(0.02..0.9));
    let over = Substrate::of_colour(grey, paints.cards.specular);
    let matching = Matching::new(&paints, target.lab(), over);
    (paints, matching)
}

fn with(paints: &PaintBox, matching: &Matching, colours: u64) -> Found {
    let effort = Effort {
        colours,
        ..Effort::default()
    };
    find(paints, matching, &effort).unwrap()
}

/// How much farther from the target than the whole search's the first mix of a thinned one is, at worst.
fn worst(seeds: std::ops::Range<u64>, count: usize, share: u64) -> f64 {
    let mut worst = 0.0_f64;
    for seed in seeds {
        let (paints, matching) = random(seed, count);
        let whole = with(&paints, &matching, u64::MAX);
        let thinned = with(&paints, &matching, matching.grid.size() / share);
        assert!(!whole.thinned && thinned.thinned);
        let [least, found] = [&whole, &thinned].map(|found| found.mixes[0].delta_e);
        assert!(found > least - 1e-6, "{found} {least}");
        worst = worst.max(found - least);
    }
    println!("{count} paints, one colour in {share}: at worst ΔE {worst:.3} farther");
    worst
}

#[test]
fn a_thinned_search_comes_within_the_stated_distance() {
    // About as much is left out of 50 paints' 25 million colours with the usual limits.
    assert!(worst(0..24, 12, 9) <= THINNED_WITHIN);
    assert!(worst(100..104, 20, 9) <= THINNED_WITHIN);
    // Must fail: where a thousandth is tried, much is missed.
    assert!(worst(0..24, 12, 1000) > THINNED_WITHIN);
}

#[test]
fn more_paints_and_parts_in_a_mix_are_thinned_out_too() {
    for (max_paints, max_parts, films) in
        [(4, 8, 2), (6, 7, 1), (2, 60, 4), (3, 100, 1), (1, 100, 4)]
    {
        let (paints, mut matching) = random(7, 9);
        matching.grid.max_paints = max_paints;
        matching.grid.max_parts = max_parts;
        matching.grid.films.truncate(films);
        let size = matching.grid.size();
        let found = with(&paints, &matching, (size / 9).min(200_000));
        assert!(
            found.thinned && found.mixes.len() == matching.count,
            "{size}"
        );
        for one in &found.mixes {
            assert!(one.mix.paints.len() <= max_paints && one.mix.volume() <= f64::from(max_parts));
        }
        for pair in found.mixes.windows(2) {
            assert!(pair[0].delta_e <= pair[1].delta_e + 1e-6);
            assert!(pair[0].mix != pair[1].mix, "{:?}", pair[0].mix);
        }
        if size < 2_000_000 {
            let whole = with(&paints, &matching, u64::MAX);
            let farther = found.mixes[0].delta_e - whole.mixes[0].delta_e;
            assert!(
                (-1e-6..=THINNED_WITHIN).contains(&farther),
                "{max_paints} {max_parts} {farther}"
            );
        }
    }
}

#[test]
fn a_small_grid_is_searched_whole() {
    let (paints, matching) = random(3, 6);
    assert!(matching.grid.size() <= WHOLE_UP_TO);
    let usual = find(&paints, &matching, &Effort::default()).unwrap();
    assert_eq!(usual, with(&paints, &matching, u64::MAX));
    assert!(!usual.thinned);
}

#[test]
fn the_result_does_not_depend_on_the_number_of_threads() {
    let (paints, matching) = random(11, 14);
    let found = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
        let pool = pool.build().unwrap();
        pool.install(|| with(&paints, &matching, 20_000))
    };
    let one = found(1);
    assert!(one.thinned);
    assert_eq!(one, found(4));
}

#[test]
fn a_search_can_be_stopped_and_reports_how_far_it_is() {
    let (paints, matching) = random(5, 12);
    for colours in [u64::MAX, 30_000] {
        let asked = AtomicUsize::new(0);
        let reports = Mutex::new(Vec::new());
        let stopped_after = |after: usize| {
            let stopped = || asked.fetch_add(1, Ordering::Relaxed) >= after;
            let progress = |done: f64| reports.lock().unwrap().push(done);
            let watch = Watch::new(&stopped, &progress);
            find(&paints, &matching, &Effort { colours, watch })
        };
        assert!(matches!(stopped_after(0), Err(Error::Cancelled)));
        assert!(matches!(stopped_after(50), Err(Error::Cancelled)));
        // Few pieces of work are begun after that.
        assert!(asked.load(Ordering::Relaxed) < 1000);
        assert!(stopped_after(usize::MAX).is_ok());
        let reports = reports.into_inner().unwrap();
        let last = reports.iter().copied().fold(0.0, f64::max);
        assert!(
            reports.len() > 2 && (last - 1.0).abs() < 1e-9,
            "{reports:?}"
        );
        assert!(reports.iter().all(|done| (0.0..=1.0).contains(done)));
    }
}
