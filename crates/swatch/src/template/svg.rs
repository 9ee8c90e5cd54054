//! The card as SVG: the view box counts mm, and width and height say so, so that it prints to scale.

use svg::Document;
use svg::node::element::{Circle, Line, Rectangle, Text};

use super::{Ink, Paper, Shape};

pub(super) fn svg(paper: Paper, shapes: &[Shape]) -> String {
    let [width, height] = paper.size_mm();
    let sheet = Rectangle::new()
        .set("width", width)
        .set("height", height)
        .set("fill", colour(Ink::White));
    let mut document = Document::new()
        .set("width", format!("{width}mm"))
        .set("height", format!("{height}mm"))
        .set("viewBox", (0, 0, width, height))
        .add(sheet);
    for shape in shapes {
        document = match shape {
            Shape::Disc {
                centre,
                radius,
                ink,
            } => document.add(
                Circle::new()
                    .set("cx", centre[0])
                    .set("cy", centre[1])
                    .set("r", *radius)
                    .set("fill", colour(*ink)),
            ),
            Shape::Line {
                from,
                to,
                width,
                ink,
            } => document.add(
                Line::new()
                    .set("x1", from[0])
                    .set("y1", from[1])
                    .set("x2", to[0])
                    .set("y2", to[1])
                    .set("stroke", colour(*ink))
                    .set("stroke-width", *width),
            ),
            Shape::Text { at, size, text } => document.add(
                Text::new(in_xml(text))
                    .set("x", at[0])
                    .set("y", at[1])
                    .set("font-family", "Helvetica, Arial, sans-serif")
                    .set("font-size", *size)
                    .set("text-anchor", "middle"),
            ),
        };
    }
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{document}\n")
}

/// The text with U+FFFD in place of characters that no XML file may hold (XML 1.0, production 2, from memory).
fn in_xml(text: &str) -> String {
    let allowed = |c: &char| !matches!(c, '\0'..='\x08' | '\x0b' | '\x0c' | '\x0e'..='\x1f' | '\u{fffe}' | '\u{ffff}');
    text.chars()
        .map(|c| {
            Some(c)
                .filter(allowed)
                .unwrap_or(char::REPLACEMENT_CHARACTER)
        })
        .collect()
}

fn colour(ink: Ink) -> &'static str {
    match ink {
        Ink::Black => "#000000",
        Ink::Grey => "#bbbbbb",
        Ink::White => "#ffffff",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_with_control_characters_leaves_a_file_that_xml_readers_take() {
        let name = "Oil\u{1b}[2J\0\u{7}\u{fffe} <Amber>\tä漆";
        let text = Shape::Text {
            at: [1.0, 2.0],
            size: 2.0,
            text: name.to_owned(),
        };
        let read = |svg: &str| {
            roxmltree::Document::parse(svg)
                .map(|document| {
                    let nodes = document.descendants().filter(|node| node.is_text());
                    let texts = nodes.filter_map(|node| node.text());
                    texts.collect::<String>().trim().to_owned()
                })
                .map_err(|error| error.to_string())
        };
        let whole = svg(Paper::A4, &[text]);
        let kept = "Oil\u{fffd}[2J\u{fffd}\u{fffd}\u{fffd} <Amber>\tä漆";
        assert_eq!(read(&whole), Ok(kept.to_owned()));
        // Must fail: the same file with the name as it was.
        read(&whole.replacen('\u{fffd}', "\u{1b}", 1)).unwrap_err();
    }
}
