//! The first files of a figure: what a painter needs to render it, to be changed by hand.
//!
//! In: the parts that strokes marked. Out: the texts of `figure.toml` and `schemes.toml`. Not here: the mask (`velatura-regions`).

use std::fmt::Write as _;

use velatura_document::{one_line, quoted};
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::optics::colour::{Encoded, Lab};

/// A part of the figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewPart {
    /// Its name.
    pub name: String,
    /// Its colour in the mask.
    pub colour: Encoded,
}

/// A figure that has a photo and a mask, and no files yet.
#[derive(Debug, Clone)]
pub struct NewFigure {
    /// Its name.
    pub name: String,
    /// Path of the photo, relative to the figure file.
    pub photo: String,
    /// Path of the mask, relative to the figure file.
    pub mask: String,
    /// The undercoat's kind, as a figure file spells it.
    pub undercoat: String,
    /// Its parts.
    pub parts: Vec<NewPart>,
}

/// Paints of the example box that [`EXAMPLE_PAINTS`] has.
pub const EXAMPLE_PAINTS: &str = include_str!("../data/example-paints.toml");

impl NewFigure {
    /// The text of `figure.toml`.
    #[must_use]
    pub fn figure_text(&self) -> String {
        let mut text = format!(
            "# {}. Change the names of the parts as you like, here and in schemes.toml.\n\
             format = \"velatura-figure/1\"\nname = {}\nphoto = {}\nmask = {}\n\
             height_mm = 32    # height of the figure, for two teams on one table\n\
             count = 1         # figures in your team\n\n\
             [undercoat]\nkind = {}\n\
             # black = \"#161616\"          # colour in the photo of bare dark primer in full light\n\
             # white = \"#ededed\"          # colour in the photo of the brightest drybrushing\n\
             # light_photo = \"primed.jpg\" # the same pose and lamp before drybrushing: more exact colours\n",
            one_line(&self.name),
            quoted(&self.name),
            quoted(&self.photo),
            quoted(&self.mask),
            quoted(&self.undercoat),
        );
        for part in &self.parts {
            let _ = write!(
                text,
                "\n[[region]]\nname = {}\nmask_colour = \"{}\"\n",
                quoted(&part.name),
                part.colour
            );
        }
        text
    }

    /// The text of a first `schemes.toml`, with a coat on every part: the paints you own in turn, thinned with medium, or medium alone
    /// where there are no paints.
    #[must_use]
    pub fn schemes_text(&self, paints: Option<&PaintBox>) -> String {
        let owned: Vec<&str> = paints
            .map(|paints| paints.paints.iter().filter(|paint| paint.owned))
            .into_iter()
            .flatten()
            .map(|paint| paint.name.as_str())
            .collect();
        let mut text = String::from(
            "# A first scheme to change. Coats are painted in the order they are written.\n",
        );
        text += if owned.is_empty() {
            "# Medium is clear. Put your paints in its place: mix = { \"Name in paints.toml\" = 1, medium = 2 }\n"
        } else {
            "# Your paints in the order of the paints file, one on each part: choose better ones.\n"
        };
        text += "format = \"velatura-schemes/1\"\n\n[[scheme]]\nname = \"First idea\"\n";
        for (index, part) in self.parts.iter().enumerate() {
            let mix = match owned.len() {
                0 => "medium = 1".to_owned(),
                count => format!("{} = 1, medium = 2", quoted(owned[index % count])),
            };
            let _ = write!(
                text,
                "\n[[scheme.coat]]\nregion = {}\nmix = {{ {mix} }}\nfilm = 1.0\n",
                quoted(&part.name)
            );
        }
        text
    }
}

/// A name for each colour of strokes, such as "red part"; a number follows where two would be equal.
#[must_use]
pub fn part_names(colours: &[Encoded]) -> Vec<String> {
    let words: Vec<&str> = colours.iter().map(|colour| colour_word(*colour)).collect();
    let mut names = Vec::new();
    for (index, word) in words.iter().enumerate() {
        let all = words.iter().filter(|other| *other == word).count();
        let before = words[..index].iter().filter(|other| *other == word).count();
        names.push(if all == 1 {
            format!("{word} part")
        } else {
            format!("{word} part {}", before + 1)
        });
    }
    names
}

/// The everyday word for a colour. Borders of hue in CIELAB: common practice, no source.
#[must_use]
pub fn colour_word(colour: Encoded) -> &'static str {
    let Lab([lightness, a, b]) = colour.lab();
    let (chroma, hue) = (
        libm::hypot(a, b),
        libm::atan2(b, a).to_degrees().rem_euclid(360.0),
    );
    if chroma < 12.0 {
        return match lightness {
            l if l < 20.0 => "black",
            l if l > 90.0 => "white",
            _ => "grey",
        };
    }
    match hue {
        h if !(10.0..345.0).contains(&h) && lightness > 60.0 => "pink",
        h if !(45.0..345.0).contains(&h) => "red",
        h if h < 80.0 && lightness < 45.0 => "brown",
        h if h < 80.0 => "orange",
        h if h < 110.0 => "yellow",
        h if h < 170.0 => "green",
        h if h < 230.0 => "turquoise",
        h if h < 309.0 => "blue",
        h if h < 335.0 && lightness < 55.0 => "violet",
        _ => "pink",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_have_the_words_that_people_use() {
        // Named colours of CSS Color Module Level 4 (from memory), with the plain word in their name.
        for (code, word) in [
            ("#ff0000", "red"),
            ("#ffa500", "orange"),
            ("#ffff00", "yellow"),
            ("#008000", "green"),
            ("#00ff00", "green"),
            ("#40e0d0", "turquoise"),
            ("#0000ff", "blue"),
            ("#4169e1", "blue"),
            ("#a52a2a", "red"),
            ("#8b4513", "brown"),
            ("#ffc0cb", "pink"),
            ("#ff69b4", "pink"),
            ("#ff00ff", "pink"),
            ("#800080", "violet"),
            ("#8a2be2", "violet"),
            ("#808080", "grey"),
            ("#ffffff", "white"),
            ("#000000", "black"),
        ] {
            assert_eq!(colour_word(code.parse().unwrap()), word, "{code}");
        }
    }

    #[test]
    fn equal_words_are_numbered() {
        let colours = ["#ff0000", "#0000ff", "#c00000"].map(|code| code.parse().unwrap());
        assert_eq!(
            part_names(&colours),
            ["red part 1", "blue part", "red part 2"]
        );
    }

    #[test]
    fn the_example_paints_are_those_of_the_demo() {
        let demo = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/../../demo_images/lamplighter/paints.toml"
        );
        assert_eq!(std::fs::read_to_string(demo).unwrap(), EXAMPLE_PAINTS);
    }
}
