//! Paints, coats and colours as a user writes them: `"Oil Amber:3,medium:7"`, `"#808080"`, `spectrum:FILE`,
//! `photo.png@X,Y,W,H`.
//!
//! What is wrong with a text is [`Error::Call`], without the name of the argument: the program adds it with
//! [`Error::within_call`]. What is wrong with a file is [`Error::Input`].

use std::path::Path;

use velatura_document::{
    Diagnostic, Error, Files, Hint, LARGEST_PICTURE_BYTES, LARGEST_TEXT_BYTES, SourceText, Warned,
    nearest, read_file,
};
use velatura_pipeline::optics::calibrate::{PaintBox, calibrate};
use velatura_pipeline::optics::colour::{Encoded, Linear};
use velatura_pipeline::optics::mixture::Mix;
use velatura_pipeline::optics::paints_file::read_paints_files;
use velatura_pipeline::optics::spectrum_file::read_spectrum_file;
use velatura_pipeline::optics::surface::Specular;
use velatura_pipeline::photo::{DecodeLimits, PixelRect, decode_photo};
use velatura_pipeline::scheme::{EvenCoat, Substrate, predicted, read_mix};

/// Prefix of a file with a measured undercoat.
const SPECTRUM: &str = "spectrum:";
/// The forms of an undercoat, for messages.
const SUBSTRATE_FORMS: &str = "a colour such as \"#808080\", or spectrum:FILE";
/// The forms of a target, for messages.
const TARGET_FORMS: &str =
    "a colour such as \"#5fa8a0\", a paint's name, or PHOTO@LEFT,TOP,WIDTH,HEIGHT in pixels";

fn read_text(files: &dyn Files, path: &Path) -> Result<SourceText, Diagnostic> {
    let bytes = read_file(files, path, LARGEST_TEXT_BYTES)?;
    SourceText::from_bytes(path.display().to_string(), bytes)
}

/// Reads paints files, joins them and fits K and S for each paint.
///
/// # Errors
/// [`Error::Input`] with every problem of the files.
pub fn read_paint_box<P: AsRef<Path>>(
    files: &dyn Files,
    paths: &[P],
) -> Result<Warned<PaintBox>, Error> {
    let (mut sources, mut unread) = (Vec::new(), Vec::new());
    for path in paths {
        match read_text(files, path.as_ref()) {
            Ok(source) => sources.push(source),
            Err(problem) => unread.push(problem),
        }
    }
    if !unread.is_empty() {
        return Err(Error::inputs(unread));
    }
    let (file, mut warnings) = read_paints_files(&sources)
        .map_err(Error::inputs)?
        .into_parts();
    let paints = calibrate(&file).into_value(&mut warnings);
    Ok(Warned::new(paints, warnings))
}

/// Reads coats: mixes such as `"Oil Amber:3,medium:7"`, lowest coat first, each with its film (1 = as thick as the drawdown).
/// `paints_name` is the name of the paints' file, and `argument` that of the argument, for messages.
///
/// # Errors
/// [`Error::Call`] with every problem of every mix.
pub fn read_coats<'a>(
    coats: impl IntoIterator<Item = (&'a str, f64)>,
    paints: &PaintBox,
    paints_name: &str,
    argument: &str,
) -> Result<Vec<EvenCoat>, Error> {
    let (mut read, mut wrong) = (Vec::new(), Vec::new());
    for (text, film) in coats {
        match read_mix(text, paints, paints_name) {
            Ok(mix) => read.push(EvenCoat { mix, film }),
            Err(problems) => wrong.extend(
                problems
                    .into_iter()
                    .map(|problem| problem.within(format!("{argument} \"{text}\""))),
            ),
        }
    }
    if wrong.is_empty() {
        Ok(read)
    } else {
        Err(Error::Call(wrong))
    }
}

/// Reads a colour of the form `#rrggbb`. `expected` is for messages.
///
/// # Errors
/// A diagnostic that says how to write it.
pub fn read_colour(text: &str, expected: &str) -> Result<Encoded, Diagnostic> {
    text.parse().map_err(|_| {
        let problem =
            Diagnostic::error("", format!("\"{text}\" is not a colour")).expected(expected);
        if format!("#{text}").parse::<Encoded>().is_ok() {
            problem.help(format!("add a # and quotes: \"#{text}\""))
        } else {
            problem.help(Hint::ColourCode)
        }
    })
}

/// Reads an undercoat: a colour in the convention of the cards, or `spectrum:` and the path of a measured one.
///
/// # Errors
/// [`Error::Call`] for a text that is neither, [`Error::Input`] with every problem of the file.
pub fn read_substrate(
    files: &dyn Files,
    text: &str,
    cards: Specular,
) -> Result<Warned<Substrate>, Error> {
    if let Some(file) = text.strip_prefix(SPECTRUM) {
        let source = read_text(files, Path::new(file))?;
        let surface = read_spectrum_file(&source).map_err(Error::inputs)?;
        return Ok(
            surface.map(|surface| Substrate::measured(&surface.reflectance, surface.specular))
        );
    }
    let colour = read_colour(text, SUBSTRATE_FORMS).map_err(Error::call)?;
    Ok(Substrate::of_colour(colour.linear(), cards).into())
}

/// A target colour.
#[derive(Debug, Clone, Copy)]
pub struct Target {
    /// The dried colour.
    pub colour: Linear,
    /// The paint that it names, if it is the name of a paint.
    pub paint: Option<usize>,
}

/// Reads the colour to match: a code, the name of a paint (the colour of one coat of film 1 over the substrate), or
/// `PHOTO@LEFT,TOP,WIDTH,HEIGHT` (the mean of these pixels in linear light).
///
/// # Errors
/// [`Error::Call`] for a text that is none of these or a rectangle outside the photo, [`Error::Input`] for the photo.
pub fn read_target(
    files: &dyn Files,
    text: &str,
    paints: &PaintBox,
    paints_name: &str,
    substrate: &Substrate,
) -> Result<Warned<Target>, Error> {
    if let Some(paint) = paints.index_of(text) {
        let alone = EvenCoat {
            mix: Mix {
                paints: vec![(paint, 1.0)],
                medium: 0.0,
            },
            film: 1.0,
        };
        let colour = predicted(paints, &[alone], substrate).colour;
        let paint = Some(paint);
        return Ok(Target { colour, paint }.into());
    }
    let colour = if let Some((file, place)) = text.rsplit_once('@') {
        patch_mean(files, file, place)?
    } else {
        let names = paints.paints.iter().map(|paint| paint.name.as_str());
        let code = read_colour(text, TARGET_FORMS).map_err(|problem| {
            // A word is more likely a mistyped paint name than a colour.
            let Some(near) = nearest(text, names) else {
                return problem;
            };
            let found = format!("no paint in {paints_name} is called \"{text}\"");
            Diagnostic::error("", found)
                .expected(TARGET_FORMS)
                .help(format!("did you mean \"{near}\"?"))
        });
        code.map_err(Error::call)?.linear().into()
    };
    Ok(colour.map(|colour| Target {
        colour,
        paint: None,
    }))
}

fn patch_mean(files: &dyn Files, file: &str, place: &str) -> Result<Warned<Linear>, Error> {
    let patch = read_patch(place).ok_or_else(|| {
        let found = format!("\"{place}\" is not a rectangle of pixels");
        let expected = "LEFT,TOP,WIDTH,HEIGHT in whole pixels, width and height at least 1, such as 300,500,40,30";
        Error::refused("", found, expected, "")
    })?;
    let bytes = read_file(files, Path::new(file), LARGEST_PICTURE_BYTES)?;
    let (photo, warnings) = decode_photo(file, &bytes, &DecodeLimits::default())?.into_parts();
    let mean = photo.mean(patch).ok_or_else(|| {
        let found = format!("the rectangle {place} extends beyond {file}, or is fully transparent");
        let expected = format!(
            "pixels inside the upright photo, which is {} × {}",
            photo.width, photo.height
        );
        Error::refused("", found, &expected, "")
    })?;
    Ok(Warned::new(mean, warnings))
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
