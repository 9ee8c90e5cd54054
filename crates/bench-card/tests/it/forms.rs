//! HTML, PDF and text have everything on the card, one page for each, and take names as text.

use lopdf::Document as Pdf;
use roxmltree::Document;
use velatura_bench_card::{
    Bench, BenchCard, PaintingOrder, bench_cards, html_pages, pdf_pages, text_pages,
};
use velatura_pipeline::Cancel;
use velatura_testkit::desk::Figure;
use velatura_testkit::pages::xml;

/// Two cards whose names hold what HTML and PDF give a meaning, and letters of three scripts.
fn cards() -> Vec<BenchCard> {
    ["Wick & Ember <x> (y)", "Туман / Λυχνάρι"]
        .into_iter()
        .flat_map(|name| {
            let colours = [("hood", "#f0c040"), ("coat", "#204a80")];
            let job = Figure::hooded().painted(name, &colours);
            let bench = Bench::default();
            let order = PaintingOrder::default();
            bench_cards(&job, &[0], order, &bench, &Cancel::default()).unwrap()
        })
        .collect()
}

#[test]
fn the_page_holds_every_card_and_fetches_nothing() {
    let cards = cards();
    let page = html_pages(&cards);
    let strict = xml(&page);
    let read = Document::parse(&strict).unwrap();
    let text: String = read
        .descendants()
        .filter(|node| node.is_text())
        .filter_map(|node| node.text())
        .collect();
    for card in &cards {
        for words in [
            &card.scheme,
            &card.team,
            &card.drying,
            &card.fix,
            &card.varnish,
        ]
        .into_iter()
        .chain(&card.cautions)
        .chain(&card.undercoat.steps)
        {
            assert!(text.contains(words.as_str()), "{words}");
        }
        for need in &card.needs {
            assert!(text.contains(&need.paint), "{}", need.paint);
        }
    }
    let count = |tag: &str| {
        read.descendants()
            .filter(|node| node.has_tag_name(tag))
            .count()
    };
    assert_eq!(count("section"), 2);
    assert_eq!(count("input"), 4, "one box to tick for each coat");
    assert_eq!(count("img"), 2);
    for label in read.descendants().filter(|node| node.has_tag_name("label")) {
        let id = label.attribute("for");
        assert!(read.descendants().any(|node| node.attribute("id") == id));
    }
    assert!(!page.contains("<script") && !page.contains("http") && !page.contains("url("));
}

#[test]
fn the_pdf_has_a_page_for_each_card_and_its_text_can_be_found() {
    let cards = cards();
    let bytes = pdf_pages(&cards);
    assert!(
        bytes == pdf_pages(&cards),
        "the same cards give the same bytes"
    );
    let pdf = Pdf::load_mem(&bytes).unwrap();
    assert_eq!(pdf.get_pages().len(), 2);
    for (page, card) in (1..).zip(&cards) {
        let text = pdf.extract_text(&[page]).unwrap();
        let flat = |text: &str| text.split_whitespace().collect::<String>();
        let text = flat(&text);
        for words in [&card.scheme, &card.drying, &card.cautions[0]] {
            assert!(text.contains(&flat(words)), "{words} in {text}");
        }
    }
}

#[test]
fn the_text_has_a_box_for_each_coat_and_short_enough_heads() {
    let text = text_pages(&cards());
    assert_eq!(text.matches("[ ] ").count(), 4);
    assert!(text.contains("Wick & Ember <x> (y)") && text.contains("With care"));
    assert!(!text.contains("NaN") && !text.contains("inf"));
}
