//! Where the pieces of a card are on its page. Lengths in mm from the upper left corner inside the margins.

use velatura_pipeline::optics::colour::Encoded;
use velatura_sheet::text::Face;

use crate::card::{BenchCard, CoatStep};
use crate::pdf_font::Fonts;
use crate::text::{batch, mix_line, needs_line, part_line, spill_line, time_line, where_line};

/// What A4 and Letter both have inside margins of 10 mm.
pub(crate) const WIDTH_MM: f64 = 190.0;
/// See [`WIDTH_MM`].
pub(crate) const HEIGHT_MM: f64 = 259.0;

/// Line height as a share of the type size.
const LEADING: f64 = 1.3;
/// Largest width and height of the picture, in type sizes, so that it shrinks with the text.
const PICTURE: [f64; 2] = [20.0, 26.0];

/// A piece of the page.
pub(crate) enum Drawn {
    Text {
        x: f64,
        baseline: f64,
        size: f64,
        face: Face,
        text: String,
    },
    /// A rectangle with an edge; `None` is empty, to tick.
    Chip {
        x: f64,
        y: f64,
        size: [f64; 2],
        colour: Option<Encoded>,
    },
    Picture {
        x: f64,
        y: f64,
        size: [f64; 2],
    },
}

/// A page in one type size.
pub(crate) struct Layout {
    pub(crate) drawn: Vec<Drawn>,
    pub(crate) height_mm: f64,
}

/// A card in type of `size` mm.
pub(crate) fn laid_out(card: &BenchCard, size: f64, fonts: &Fonts) -> Layout {
    let mut flow = Flow {
        fonts,
        size,
        left: 0.0,
        y: 0.0,
        drawn: Vec::new(),
    };
    flow.top(card);
    flow.heading("Coats");
    flow.paragraph(&format!(
        "{} Chips: dried over the part's dark, middle and bright undercoat.",
        card.order
    ));
    for (step, coat) in (1..).zip(&card.coats) {
        flow.coat(step, coat);
    }
    flow.heading("While you paint");
    flow.paragraph(&card.drying);
    for spill in &card.spills {
        flow.paragraph(&spill_line(spill));
    }
    for line in [&card.fix, &card.varnish]
        .into_iter()
        .chain(&card.own_steps)
    {
        flow.paragraph(line);
    }
    flow.heading("You need");
    flow.paragraph(&needs_line(card));
    for line in &card.basis {
        flow.paragraph(line);
    }
    flow.heading("With care");
    for line in &card.cautions {
        flow.paragraph(line);
    }
    Layout {
        height_mm: flow.y,
        drawn: flow.drawn,
    }
}

struct Flow<'a> {
    fonts: &'a Fonts,
    size: f64,
    left: f64,
    y: f64,
    drawn: Vec<Drawn>,
}

impl Flow<'_> {
    /// The picture, and next to it the name, the undercoat and the parts.
    fn top(&mut self, card: &BenchCard) {
        let [most_width, most_height] = PICTURE.map(|share| share * self.size);
        let (width, height) = card.thumbnail.dimensions();
        let (width, height) = (f64::from(width), f64::from(height));
        let scale = (most_width / width).min(most_height / height);
        let picture = [width * scale, height * scale];
        self.drawn.push(Drawn::Picture {
            x: 0.0,
            y: 0.0,
            size: picture,
        });
        self.left = picture[0] + 2.0 * self.size;
        self.lines(&card.scheme, Face::Bold, 1.7 * self.size);
        if !card.team.is_empty() {
            self.paragraph(&card.team);
        }
        self.paragraph(&format!("{} · {}", card.figure, time_line(card)));
        self.heading(&format!("Undercoat: {}", card.undercoat.name));
        for step in &card.undercoat.steps {
            self.paragraph(step);
        }
        self.heading("Parts");
        for part in &card.parts {
            self.paragraph(&format!("{}. {}", part.number, part_line(part)));
        }
        self.left = 0.0;
        self.y = self.y.max(picture[1]);
    }

    fn coat(&mut self, step: usize, coat: &CoatStep) {
        let (size, y) = (self.size, self.y + 0.35 * self.size);
        let tick = [1.2 * size, 1.2 * size];
        self.drawn.push(Drawn::Chip {
            x: 0.0,
            y,
            size: tick,
            colour: None,
        });
        let chip = [2.6 * size, 1.9 * size];
        for (index, colour) in coat.dried.iter().enumerate() {
            #[allow(clippy::cast_precision_loss, reason = "three")]
            let offset = index as f64 * chip[0];
            self.drawn.push(Drawn::Chip {
                x: 2.0 * size + offset,
                y,
                size: chip,
                colour: Some(*colour),
            });
        }
        self.left = 2.0 * size + 3.0 * chip[0] + size;
        let head = format!("{step}. {} ({}): {}", coat.name, coat.part, mix_line(coat));
        self.lines(&head, Face::Bold, size);
        let how = format!("{}; {}", batch(coat), where_line(coat));
        self.lines(&how, Face::Regular, size);
        self.left = 0.0;
        self.y = self.y.max(y + chip[1]) + 0.3 * size;
    }

    fn heading(&mut self, text: &str) {
        self.y += 0.6 * self.size;
        self.lines(text, Face::Bold, 1.15 * self.size);
    }

    fn paragraph(&mut self, text: &str) {
        self.lines(text, Face::Regular, self.size);
    }

    /// A text in as many lines as it needs.
    fn lines(&mut self, text: &str, face: Face, size: f64) {
        for line in self.wrapped(text, face, size) {
            self.y += LEADING * size;
            self.drawn.push(Drawn::Text {
                x: self.left,
                baseline: self.y - 0.3 * size,
                size,
                face,
                text: line,
            });
        }
    }

    fn wrapped(&self, text: &str, face: Face, size: f64) -> Vec<String> {
        let font = self.fonts.of(face);
        let room = (WIDTH_MM - self.left) / size;
        let mut lines = Vec::new();
        let mut line = String::new();
        for word in text.split_whitespace() {
            let longer = match line.is_empty() {
                true => word.to_owned(),
                false => format!("{line} {word}"),
            };
            if font.width(&longer) <= room {
                line = longer;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            // A word that is wider than the page is cut.
            for letter in word.chars() {
                line.push(letter);
                if font.width(&line) > room {
                    line.pop();
                    lines.push(std::mem::take(&mut line));
                    line.push(letter);
                }
            }
        }
        lines.push(line);
        lines
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pdf_font::PdfFont;

    #[test]
    fn lines_are_as_wide_as_the_page_and_lose_no_letter() {
        let fonts = Fonts {
            regular: PdfFont::new(Face::Regular),
            bold: PdfFont::new(Face::Bold),
        };
        let flow = Flow {
            fonts: &fonts,
            size: 3.0,
            left: 150.0,
            y: 0.0,
            drawn: Vec::new(),
        };
        let text = "Harbour bell at the turning of the tide, ".repeat(4) + &"w".repeat(60);
        let lines = flow.wrapped(&text, Face::Bold, 3.0);
        assert!(lines.len() > 6);
        for line in &lines {
            assert!(fonts.bold.width(line) * 3.0 <= 40.0, "{line}");
        }
        let letters = |text: &str| text.chars().filter(|c| *c != ' ').collect::<String>();
        assert_eq!(letters(&lines.concat()), letters(&text));
    }
}
