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
                Text::new(text.as_str())
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

fn colour(ink: Ink) -> &'static str {
    match ink {
        Ink::Black => "#000000",
        Ink::Grey => "#bbbbbb",
        Ink::White => "#ffffff",
    }
}
