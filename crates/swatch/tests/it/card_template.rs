//! The printed card read again: paper and check line in mm, marks where the reader expects them, and read as a photo.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    non_upper_case_globals,
    reason = "everything here is a test: it may fail loudly and prints its figures"
)]

use svg::node::element::tag::{Circle, Line, SVG};
use svg::parser::Event;
use velatura_document::SourceText;
use velatura_photo::{DecodeLimits, decode_photo};
use velatura_swatch::{
    CHECK_LINE_MM, CardGeometry, LayoutFile, Paper, card_pdf, card_svg, read_card, read_layout_file,
};

const PAPERS: [(Paper, [f64; 2]); 2] =
    [(Paper::A4, [210.0, 297.0]), (Paper::Letter, [215.9, 279.4])];

fn layout(text: &str) -> LayoutFile {
    let source = SourceText::new("layout.toml", text);
    read_layout_file(&source).unwrap().value
}

fn names() -> LayoutFile {
    layout(
        "format = \"velatura-layout/1\"\n\n[[field]]\nname = \"Oil <Amber> & Reed\"\n\n[[field]]\nname = \"Möwe\"\n",
    )
}

/// A disc of the card: centre, radius, darkness.
struct Disc {
    centre: [f64; 2],
    radius: f64,
    dark: bool,
}

struct Read {
    size: [String; 2],
    view_box: String,
    discs: Vec<Disc>,
    longest_line: f64,
    texts: String,
}

fn read_svg(text: &str) -> Read {
    let mut read = Read {
        size: Default::default(),
        view_box: String::new(),
        discs: Vec::new(),
        longest_line: 0.0,
        texts: String::new(),
    };
    for event in svg::read(text).unwrap() {
        match event {
            Event::Tag(SVG, _, attributes) if attributes.contains_key("width") => {
                read.size = ["width", "height"].map(|key| attributes[key].to_string());
                read.view_box = attributes["viewBox"].to_string();
            }
            Event::Tag(Circle, _, attributes) => {
                let number = |key: &str| attributes[key].parse::<f64>().unwrap();
                read.discs.push(Disc {
                    centre: [number("cx"), number("cy")],
                    radius: number("r"),
                    dark: &*attributes["fill"] == "#000000",
                });
            }
            Event::Tag(Line, _, attributes) => {
                let number = |key: &str| attributes[key].parse::<f64>().unwrap();
                let level = (number("y1") - number("y2")).abs() < 1e-9;
                // Outlines of strips are grey; the check line is black.
                if level && &*attributes["stroke"] == "#000000" {
                    read.longest_line = read.longest_line.max(number("x2") - number("x1"));
                }
            }
            Event::Text(words) => read.texts += &format!("{words}\n"),
            _ => {}
        }
    }
    read
}

#[test]
fn the_svg_is_to_scale_on_both_papers_and_names_the_places() {
    for (paper, [width, height]) in PAPERS {
        let read = read_svg(&card_svg(paper, Some(&names())));
        assert_eq!(read.size, [format!("{width}mm"), format!("{height}mm")]);
        assert_eq!(
            read.view_box,
            format!("0 0 {width} {height}"),
            "one unit is one mm"
        );
        assert!(
            (read.longest_line - CHECK_LINE_MM).abs() < 1e-9,
            "{}",
            read.longest_line
        );
        let outer: Vec<&Disc> = read.discs.iter().filter(|disc| disc.radius > 5.0).collect();
        assert_eq!(outer.len(), 4);
        let marks = CardGeometry::printed().marks_mm;
        let [a, b, c] = [0, 1, 2].map(|index: usize| outer[index].centre);
        assert!((b[0] - a[0] - marks[0]).abs() < 1e-9 && (c[1] - b[1] - marks[1]).abs() < 1e-9);
        // Inside the printable area: at least 5 mm from every edge.
        for disc in outer {
            let edge = (0..2)
                .map(|i| disc.centre[i].min([width, height][i] - disc.centre[i]) - disc.radius)
                .fold(f64::INFINITY, f64::min);
            assert!(edge >= 5.0, "{edge}");
        }
        for words in [
            "Oil &lt;Amber&gt;",
            "Möwe",
            "24",
            "printer",
            "black enough",
            "100 mm",
        ] {
            let there = read.texts.to_lowercase().contains(&words.to_lowercase());
            assert!(there, "{words} is not in\n{}", read.texts);
        }
    }
}

#[test]
fn the_pdf_has_the_papers_size_and_the_same_check_line() {
    for (paper, size) in PAPERS {
        let bytes = card_pdf(paper, Some(&names()));
        assert!(bytes.starts_with(b"%PDF-") && bytes.ends_with(b"%%EOF"));
        let text: String = bytes.iter().map(|byte| char::from(*byte)).collect();
        let numbers = |from: &str, to: &str| -> Vec<f64> {
            let start = text.find(from).unwrap() + from.len();
            let end = start + text[start..].find(to).unwrap();
            text[start..end]
                .split_whitespace()
                .map(|one| one.parse().unwrap())
                .collect()
        };
        let to_mm = 25.4 / 72.0;
        let media = numbers("/MediaBox [", "]");
        assert!(
            (media[2] * to_mm - size[0]).abs() < 0.01 && (media[3] * to_mm - size[1]).abs() < 0.01,
            "{media:?}"
        );
        // Lines are drawn one by one: "x y m", "x y l". The check line is level and the only one of its length.
        let operands: Vec<&str> = text.split_whitespace().collect();
        let number = |at: usize| operands[at].parse::<f64>().unwrap_or(f64::NAN);
        let lengths: Vec<f64> = (5..operands.len())
            .filter(|at| operands[*at] == "l" && operands[at - 3] == "m")
            .filter(|at| (number(at - 1) - number(at - 4)).abs() < 1e-3)
            .map(|at| (number(at - 2) - number(at - 5)).abs() * to_mm)
            .collect();
        assert!(lengths.len() > 6, "{lengths:?}");
        let there = lengths
            .iter()
            .any(|length| (length - CHECK_LINE_MM).abs() < 0.01);
        assert!(there, "{lengths:?}");
        // Written as hexadecimal digits: M, ö, w, e.
        assert!(text.contains("<4DF67765>"), "Latin-1 letters stay");
    }
}

#[test]
fn the_printed_marks_are_the_ones_that_are_looked_for() {
    // The SVG's discs drawn at 4 pixels per mm, strips painted black and left white as its text asks.
    let scale = 4.0;
    for (paper, size) in PAPERS {
        let discs = read_svg(&card_svg(paper, None)).discs;
        let card = CardGeometry::printed();
        let shift = discs[0].centre;
        let [width, height] = size.map(|mm| (mm * scale) as u32);
        let mut codes = Vec::new();
        for y in 0..height {
            for x in 0..width {
                let mm = [f64::from(x) / scale, f64::from(y) / scale];
                let on_card = [mm[0] - shift[0], mm[1] - shift[1]];
                let black = card.pairs.iter().any(|pair| {
                    (pair.black_mm[0]..pair.black_mm[1]).contains(&on_card[1])
                        && (10.0..160.0).contains(&on_card[0])
                });
                let disc = discs.iter().rev().find(|disc| {
                    (mm[0] - disc.centre[0]).hypot(mm[1] - disc.centre[1]) < disc.radius
                });
                codes.push(match disc {
                    Some(disc) => [if disc.dark { 40 } else { 230 }; 3],
                    None if black => [28; 3],
                    None => [230; 3],
                });
            }
        }
        let mut png = std::io::Cursor::new(Vec::new());
        image::RgbImage::from_raw(width, height, codes.concat())
            .unwrap()
            .write_to(&mut png, image::ImageFormat::Png)
            .unwrap();
        let limits = DecodeLimits::default();
        let photo = decode_photo("card.png", &png.into_inner(), &limits)
            .unwrap()
            .value;
        let reading = read_card("card.png", &photo, &names()).unwrap().value;
        for (found, disc) in reading
            .corners_px
            .iter()
            .zip(discs.iter().filter(|disc| disc.radius > 5.0))
        {
            let off = (found[0] - disc.centre[0] * scale).hypot(found[1] - disc.centre[1] * scale);
            assert!(off < 0.6, "{paper:?}: a mark is off by {off} pixels");
        }
    }
}
