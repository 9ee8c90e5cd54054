//! The card as a page for a browser: it prints on one A4 or Letter page and reads in one column on a phone.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, html};
use velatura_pipeline::optics::colour::Encoded;
use velatura_report::html::{document, list};

use crate::card::{BenchCard, CoatStep};
use crate::text::{batch, mix_line, needs_line, part_line, spill_line, time_line};

/// A4 and Letter share 190 × 259 mm inside margins of 10 mm. Type gets smaller where there are many coats; the sizes were chosen on
/// the 20 schemes of the two demo figures, which have 8 to 20 coats.
const STYLE: &str = "
@page { size: auto; margin: 10mm; }
.card { font-size: 0.95rem; line-height: 1.35; }
.card h1 { margin: 0; font-size: 1.5rem; }
.card h2 { margin: 0.8rem 0 0.2rem; padding: 0; border: 0; font-size: 1.05rem; }
.card p, .card ul, .card ol { margin: 0.2rem 0; }
.card ul, .card ol { padding-left: 1.3rem; }
.top { display: flex; flex-wrap: wrap; gap: 0.5rem 1.5rem; }
.top img { max-height: 17rem; width: auto; }
.top > div { flex: 1 1 20rem; }
.coats { list-style: none; padding: 0 !important; }
.coats li { display: flex; flex-wrap: wrap; gap: 0.1rem 0.8rem; align-items: center; border-top: 1px solid #bbb;
  padding: 0.25rem 0; break-inside: avoid; }
.coats .what { flex: 1 1 16rem; }
.coats input { width: 1.2rem; height: 1.2rem; margin: 0; }
.chips { display: inline-flex; border: 1px solid #505050; }
.chips span { width: 2rem; height: 1.6rem; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
.small { font-size: 0.85em; color: #444; }
@media print {
  body { padding: 0; max-width: none; margin: 0; }
  .card { break-after: page; font-size: 8.5pt; line-height: 1.2; }
  .card:last-child { break-after: auto; }
  .card h1 { font-size: 1.6em; }
  .card h2 { font-size: 1.15em; margin-top: 1.5mm; }
  .card p, .card ul, .card ol { margin: 0.4mm 0; }
  .top img { max-height: 55mm; }
  .top > div { flex-basis: 90mm; }
  .parts { columns: 2; }
  .coats li { flex-wrap: nowrap; padding: 0.5mm 0; }
  .chips span { width: 7mm; height: 4.5mm; }
  .dense { font-size: 7.2pt; }
  .dense .coats li { padding: 0.2mm 0; }
  .dense .top img { max-height: 45mm; }
  .denser { font-size: 6.2pt; }
  .denser .chips span { height: 3.5mm; }
}
";

/// Cards with more coats than this are printed closer.
const DENSE_ABOVE: usize = 10;
/// See [`DENSE_ABOVE`].
const DENSER_ABOVE: usize = 15;

/// One page for each card, in one file that needs nothing else.
#[must_use]
pub fn html_pages(cards: &[BenchCard]) -> String {
    let title = match cards {
        [one] => format!("{}: {}", one.figure, one.scheme),
        [first, ..] => format!("{}: {} bench cards", first.figure, cards.len()),
        [] => "No bench card".to_owned(),
    };
    let body = html! {
        @for (number, card) in (1..).zip(cards) {
            (page(number, card))
        }
    };
    document(&title, STYLE, &body)
}

fn page(number: usize, card: &BenchCard) -> Markup {
    let data = STANDARD.encode(&card.thumbnail_png);
    let coats = card.coats.len();
    html! {
        section.card.dense[coats > DENSE_ABOVE].denser[coats > DENSER_ABOVE] {
            div.top {
                img src={ "data:image/png;base64," (data) } width=(card.thumbnail.width())
                    height=(card.thumbnail.height())
                    alt={ (card.figure) " painted as " (card.scheme) ", its parts numbered" };
                div {
                    h1 { (card.scheme) }
                    p.small {
                        @if !card.team.is_empty() { (card.team) " · " }
                        (card.figure) " · " (time_line(card))
                    }
                    h2 { "Undercoat: " (card.undercoat.name) }
                    (list(&card.undercoat.steps))
                    h2 { "Parts" }
                    ol.parts {
                        @for part in &card.parts {
                            li { (part_line(part)) }
                        }
                    }
                }
            }
            h2 { "Coats" }
            p.small { (card.order) " Chips: dried over the part's dark, middle and bright undercoat." }
            ol.coats {
                @for (step, coat) in (1..).zip(&card.coats) {
                    (coat_row(&format!("card-{number}-coat-{step}"), step, coat))
                }
            }
            h2 { "While you paint" }
            ul {
                li { (card.drying) }
                @for spill in &card.spills {
                    li { (spill_line(spill)) }
                }
                li { (card.fix) }
                li { (card.varnish) }
                @for step in &card.own_steps {
                    li { (step) }
                }
            }
            h2 { "You need" }
            p { (needs_line(card)) }
            @for sentence in &card.basis {
                p.small { (sentence) }
            }
            h2 { "With care" }
            @for sentence in &card.cautions {
                p.small { (sentence) }
            }
        }
    }
}

fn coat_row(id: &str, step: usize, coat: &CoatStep) -> Markup {
    html! {
        li {
            input type="checkbox" id=(id) aria-label={ "coat " (step) " done" };
            (chips(&coat.dried))
            label.what for=(id) {
                strong { (step) ". " (coat.name) " (" (coat.part) "): " (mix_line(coat)) }
                " " (batch(coat))
            }
            span.small {
                (coat.coats) ", " (coat.place.paint)
                @if !coat.place.leave_bare.is_empty() { "; " (coat.place.leave_bare) }
                @if !coat.pooling.is_empty() { "; " (coat.pooling) }
            }
        }
    }
}

fn chips(dried: &[Encoded; 3]) -> Markup {
    let [dark, middle, bright] = dried;
    html! {
        span.chips role="img" aria-label={ "dries to " (dark) ", " (middle) ", " (bright) } {
            @for colour in dried {
                span style={ "background:" (colour) } {}
            }
        }
    }
}
