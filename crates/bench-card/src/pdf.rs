//! The card as PDF: one page each, A4 or Letter, nothing fetched, its face embedded.
//!
//! The card is laid out in a type size; if it is too long for the page, in the next smaller one.

use image::codecs::jpeg::JpegEncoder;
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Rect, Ref, Str};
use velatura_sheet::text::Face;

use crate::card::BenchCard;
use crate::pdf_font::{Fonts, PdfFont};
use crate::pdf_layout::{Drawn, HEIGHT_MM, laid_out};

/// Points (1/72 inch) per mm.
const POINTS: f64 = 72.0 / 25.4;
/// A4. A Letter page is wider and 18 mm lower; the card leaves that much free at the bottom.
const PAPER_MM: [f64; 2] = [210.0, 297.0];
const MARGIN_MM: f64 = 10.0;
/// Type sizes to try, in mm; the last one (5 points) is the smallest that a person can read.
const SIZES_MM: [f64; 6] = [3.2, 2.9, 2.6, 2.3, 2.0, 1.77];

const REGULAR: Name<'static> = Name(b"R");
const BOLD: Name<'static> = Name(b"B");
const PICTURE: Name<'static> = Name(b"P");

/// Objects of the document before those of its pages: catalog, pages, two faces of five objects each.
const BEFORE_PAGES: i32 = 2 + 2 * 5;

/// One page for each card.
///
/// # Panics
/// Never: pictures and faces are our own.
#[must_use]
pub fn pdf_pages(cards: &[BenchCard]) -> Vec<u8> {
    let [catalog, pages] = [1, 2].map(Ref::new);
    let (regular_at, bold_at) = (3, 8);
    let mut fonts = Fonts {
        regular: PdfFont::new(Face::Regular),
        bold: PdfFont::new(Face::Bold),
    };
    let mut pdf = Pdf::new();
    pdf.catalog(catalog).pages(pages);
    let page_refs: Vec<[Ref; 3]> = (0..)
        .map(|page: i32| BEFORE_PAGES + 1 + 3 * page)
        .map(|first| [first, first + 1, first + 2].map(Ref::new))
        .take(cards.len())
        .collect();
    pdf.pages(pages)
        .kids(page_refs.iter().map(|[page, ..]| *page))
        .count(i32::try_from(cards.len()).unwrap_or(i32::MAX));
    for (card, [page, content, picture]) in cards.iter().zip(&page_refs) {
        let [width, height] = PAPER_MM.map(points);
        let mut sheet = pdf.page(*page);
        sheet
            .media_box(Rect::new(0.0, 0.0, width, height))
            .parent(pages)
            .contents(*content);
        let mut resources = sheet.resources();
        resources.x_objects().pair(PICTURE, *picture);
        resources
            .fonts()
            .pair(REGULAR, Ref::new(regular_at))
            .pair(BOLD, Ref::new(bold_at));
        resources.finish();
        sheet.finish();
        pdf.stream(*content, &drawn(card, &mut fonts));
        write_picture(&mut pdf, *picture, card);
    }
    fonts.regular.write(&mut pdf, regular_at);
    fonts.bold.write(&mut pdf, bold_at);
    pdf.finish()
}

fn write_picture(pdf: &mut Pdf, at: Ref, card: &BenchCard) {
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, 90)
        .encode_image(&card.thumbnail)
        .expect("memory takes all, and the picture is small");
    let side = |side: u32| i32::try_from(side).unwrap_or(i32::MAX);
    let mut picture = pdf.image_xobject(at, &jpeg);
    picture.filter(Filter::DctDecode);
    picture
        .width(side(card.thumbnail.width()))
        .height(side(card.thumbnail.height()))
        .bits_per_component(8);
    picture.color_space().device_rgb();
    picture.finish();
}

/// The page's content in the largest type that fits.
fn drawn(card: &BenchCard, fonts: &mut Fonts) -> Vec<u8> {
    let mut layouts = SIZES_MM.map(|size| laid_out(card, size, fonts)).into_iter();
    let fitting = layouts
        .by_ref()
        .find(|layout| layout.height_mm <= HEIGHT_MM);
    let layout = fitting.unwrap_or_else(|| laid_out(card, SIZES_MM[SIZES_MM.len() - 1], fonts));
    let mut content = Content::new();
    for piece in &layout.drawn {
        draw(&mut content, piece, fonts);
    }
    content.finish().to_vec()
}

#[allow(clippy::cast_possible_truncation, reason = "PDF counts in f32")]
fn points(mm: f64) -> f32 {
    (mm * POINTS) as f32
}

/// PDF counts y from the paper's lower edge; a layout counts it downwards from the upper margin.
fn draw(content: &mut Content, piece: &Drawn, fonts: &mut Fonts) {
    let at = |x: f64, y: f64| (points(MARGIN_MM + x), points(PAPER_MM[1] - MARGIN_MM - y));
    match piece {
        Drawn::Text {
            x,
            baseline,
            size,
            face,
            text,
        } => {
            let (left, base) = at(*x, *baseline);
            let (name, font) = match face {
                Face::Regular => (REGULAR, &mut fonts.regular),
                Face::Bold => (BOLD, &mut fonts.bold),
            };
            let glyphs = font.encoded(text);
            content.set_fill_gray(0.06);
            content.begin_text();
            content.set_font(name, points(*size));
            content.next_line(left, base);
            content.show(Str(&glyphs));
            content.end_text();
        }
        Drawn::Chip { x, y, size, colour } => {
            let (left, lower) = at(*x, y + size[1]);
            if let Some(colour) = colour {
                let [red, green, blue] = colour.0.map(|code| f32::from(code) / 255.0);
                content.set_fill_rgb(red, green, blue);
                content.rect(left, lower, points(size[0]), points(size[1]));
                content.fill_nonzero();
            }
            content.set_stroke_gray(0.3);
            content.set_line_width(0.4);
            content.rect(left, lower, points(size[0]), points(size[1]));
            content.stroke();
        }
        Drawn::Picture { x, y, size } => {
            let (left, lower) = at(*x, y + size[1]);
            content.save_state();
            content.transform([points(size[0]), 0.0, 0.0, points(size[1]), left, lower]);
            content.x_object(PICTURE);
            content.restore_state();
        }
    }
}
