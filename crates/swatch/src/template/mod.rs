//! The printable card: what is where on the paper, to scale. Two writers draw the same list: `svg.rs` and `pdf.rs`.
//!
//! In: a layout for the names, or none; the paper. Out: SVG or PDF, in mm. The geometry is `CardGeometry::printed`.

mod pdf;
mod svg;

use super::geometry::{CardGeometry, FIRST_PAIR_MM, LABEL_MM, PAIR_STEP_MM, RectMm, Strip};
use super::layout_file::LayoutFile;
use super::marks::RADII_MM;

/// A sheet of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// ISO 216 A4, 210 × 297 mm.
    A4,
    /// US Letter, 8.5 × 11 inch (ANSI/ASME Y14.1 size A).
    Letter,
}

impl Paper {
    /// Width and height in mm.
    #[must_use]
    pub fn size_mm(self) -> [f64; 2] {
        match self {
            Self::A4 => [210.0, 297.0],
            Self::Letter => [215.9, 279.4],
        }
    }
}

/// Length of the printed line for checking the printer's scale with a ruler.
pub const CHECK_LINE_MM: f64 = 100.0;

/// How dark something is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ink {
    Black,
    Grey,
    White,
}

/// What is drawn, in mm from the paper's upper left corner.
#[derive(Debug, Clone, PartialEq)]
enum Shape {
    Disc {
        centre: [f64; 2],
        radius: f64,
        ink: Ink,
    },
    Line {
        from: [f64; 2],
        to: [f64; 2],
        width: f64,
        ink: Ink,
    },
    /// Centred about its place, which is on the baseline.
    Text {
        at: [f64; 2],
        size: f64,
        text: String,
    },
}

const HAIRLINE_MM: f64 = 0.2;
const TEXT_MM: f64 = 2.8;
const NAME_MM: f64 = 2.2;
/// Letters of a name per line: a step of 18 mm at 2.2 mm type, about half as wide as high (from memory of common faces).
const NAME_LETTERS: usize = 15;
const NAME_LINES: usize = 3;
const CHECK_Y_MM: f64 = 239.0;

/// The card as SVG.
#[must_use]
pub fn card_svg(paper: Paper, layout: Option<&LayoutFile>) -> String {
    svg::svg(paper, &shapes(paper, layout))
}

/// The card as PDF. Letters beyond Latin-1 become "?": the SVG has them all.
#[must_use]
pub fn card_pdf(paper: Paper, layout: Option<&LayoutFile>) -> Vec<u8> {
    pdf::pdf(paper, &shapes(paper, layout))
}

fn shapes(paper: Paper, layout: Option<&LayoutFile>) -> Vec<Shape> {
    let card = CardGeometry::printed();
    let [width, height] = card.marks_mm;
    let mut shapes = Vec::new();
    for (index, corner) in card.outline().corners().iter().enumerate() {
        mark(&mut shapes, *corner, index == 0);
    }
    head(&mut shapes, width);
    for (index, pair) in card.pairs.iter().enumerate() {
        for strip in [Strip::Black, Strip::White] {
            outline(&mut shapes, &card.strip(pair, strip));
        }
        let black = card.strip(pair, Strip::Black);
        let note = "cover this strip with matte black card or matte black paint, edge to edge";
        text(
            &mut shapes,
            [width / 2.0, f64::midpoint(black.from[1], black.to[1])],
            TEXT_MM,
            note,
        );
        for column in 0..card.across {
            let place = index * card.across + column;
            let entry =
                layout.and_then(|layout| layout.fields.iter().find(|entry| entry.place == place));
            label(
                &mut shapes,
                &card,
                place,
                entry.map(super::FieldEntry::title).as_deref(),
            );
        }
    }
    check_line(&mut shapes, width);
    let [paper_width, paper_height] = paper.size_mm();
    let shift = [(paper_width - width) / 2.0, (paper_height - height) / 2.0];
    shapes.into_iter().map(|shape| shape.moved(shift)).collect()
}

fn mark(shapes: &mut Vec<Shape>, centre: [f64; 2], is_first: bool) {
    let inks = [Ink::Black, Ink::White, Ink::Black, Ink::White];
    let rings = if is_first { 4 } else { 3 };
    for (radius, ink) in RADII_MM.into_iter().zip(inks).take(rings) {
        shapes.push(Shape::Disc {
            centre,
            radius,
            ink,
        });
    }
}

fn head(shapes: &mut Vec<Shape>, width: f64) {
    let lines = [
        "Drawdown card. Print at 100 % on plain white matte paper; the white strip is the bare paper.",
        "Brush each paint evenly in its place across black and white. Keep the card bare between the places. Let it dry.",
        "Printer black is not black enough: first stick on matte black card, or brush on two coats of matte black paint.",
        "Photograph from above in even light, with all four marks in the picture, without flash or glare.",
    ];
    for (y, line) in [0.5, 4.5, 8.5, 12.5].into_iter().zip(lines) {
        text(shapes, [width / 2.0, y], TEXT_MM, line);
    }
}

fn outline(shapes: &mut Vec<Shape>, rect: &RectMm) {
    let corners = rect.corners();
    for (from, to) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        shapes.push(Shape::Line {
            from: *from,
            to: *to,
            width: HAIRLINE_MM,
            ink: Ink::Grey,
        });
    }
}

/// A place's number and name, and ticks where it begins and ends.
fn label(shapes: &mut Vec<Shape>, card: &CardGeometry, place: usize, title: Option<&str>) {
    let [left, top] = card.field(place, Strip::Black).from;
    let [right, bottom] = card.field(place, Strip::White).to;
    for x in [left, right] {
        for (from, to) in [(top - 1.6, top - 0.4), (bottom + 0.2, bottom + 1.2)] {
            shapes.push(Shape::Line {
                from: [x, from],
                to: [x, to],
                width: HAIRLINE_MM,
                ink: Ink::Black,
            });
        }
    }
    let row_top = FIRST_PAIR_MM + as_mm(place / card.across) * PAIR_STEP_MM;
    let middle = f64::midpoint(left, right);
    let number = (place + 1).to_string();
    let lines = title.map(wrapped).unwrap_or_default();
    for (line, words) in std::iter::once(number).chain(lines).enumerate() {
        let y = row_top + as_mm(line) * LABEL_MM / 4.0 + 2.0;
        text(shapes, [middle, y], NAME_MM, &words);
    }
}

/// A name in a few short lines; what does not fit ends with "…".
fn wrapped(title: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in title.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= NAME_LETTERS => {
                *line = format!("{line} {word}");
            }
            _ => lines.push(word.to_owned()),
        }
    }
    let cut = lines.len() > NAME_LINES;
    lines.truncate(NAME_LINES);
    let last = lines.len().saturating_sub(1);
    for (index, line) in lines.iter_mut().enumerate() {
        if line.chars().count() > NAME_LETTERS || (cut && index == last) {
            *line = line.chars().take(NAME_LETTERS - 1).chain(['…']).collect();
        }
    }
    lines
}

fn check_line(shapes: &mut Vec<Shape>, width: f64) {
    let left = (width - CHECK_LINE_MM) / 2.0;
    let tick = |x: f64, height: f64| Shape::Line {
        from: [x, CHECK_Y_MM],
        to: [x, CHECK_Y_MM - height],
        width: HAIRLINE_MM,
        ink: Ink::Black,
    };
    shapes.push(Shape::Line {
        from: [left, CHECK_Y_MM],
        to: [left + CHECK_LINE_MM, CHECK_Y_MM],
        width: HAIRLINE_MM,
        ink: Ink::Black,
    });
    for step in 0..=10_u8 {
        let height = if step % 5 == 0 { 3.0 } else { 1.5 };
        shapes.push(tick(left + 10.0 * f64::from(step), height));
    }
    let note = "100 mm: if your ruler disagrees, print again without \"fit to page\"";
    text(shapes, [width / 2.0, CHECK_Y_MM + 4.0], TEXT_MM, note);
}

fn text(shapes: &mut Vec<Shape>, at: [f64; 2], size: f64, text: &str) {
    shapes.push(Shape::Text {
        at,
        size,
        text: text.to_owned(),
    });
}

#[allow(clippy::cast_precision_loss, reason = "a few rows of a card")]
fn as_mm(count: usize) -> f64 {
    count as f64
}

impl Shape {
    fn moved(self, shift: [f64; 2]) -> Self {
        let moved = |at: [f64; 2]| [at[0] + shift[0], at[1] + shift[1]];
        match self {
            Self::Disc {
                centre,
                radius,
                ink,
            } => Self::Disc {
                centre: moved(centre),
                radius,
                ink,
            },
            Self::Line {
                from,
                to,
                width,
                ink,
            } => Self::Line {
                from: moved(from),
                to: moved(to),
                width,
                ink,
            },
            Self::Text { at, size, text } => Self::Text {
                at: moved(at),
                size,
                text,
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_printed_lies_on_what_is_measured_but_the_note_under_the_black_card() {
        let card = CardGeometry::printed();
        let mut bare: Vec<RectMm> = card.bare_white.clone();
        for pair in &card.pairs {
            bare.extend(card.bare(pair, Strip::White));
        }
        bare.extend((0..card.places()).map(|place| card.measured(place, Strip::White)));
        let [width, height] = card.marks_mm;
        let [paper_width, paper_height] = Paper::A4.size_mm();
        let back = [(width - paper_width) / 2.0, (height - paper_height) / 2.0];
        let mut looked_at = 0;
        for shape in shapes(Paper::A4, None) {
            if let Shape::Line { from, to, .. } = shape.moved(back) {
                looked_at += 1;
                let touches = |rect: &RectMm| {
                    (0..2).all(|i| {
                        from[i].min(to[i]) <= rect.to[i] && from[i].max(to[i]) >= rect.from[i]
                    })
                };
                assert!(!bare.iter().any(touches), "{from:?} {to:?}");
            }
        }
        assert!(looked_at > 100, "{looked_at}");
    }

    #[test]
    fn long_names_are_wrapped_and_cut() {
        assert_eq!(
            wrapped("Oil Amber + Gull White 1:9"),
            ["Oil Amber +", "Gull White 1:9"]
        );
        let cut = wrapped("Old Rope of the Outermost Mooring Posts + Gull White 1:9");
        assert!(cut.len() == 3 && cut[2].ends_with('…'), "{cut:?}");
    }
}
