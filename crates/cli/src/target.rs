//! A target colour as written in a call: `"#5fa8a0"`, a paint's name, `photo.png@X,Y,W,H`.

use velatura_document::{Diagnostic, nearest};
use velatura_photo::{DecodeLimits, PixelRect, decode_photo};
use velatura_pipeline::Error;
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::optics::colour::Linear;
use velatura_pipeline::optics::mixture::Mix;
use velatura_pipeline::scheme::{EvenCoat, Substrate, predicted};

use crate::files::read_picture;
use crate::format::Format;
use crate::messages::after_warnings;
use crate::undercoat::read_colour;

/// The forms of a target, for messages.
const EXPECTED: &str =
    "a colour such as \"#5fa8a0\", a paint's name, or PHOTO@LEFT,TOP,WIDTH,HEIGHT in pixels";

/// A target colour.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Target {
    /// The dried colour.
    pub(crate) colour: Linear,
    /// The paint that it names, if it is the name of a paint.
    pub(crate) paint: Option<usize>,
}

/// The colour of a `--target`. For a paint: the colour of one coat of film 1 over the substrate.
pub(crate) fn read_target(
    text: &str,
    paints: &PaintBox,
    paints_name: &str,
    substrate: &Substrate,
    format: Format,
) -> Result<Target, Error> {
    if let Some(paint) = paints.index_of(text) {
        let alone = EvenCoat {
            mix: Mix {
                paints: vec![(paint, 1.0)],
                medium: 0.0,
            },
            film: 1.0,
        };
        return Ok(Target {
            colour: predicted(paints, &[alone], substrate).colour,
            paint: Some(paint),
        });
    }
    let colour = if let Some((file, place)) = text.rsplit_once('@') {
        patch_mean(file, place, format)?
    } else {
        let names = paints.paints.iter().map(|paint| paint.name.as_str());
        read_colour(text, EXPECTED)
            .map_err(|problem| {
                // A word is more likely a mistyped paint name than a colour.
                let Some(near) = nearest(text, names) else {
                    return problem;
                };
                Diagnostic::error(
                    "",
                    format!("no paint in {paints_name} is called \"{text}\""),
                )
                .expected(EXPECTED)
                .help(format!("did you mean \"{near}\"?"))
            })
            .map_err(|problem| Error::call(problem.within("--target")))?
            .linear()
    };
    Ok(Target {
        colour,
        paint: None,
    })
}

fn patch_mean(file: &str, place: &str, format: Format) -> Result<Linear, Error> {
    let patch = read_patch(place).ok_or_else(|| {
        let found = format!("\"{place}\" is not a rectangle of pixels");
        Error::call(Diagnostic::error("", found)
            .within("--target")
            .expected("LEFT,TOP,WIDTH,HEIGHT in whole pixels, width and height at least 1, such as 300,500,40,30"))
    })?;
    let photo = decode_photo(file, &read_picture(file)?, &DecodeLimits::default())?;
    let photo = after_warnings(photo, format);
    photo.mean(patch).ok_or_else(|| {
        let found = format!("the rectangle {place} extends beyond {file}, or is fully transparent");
        let expected = format!(
            "pixels inside the upright photo, which is {} × {}",
            photo.width, photo.height
        );
        Error::call(
            Diagnostic::error("", found)
                .within("--target")
                .expected(expected),
        )
    })
}

fn read_patch(text: &str) -> Option<PixelRect> {
    let numbers: Vec<u32> = text
        .split(',')
        .map(|number| number.trim().parse().ok())
        .collect::<Option<_>>()?;
    let [left, top, width, height] = numbers[..] else {
        return None;
    };
    (width > 0 && height > 0).then_some(PixelRect {
        left,
        top,
        width,
        height,
    })
}
