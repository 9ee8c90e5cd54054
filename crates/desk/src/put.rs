//! Files that a page hands over.

use velatura_document::{Diagnostic, Error, SourceText, counted};
use velatura_photo::{DecodeLimits, decode_photo};
use velatura_pipeline::optics::paints_file::{DrawnPaint, Pair, drawdowns_text, read_paints_file};
use velatura_pipeline::scheme::read_schemes_file;
use velatura_swatch::{layout_text, read_card, read_layout_file};

use crate::edit_figure::{FigureText, with_light_photo, with_name, with_part, with_photo};
use crate::edit_paints;
use crate::mask::loaded_mask;
use crate::pictures::Pictures;
use crate::project::{Bytes, MaskFrom, Project};
use crate::strokes::Strokes;
use crate::working_photo::working_photo;

/// What a file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PutKind {
    /// The photo of the underpainted figure.
    Photo,
    /// The same pose under the same lamp before the drybrushing.
    LightPhoto,
    /// A mask made over the photo.
    Mask,
    /// A `paints.toml`; its paints join those that are there.
    Paints,
    /// A `schemes.toml`, in place of all schemes.
    Schemes,
    /// A project as a zip.
    Project,
    /// The project that a page kept: where the painter left off, and no change that can be undone.
    Kept,
    /// The photo of a printed card with drawdowns.
    Card,
    /// The rivals' project, to compare teams with; the project on the desk stays as it is.
    Rival,
}

impl PutKind {
    /// The kind of a word of the page.
    ///
    /// # Errors
    /// There is none.
    pub fn of(word: &str) -> Result<Self, Error> {
        Ok(match word {
            "photo" => Self::Photo,
            "light-photo" => Self::LightPhoto,
            "mask" => Self::Mask,
            "paints" => Self::Paints,
            "schemes" => Self::Schemes,
            "project" => Self::Project,
            "kept" => Self::Kept,
            "card" => Self::Card,
            "rival" => Self::Rival,
            other => {
                let found = format!("there is no kind of file \"{other}\"");
                return Err(Error::refused("", found, "", ""));
            }
        })
    }
}

/// What to call the figure on a photo: by the file's name, unless a camera or a phone chose it.
fn figure_name(photo: &str) -> &str {
    // Common beginnings, no source.
    const CAMERAS: [&str; 8] = [
        "img", "image", "photo", "dsc", "dcim", "pxl", "mvimg", "scan",
    ];
    let stem = photo.rsplit_once('.').map_or(photo, |(stem, _)| stem);
    // "PXL_20261201.MP.jpg": a phone adds what it did.
    let lower = photo.split('.').next().unwrap_or(photo).to_lowercase();
    let of_a_camera = |word: &str| {
        let rest = lower.strip_prefix(word);
        rest.is_some_and(|rest| !rest.chars().any(char::is_alphabetic))
    };
    let numbers_only = !lower.chars().any(char::is_alphabetic);
    match numbers_only || CAMERAS.into_iter().any(of_a_camera) {
        true => "my figure",
        false => stem,
    }
}

/// What a file gave, in words, and warnings about it.
pub(crate) type Taken = (String, Vec<Diagnostic>);

/// Puts the photo. Strokes and a loaded mask stay only if the new photo has the size of the old one: another shot of the same pose.
pub(crate) fn photo(
    project: &mut Project,
    pictures: &mut Pictures,
    name: &str,
    bytes: Vec<u8>,
    limits: &DecodeLimits,
) -> Result<Taken, Error> {
    let ((photo, decoded), warnings) = working_photo(name, bytes, limits)?.into_parts();
    let is_png = photo.bytes.starts_with(b"\x89PNG");
    // The name in the project says what the file is, whatever it was called before.
    let path = match (is_png, photo.bytes.starts_with(&[0xff, 0xd8])) {
        (true, _) => "photo.png",
        (_, true) => "photo.jpg",
        _ if photo.bytes.starts_with(b"RIFF") => "photo.webp",
        _ => "photo.tif",
    };
    let is_first = project.photo.is_none();
    let same_size = project
        .photo
        .as_ref()
        .is_some_and(|old| old.size == photo.size);
    if !same_size {
        project.strokes = Strokes::default();
        project.mask = None;
        project.mask_from = MaskFrom::Nothing;
    }
    let mut figure = with_photo(&project.figure, path)?;
    if is_first {
        // A name with control characters stays out of the file.
        figure = with_name(&figure, figure_name(name)).unwrap_or(figure);
    }
    project.figure = figure;
    let (width, height) = photo.size;
    let said = match photo.original_size == photo.size {
        true => format!("photo of {width} × {height} pixels"),
        false => format!(
            "photo of {} × {} pixels; the page works on {width} × {height}",
            photo.original_size.0, photo.original_size.1
        ),
    };
    pictures.put_photo(photo.bytes.hash, decoded);
    project.photo = Some(photo);
    Ok((said, warnings))
}

/// Puts the light photo, at the working size.
pub(crate) fn light_photo(
    project: &mut Project,
    name: &str,
    bytes: Vec<u8>,
    limits: &DecodeLimits,
) -> Result<Taken, Error> {
    let ((photo, _), warnings) = working_photo(name, bytes, limits)?.into_parts();
    let path = match photo.bytes.starts_with(b"\x89PNG") {
        true => "light.png",
        false => "light.jpg",
    };
    project.figure = with_light_photo(&project.figure, Some(path))?;
    project.others.insert(path.to_owned(), photo.bytes);
    Ok(("light photo taken".to_owned(), warnings))
}

/// Puts a mask; colours that no part has become parts.
pub(crate) fn mask(
    project: &mut Project,
    name: &str,
    bytes: &[u8],
    limits: &DecodeLimits,
) -> Result<Taken, Error> {
    let photo = project.photo.as_ref().ok_or_else(|| {
        let found = "there is no photo that the mask could fit";
        Error::refused(name, found, "the photo first", "put the photo")
    })?;
    let ((file, colours), warnings) =
        loaded_mask(name, bytes, limits, photo.original_size, photo.size)?.into_parts();
    let known = FigureText::read(&project.figure)?;
    let new: Vec<_> = colours
        .into_iter()
        .filter(|colour| !known.colours().contains(colour))
        .collect();
    let mut figure = project.figure.clone();
    for (name, colour) in velatura::part_names(&new).into_iter().zip(&new) {
        figure = with_part(&figure, &free(&known, &name), Some(*colour))?;
    }
    project.figure = figure;
    project.mask = Some(file);
    project.mask_from = MaskFrom::File;
    Ok((
        format!("mask with {}", counted(new.len(), "new part")),
        warnings,
    ))
}

fn free(known: &FigureText, wished: &str) -> String {
    let taken = |name: &str| known.parts.iter().any(|part| part.name == name);
    let mut name = wished.to_owned();
    let mut number = 2;
    while taken(&name) {
        name = format!("{wished} {number}");
        number += 1;
    }
    name
}

/// Adds the paints of a file.
pub(crate) fn paints(project: &mut Project, name: &str, bytes: Vec<u8>) -> Result<Taken, Error> {
    let source = SourceText::from_bytes(name, bytes)?;
    let (file, warnings) = read_paints_file(&source)
        .map_err(Error::inputs)?
        .into_parts();
    project.paints = Some(edit_paints::with_file(
        project.paints.as_deref(),
        source.text(),
    )?);
    Ok((
        format!("{} added", counted(file.paints.len(), "paint")),
        warnings,
    ))
}

/// Takes the schemes of a file in place of all.
pub(crate) fn schemes(project: &mut Project, name: &str, bytes: Vec<u8>) -> Result<Taken, Error> {
    let source = SourceText::from_bytes(name, bytes)?;
    let (file, warnings) = read_schemes_file(&source)
        .map_err(Error::inputs)?
        .into_parts();
    project.schemes = source.text().into();
    Ok((
        format!("{} opened", counted(file.schemes.len(), "scheme")),
        warnings,
    ))
}

/// Keeps the photo of a card until its names are known.
pub(crate) fn card(
    project: &mut Project,
    name: &str,
    bytes: Vec<u8>,
    limits: &DecodeLimits,
) -> Result<Taken, Error> {
    // A file that is no picture is refused now, and not after the names were written.
    velatura_photo::peek(name, &bytes, limits)?;
    project.card = Some((name.to_owned(), Bytes::new(bytes)));
    Ok(("card taken: name its drawdowns".to_owned(), Vec::new()))
}

/// Reads the drawdowns of the card; `names` are those of its places in their order.
pub(crate) fn read_put_card(
    project: &mut Project,
    names: &[String],
    limits: &DecodeLimits,
) -> Result<Taken, Error> {
    let (name, bytes) = project.card.clone().ok_or_else(|| {
        let found = "there is no photo of a card";
        Error::refused("", found, "a photo of the printed card", "put it first")
    })?;
    let last = names.iter().rposition(|name| !name.trim().is_empty());
    let Some(last) = last else {
        let found = "no drawdown has a name";
        return Err(Error::refused(
            name,
            found,
            "a name for each place with paint",
            "",
        ));
    };
    let is_named = |at: usize| !names[at].trim().is_empty();
    // A place without paint has a name of its own in the layout, which is dropped again.
    let fields: Vec<String> = (0..=last)
        .map(|at| match is_named(at) {
            true => names[at].trim().to_owned(),
            false => format!("(place {} is empty)", at + 1),
        })
        .collect();
    let source = SourceText::new("the names of the card", layout_text(&fields, &[]));
    let layout = read_layout_file(&source).map_err(Error::inputs)?.value;
    let (photo, mut warnings) = decode_photo(&name, &bytes, limits)?.into_parts();
    let reading = read_card(&name, &photo, &layout)
        .map_err(Error::inputs)?
        .into_value(&mut warnings);
    let drawn: Vec<DrawnPaint> = reading
        .fields
        .iter()
        .enumerate()
        .filter(|(at, _)| is_named(*at))
        .map(|(at, field)| DrawnPaint {
            name: fields[at].clone(),
            owned: true,
            pair: Pair {
                over_black: field.over_black.srgb,
                over_white: field.over_white.srgb,
            },
            tints: Vec::new(),
        })
        .collect();
    let cards = [layout.cards.black, layout.cards.white];
    let text = drawdowns_text(&name, cards, layout.cards.specular, &drawn);
    project.paints = Some(edit_paints::with_file(project.paints.as_deref(), &text)?);
    project.card = None;
    // What is wrong with an empty place is of no interest.
    let empty = |problem: &Diagnostic| {
        let place = problem.within.as_deref().unwrap_or_default();
        place.contains("is empty)") || problem.found.contains("is empty)")
    };
    warnings.retain(|problem| !empty(problem));
    Ok((format!("{} read", counted(drawn.len(), "paint")), warnings))
}
