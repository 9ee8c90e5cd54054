//! The card as PDF: one page of exactly the paper's size, Helvetica (every reader has it), nothing embedded.

use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, Str};

use super::{Ink, Paper, Shape};

/// Points (1/72 inch) per mm.
const POINTS: f64 = 72.0 / 25.4;
/// How far along the tangent the control points of a Bézier quarter circle are (4/3 · (√2 − 1)).
const QUARTER: f64 = 0.552_284_749_830_793_4;
/// Mean width of Helvetica's letters as a share of the type size: from memory, good enough to centre a line.
const LETTER_WIDTH: f64 = 0.44;

pub(super) fn pdf(paper: Paper, shapes: &[Shape]) -> Vec<u8> {
    let [width, height] = paper.size_mm();
    let [catalog, pages, page, font, content] = [1, 2, 3, 4, 5].map(Ref::new);
    let face = Name(b"F1");
    let mut pdf = Pdf::new();
    pdf.catalog(catalog).pages(pages);
    pdf.pages(pages).kids([page]).count(1);
    let mut sheet = pdf.page(page);
    sheet
        .media_box(Rect::new(0.0, 0.0, points(width), points(height)))
        .parent(pages)
        .contents(content);
    sheet.resources().fonts().pair(face, font);
    sheet.finish();
    pdf.type1_font(font)
        .base_font(Name(b"Helvetica"))
        .encoding_predefined(Name(b"WinAnsiEncoding"));

    let mut drawn = Content::new();
    for shape in shapes {
        draw(&mut drawn, shape, height, face);
    }
    pdf.stream(content, &drawn.finish());
    pdf.finish()
}

#[allow(clippy::cast_possible_truncation, reason = "PDF counts in f32")]
fn points(mm: f64) -> f32 {
    (mm * POINTS) as f32
}

fn grey(ink: Ink) -> f32 {
    match ink {
        Ink::Black => 0.0,
        Ink::Grey => 0.73,
        Ink::White => 1.0,
    }
}

/// PDF counts y from the paper's lower edge.
fn draw(content: &mut Content, shape: &Shape, height: f64, face: Name<'_>) {
    let at = |[x, y]: [f64; 2]| (points(x), points(height - y));
    match shape {
        Shape::Disc {
            centre: [x, y],
            radius,
            ink,
        } => {
            let (r, k) = (*radius, radius * QUARTER);
            let (x, y) = (*x, *y);
            let (start_x, start_y) = at([x + r, y]);
            content.set_fill_gray(grey(*ink));
            content.move_to(start_x, start_y);
            for [a, b, c] in [
                [[x + r, y + k], [x + k, y + r], [x, y + r]],
                [[x - k, y + r], [x - r, y + k], [x - r, y]],
                [[x - r, y - k], [x - k, y - r], [x, y - r]],
                [[x + k, y - r], [x + r, y - k], [x + r, y]],
            ] {
                let ((ax, ay), (bx, by), (cx, cy)) = (at(a), at(b), at(c));
                content.cubic_to(ax, ay, bx, by, cx, cy);
            }
            content.fill_nonzero();
        }
        Shape::Line {
            from,
            to,
            width,
            ink,
        } => {
            let ((from_x, from_y), (to_x, to_y)) = (at(*from), at(*to));
            content.set_stroke_gray(grey(*ink));
            content.set_line_width(points(*width));
            content.move_to(from_x, from_y);
            content.line_to(to_x, to_y);
            content.stroke();
        }
        Shape::Text {
            at: [x, y],
            size,
            text,
        } => {
            let letters = latin(text);
            #[allow(clippy::cast_precision_loss, reason = "a line of text")]
            let width = letters.len() as f64 * LETTER_WIDTH * size;
            let (left, base) = at([x - width / 2.0, *y]);
            content.set_fill_gray(0.0);
            content.begin_text();
            content.set_font(face, points(*size));
            content.next_line(left, base);
            content.show(Str(&letters));
            content.end_text();
        }
    }
}

/// A text in the encoding of the font; missing characters become "?".
fn latin(text: &str) -> Vec<u8> {
    text.chars()
        .map(|letter| match letter {
            '…' => 0x85,
            letter => u8::try_from(u32::from(letter))
                .ok()
                .filter(|code| matches!(code, 0x20..=0x7e | 0xa0..=0xff))
                .unwrap_or(b'?'),
        })
        .collect()
}
