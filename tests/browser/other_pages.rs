//! The page of a pair, and bench cards as a page.

use std::sync::LazyLock;

use velatura::{Cancel, DiskFiles, Job, MemoryOutputs, PairOptions, Side, pair, session};
use velatura_bench_card::{Bench, PaintingOrder, bench_cards, html_pages};
use velatura_tests::root;

use crate::checks::{axe_findings, on_a_phone};
use crate::chromium::printed;

fn job(figure: &str) -> Job {
    let figure = root().join("demo_images").join(figure).join("figure.toml");
    session().build().unwrap().load(&DiskFiles, figure).unwrap()
}

static PAIR: LazyLock<String> = LazyLock::new(|| {
    let jobs = [job("lamplighter"), job("reedwarden")];
    let sides = jobs.each_ref().map(|job| Side { job, scheme: 0 });
    let outputs = MemoryOutputs::new();
    pair(&sides, &PairOptions::default(), &outputs).unwrap();
    String::from_utf8(outputs.files()["pair.html"].clone()).unwrap()
});

const CARDS: usize = 2;

static CARD: LazyLock<String> = LazyLock::new(|| {
    let job = job("lamplighter");
    let schemes: Vec<usize> = (0..CARDS).collect();
    let order = PaintingOrder::default();
    let cards = bench_cards(&job, &schemes, order, &Bench::default(), &Cancel::default());
    html_pages(&cards.unwrap())
});

pub(crate) fn a_pair_fits_a_phone() {
    let width = on_a_phone(&PAIR);
    // Rows of figures seen from the table keep their size and scroll in their own frame.
    assert!(width.page <= width.window, "{width:?}");
    assert!(width.widest_table <= width.window, "{width:?}");
    assert!(width.widest_table > 0, "a pair has tables");
}

pub(crate) fn a_card_fits_a_phone_and_its_sheet_of_paper() {
    let width = on_a_phone(&CARD);
    assert!(width.page <= width.window, "{width:?}");
    assert!(width.widest <= width.window, "{width:?}");
    let (pages, bytes) = printed(&CARD);
    assert_eq!(pages, CARDS, "a page for each card");
    assert!(bytes < 5_000_000, "{bytes} bytes");
}

pub(crate) fn axe_finds_nothing_on_them() {
    for page in [&*PAIR, &*CARD] {
        for width in [1200, 500] {
            let found = axe_findings(page, width);
            assert!(found.is_empty(), "at {width} pixels: {found:?}");
        }
    }
}
