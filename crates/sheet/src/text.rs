//! Lines of text on a picture: measured, shortened to fit, drawn. One of two embedded faces, Latin, Greek and Cyrillic.
//!
//! Sizes are heights of capital letters in pixels. Measuring and drawing walk the same glyphs, so text that was measured
//! to fit is never cut; that is why this is not `imageproc`'s text, which measures without the last pair's kerning.
//! Not here: shaping (scripts that join letters or run right to left are drawn letter by letter, left to right).

use std::sync::LazyLock;

use ab_glyph::{Font, FontRef, GlyphId, PxScale, ScaleFont, point};
use image::{Rgb, RgbImage};

/// Capital height of both faces in the font's own units, as its "H" is drawn (a test measures one).
const CAP_UNITS: f32 = 1493.0;

/// Marks omitted letters.
const ELLIPSIS: char = '…';

const REGULAR_FILE: &[u8] = include_bytes!("../fonts/DejaVuSans.ttf");
const BOLD_FILE: &[u8] = include_bytes!("../fonts/DejaVuSans-Bold.ttf");

static REGULAR: LazyLock<FontRef<'static>> = LazyLock::new(|| embedded(REGULAR_FILE));
static BOLD: LazyLock<FontRef<'static>> = LazyLock::new(|| embedded(BOLD_FILE));

fn embedded(bytes: &'static [u8]) -> FontRef<'static> {
    FontRef::try_from_slice(bytes).expect("the embedded font is whole")
}

/// Which of the two faces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// Regular.
    Regular,
    /// Bold.
    Bold,
}

impl Face {
    /// The face as a TrueType file.
    #[must_use]
    pub fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => REGULAR_FILE,
            Self::Bold => BOLD_FILE,
        }
    }

    fn font(self) -> &'static FontRef<'static> {
        match self {
            Self::Regular => &REGULAR,
            Self::Bold => &BOLD,
        }
    }
}

/// A line ready to draw.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// The text.
    pub text: String,
    /// The face.
    pub face: Face,
    /// Height of a capital letter, in pixels.
    pub cap_px: u32,
}

impl Line {
    /// The width in whole pixels, rounded up.
    pub fn width(&self) -> u32 {
        let mut right = 0.0_f32;
        self.glyphs(|font, scale, id, x| {
            let outline = id.with_scale_and_position(scale, point(x, 0.0));
            let inked = font
                .outline_glyph(outline)
                .map_or(x, |glyph| glyph.px_bounds().max.x);
            let advance = x + font.as_scaled(scale).h_advance(id);
            right = right.max(advance).max(inked);
        });
        whole(right.ceil())
    }

    /// Draws it with the left end at `x` and the capitals' feet on row `baseline`.
    pub fn draw(&self, picture: &mut RgbImage, x: u32, baseline: u32, ink: [u8; 3]) {
        let (width, height) = picture.dimensions();
        self.glyphs(|font, scale, id, offset| {
            let Some(glyph) =
                font.outline_glyph(id.with_scale_and_position(scale, point(offset, 0.0)))
            else {
                return;
            };
            let bounds = glyph.px_bounds();
            glyph.draw(|gx, gy, coverage| {
                let column = i64::from(x) + signed(bounds.min.x) + i64::from(gx);
                let row = i64::from(baseline) + signed(bounds.min.y) + i64::from(gy);
                let (Ok(column), Ok(row)) = (u32::try_from(column), u32::try_from(row)) else {
                    return;
                };
                if column < width && row < height {
                    let under = picture.get_pixel_mut(column, row);
                    *under = inked(*under, ink, coverage.clamp(0.0, 1.0));
                }
            });
        });
    }

    /// Calls `each` with every glyph and the x of its origin.
    fn glyphs(&self, mut each: impl FnMut(&FontRef<'static>, PxScale, GlyphId, f32)) {
        let font = self.face.font();
        let scale = scale_of(font, self.cap_px);
        let scaled = font.as_scaled(scale);
        let mut x = 0.0;
        let mut before: Option<GlyphId> = None;
        for letter in self.text.chars() {
            let id = font.glyph_id(letter);
            if let Some(before) = before {
                x += scaled.kern(before, id);
            }
            each(font, scale, id, x);
            x += scaled.h_advance(id);
            before = Some(id);
        }
    }
}

/// `text` on one line at most `width` pixels wide: first smaller, down to `least_cap_px`, then shortened with "…".
/// Control characters become spaces.
pub fn fitted_line(text: &str, face: Face, cap_px: u32, least_cap_px: u32, width: u32) -> Line {
    let clean: String = text
        .trim()
        .chars()
        .map(|letter| if letter.is_control() { ' ' } else { letter })
        .collect();
    let mut line = Line {
        text: clean,
        face,
        cap_px,
    };
    while line.width() > width && line.cap_px > least_cap_px {
        line.cap_px -= 1;
    }
    if line.width() > width {
        line.text = shortened(&line, width);
    }
    line
}

/// Letters by which a longer beginning may be narrower than a shorter one, because two letters moved together.
const KERNED: usize = 8;

/// The longest beginning that fits with "…" after it, empty if not even that does. Found by halving, since a name may have thousands
/// of letters.
fn shortened(line: &Line, width: u32) -> String {
    let letters: Vec<char> = line.text.chars().collect();
    let beginning = |count: usize| -> Line {
        let kept: String = letters[..count].iter().collect();
        Line {
            text: format!("{}{ELLIPSIS}", kept.trim_end()),
            ..*line
        }
    };
    let (mut fits, mut too_long) = (0, letters.len());
    while too_long - fits > 1 {
        let middle = usize::midpoint(fits, too_long);
        if beginning(middle).width() <= width {
            fits = middle;
        } else {
            too_long = middle;
        }
    }
    (0..letters.len().min(fits + KERNED))
        .rev()
        .map(beginning)
        .find(|beginning| beginning.width() <= width)
        .map_or_else(String::new, |beginning| beginning.text)
}

/// `text` on as many lines of at most `width` pixels as it takes, broken at spaces; a word that is wider than that is shortened.
pub fn wrapped_lines(text: &str, face: Face, cap_px: u32, width: u32) -> Vec<Line> {
    let line_of = |text: String| Line { text, face, cap_px };
    let mut lines: Vec<Line> = Vec::new();
    for word in text.split_whitespace() {
        let longer = lines
            .last()
            .map(|line| line_of(format!("{} {word}", line.text)))
            .filter(|line| line.width() <= width);
        match (longer, lines.last_mut()) {
            (Some(longer), Some(last)) => *last = longer,
            _ => lines.push(fitted_line(word, face, cap_px, cap_px, width)),
        }
    }
    lines
}

fn scale_of(font: &FontRef<'_>, cap_px: u32) -> PxScale {
    #[allow(clippy::cast_precision_loss, reason = "a few dozen pixels")]
    let cap = cap_px as f32;
    PxScale::from(cap * font.height_unscaled() / CAP_UNITS)
}

fn inked(under: Rgb<u8>, ink: [u8; 3], coverage: f32) -> Rgb<u8> {
    let mut mixed = under.0;
    for (code, ink) in mixed.iter_mut().zip(ink) {
        let between = f32::from(*code) + (f32::from(ink) - f32::from(*code)) * coverage;
        *code = u8::try_from(whole(between.round())).unwrap_or(u8::MAX);
    }
    Rgb(mixed)
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "pixel counts and codes, clamped to 0"
)]
fn whole(length: f32) -> u32 {
    length.max(0.0) as u32
}

#[allow(clippy::cast_possible_truncation, reason = "a pixel offset")]
fn signed(offset: f32) -> i64 {
    offset.round() as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_of_many_thousand_letters_is_cut_like_a_shorter_one() {
        let cut = |letters: usize| {
            let text: String = "Wick & Ember, ".chars().cycle().take(letters).collect();
            fitted_line(&text, Face::Bold, 20, 11, 400).text
        };
        assert_eq!(cut(20_000), cut(200));
        assert!(
            cut(200).ends_with(ELLIPSIS) && cut(200).len() > 20,
            "{}",
            cut(200)
        );
        assert_eq!(fitted_line("Wick", Face::Bold, 20, 11, 3).text, "");
    }

    fn ink_box(line: &Line) -> (u32, u32, u32, u32) {
        let mut picture = RgbImage::from_pixel(600, 60, Rgb([255; 3]));
        line.draw(&mut picture, 10, 40, [0; 3]);
        let inked: Vec<(u32, u32)> = picture
            .enumerate_pixels()
            .filter(|(_, _, pixel)| pixel.0[0] < 128)
            .map(|(x, y, _)| (x, y))
            .collect();
        let xs = inked.iter().map(|place| place.0);
        let ys = inked.iter().map(|place| place.1);
        (
            xs.clone().min().unwrap(),
            ys.clone().min().unwrap(),
            xs.max().unwrap() + 1,
            ys.max().unwrap() + 1,
        )
    }

    fn line(text: &str, face: Face, cap_px: u32) -> Line {
        Line {
            text: text.to_owned(),
            face,
            cap_px,
        }
    }

    #[test]
    fn a_capital_is_as_tall_as_asked_and_stands_on_the_baseline() {
        for face in [Face::Regular, Face::Bold] {
            for cap in [11, 18, 30] {
                let (_, top, _, bottom) = ink_box(&line("HH", face, cap));
                assert_eq!((bottom - top, bottom), (cap, 40), "{face:?} {cap}");
            }
        }
    }

    #[test]
    fn measured_width_holds_the_ink() {
        for text in [
            "AVAVA",
            "Wick & Ember",
            "Туман над гаванью",
            "Λυχνάρι",
            "fjord…",
        ] {
            let one = line(text, Face::Regular, 12);
            let (left, _, right, _) = ink_box(&one);
            assert!(right - left <= one.width(), "{text} is cut");
            assert!(
                one.width() < right - left + 8,
                "{text} is measured too wide"
            );
        }
    }

    #[test]
    fn greek_and_cyrillic_have_their_own_glyphs() {
        let missing = REGULAR.glyph_id('\u{10FFFF}');
        for letter in "ΑΩαωάЖщіЇ…·".chars() {
            assert_ne!(REGULAR.glyph_id(letter), missing, "{letter}");
            assert_ne!(BOLD.glyph_id(letter), missing, "{letter}");
        }
    }

    #[test]
    fn wrapped_lines_hold_every_word_and_none_is_too_wide() {
        let text = "stand apart by colour, but look alike to protan and deutan eyes";
        let room = line(text, Face::Regular, 12).width() / 3;
        let lines = wrapped_lines(text, Face::Regular, 12, room);
        assert!(
            lines.len() >= 3 && lines.iter().all(|one| one.width() <= room),
            "{lines:?}"
        );
        let words: Vec<&str> = lines.iter().map(|one| one.text.as_str()).collect();
        assert_eq!(words.join(" "), text);
        assert!(wrapped_lines("  ", Face::Regular, 12, room).is_empty());
    }

    #[test]
    fn a_long_name_shrinks_first_and_is_then_shortened() {
        let full = line("Foglight over the harbour", Face::Bold, 20);
        let room = full.width() * 9 / 10;
        let smaller = fitted_line(&full.text, Face::Bold, 20, 11, room);
        assert!(
            smaller.cap_px < 20 && smaller.text == full.text,
            "{smaller:?}"
        );
        let short = fitted_line(&full.text, Face::Bold, 20, 20, room);
        assert!(
            short.text.ends_with('…') && short.width() <= room,
            "{short:?}"
        );
        assert!(short.text.starts_with("Foglight over"), "{short:?}");
        assert_eq!(fitted_line("Fog", Face::Bold, 11, 11, 2).text, "");
    }
}
