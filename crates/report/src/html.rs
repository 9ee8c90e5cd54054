//! Pieces of a self-contained HTML page: nothing is fetched, and no script runs but one that is part of the page.
//!
//! In: plain text and markup made here or by `maud`, which escapes every text. Out: a page.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use sha2::{Digest, Sha256};
use velatura_pipeline::optics::colour::Encoded;

/// Dark text on white, system faces; chips keep their colour in print. Contrast of all text is above 7 : 1.
const STYLE: &str = "
body { font: 1rem/1.5 system-ui, sans-serif; color: #181818; background: #fff; max-width: 80rem; margin: 0 auto;
  padding: 1rem 1.5rem 3rem; }
h1, h2, h3 { line-height: 1.25; }
h2 { margin-top: 2.5rem; border-top: 1px solid #bbb; padding-top: 1rem; }
.lead { font-size: 1.25rem; }
.quiet { color: #444; }
table { border-collapse: collapse; margin: 1rem 0; }
caption { text-align: left; font-weight: 600; padding: 0.25rem 0; }
th, td { text-align: left; vertical-align: top; padding: 0.2rem 0.9rem 0.2rem 0; border-bottom: 1px solid #ddd; }
td.number, th.number { text-align: right; font-variant-numeric: tabular-nums; }
figure { margin: 0; }
img { max-width: 100%; height: auto; }
.row { display: flex; flex-wrap: wrap; gap: 1rem 1.5rem; align-items: flex-end; }
.row > * { max-width: 100%; }
.scheme { display: flex; flex-direction: column; gap: 0.3rem; width: 11rem; color: #181818; }
.strip { overflow-x: auto; }
.strip img { max-width: none; }
.ground { background: #a0a0a0; padding: 0.75rem; }
.chip { display: inline-block; width: 1.6em; height: 1.1em; border: 1px solid #505050; vertical-align: -0.15em;
  margin-right: 0.4em; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
code { font-size: 0.95em; }
details { margin: 1rem 0; }
summary { font-weight: 600; }
.unseen { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
@media (max-width: 40rem) {
  body { padding: 0.75rem 0.75rem 2rem; }
  table, caption, thead, tbody, tr, th, td { display: block; }
  thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  tr { border-bottom: 1px solid #bbb; padding: 0.4rem 0; }
  th, td, td.number, th.number { text-align: left; border: 0; padding: 0.1rem 0; overflow-wrap: anywhere; }
  td::before { content: attr(data-column) ': '; color: #444; }
}
@media print {
  body { max-width: none; padding: 0; font-size: 9pt; line-height: 1.3; }
  h2 { margin-top: 0; }
  table, p, ul { margin: 0.4rem 0; }
  tr { break-inside: avoid; }
  details { display: none; }
}
";

/// A whole page; `style` is added to the style that all pages have. Characters that are not allowed in a page become U+FFFD.
pub fn document(title: &str, style: &str, body: &Markup) -> String {
    page(title, style, body, &html! {})
}

/// A page with a script at its end. No other script may run in it, and nothing may be fetched: its pictures are in it.
pub fn document_with_script(title: &str, style: &str, script: &str, body: &Markup) -> String {
    let hash = STANDARD.encode(Sha256::digest(script));
    let policy = format!(
        "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'sha256-{hash}'; base-uri 'none'; form-action 'none'"
    );
    let body = html! {
        (body)
        script { (PreEscaped(script)) }
    };
    let policy = html! { meta http-equiv="Content-Security-Policy" content=(policy); };
    page(title, style, &body, &policy)
}

fn page(title: &str, style: &str, body: &Markup, head: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                (head)
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) }
                style { (PreEscaped(STYLE)) (PreEscaped(style)) }
            }
            body { (body) }
        }
    };
    page.into_string().replace(
        |letter: char| {
            letter.is_control() && !matches!(letter, '\n' | '\t')
                || matches!(letter, '\u{FFFE}' | '\u{FFFF}')
        },
        "\u{FFFD}",
    )
}

/// A small rectangle of a colour with its code next to it.
pub fn chip(colour: Encoded) -> Markup {
    html! {
        span.chip style={ "background:" (colour) } {}
        code { (colour) }
    }
}

/// How the cells of a column are aligned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    /// Words, from the left.
    Text(&'static str),
    /// Numbers, to the right.
    Number(&'static str),
}

impl Column {
    fn name(self) -> &'static str {
        match self {
            Self::Text(name) | Self::Number(name) => name,
        }
    }

    fn class(self) -> Option<&'static str> {
        match self {
            Self::Text(_) => None,
            Self::Number(_) => Some("number"),
        }
    }
}

/// A table with a caption; the first cell of each row is the row's head.
pub fn table(caption: &str, columns: &[Column], rows: &[Vec<Markup>]) -> Markup {
    html! {
        // The roles keep their meaning where a narrow screen shows rows as blocks.
        table role="table" {
            caption { (caption) }
            thead role="rowgroup" {
                tr role="row" {
                    @for column in columns {
                        th scope="col" role="columnheader" class=[column.class()] { (column.name()) }
                    }
                }
            }
            tbody role="rowgroup" {
                @for row in rows {
                    tr role="row" {
                        @for (index, (cell, column)) in row.iter().zip(columns).enumerate() {
                            @if index == 0 {
                                th scope="row" role="rowheader" { (cell) }
                            } @else {
                                td role="cell" data-column=(column.name()) class=[column.class()] { (cell) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A list of points.
pub fn list<Point: maud::Render>(points: impl IntoIterator<Item = Point>) -> Markup {
    html! {
        ul {
            @for point in points {
                li { (point) }
            }
        }
    }
}

/// Pieces with a separator between each two.
pub fn joined(pieces: impl IntoIterator<Item = Markup>, separator: &Markup) -> Markup {
    html! {
        @for (index, piece) in pieces.into_iter().enumerate() {
            @if index > 0 { (separator) }
            (piece)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use velatura_testkit::pages::xml;

    #[test]
    fn a_name_stays_text_whatever_it_holds() {
        let name = "Wick & Ember <x> \"y\" 'z' \u{1}";
        let page = document(name, "", &html! { p title=(name) { (name) } });
        let strict = xml(&page);
        let read = roxmltree::Document::parse(&strict).unwrap();
        let element = read
            .descendants()
            .find(|node| node.has_tag_name("p"))
            .unwrap();
        let seen = name.replace('\u{1}', "\u{FFFD}");
        assert_eq!(element.text(), Some(&*seen));
        assert_eq!(element.attribute("title"), Some(&*seen));
        // Must fail: the same name as it is.
        assert!(roxmltree::Document::parse(&format!("<p>{name}</p>")).is_err());
    }

    #[test]
    fn a_table_names_its_rows_and_columns() {
        let columns = [Column::Text("region"), Column::Number("share")];
        let row = vec![html! { "coat" }, html! { "41 %" }];
        let html = table("A < B", &columns, &[row]).into_string();
        let read = roxmltree::Document::parse(&html).unwrap();
        let heads = read.descendants().filter(|node| node.has_tag_name("th"));
        let scopes: Vec<_> = heads.map(|node| node.attribute("scope").unwrap()).collect();
        assert_eq!(scopes, ["col", "col", "row"]);
    }
}
