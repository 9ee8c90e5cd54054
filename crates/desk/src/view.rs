//! What a page shows: the whole project as plain data, made again after each command. Pictures come separately.

use serde::Serialize;
use velatura_document::{Diagnostic, SourceText};
use velatura_pipeline::figure::{parts, read_figure_file};
use velatura_regions::Labels;

use crate::edit_figure::FigureText;
use crate::file_names::FIGURE;
use crate::project::{MaskFrom, Project};

/// The project as a page shows it. `page/src/protocol.ts` describes each field for the page.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(
    missing_docs,
    reason = "the fields have the names and units of the files"
)]
pub struct View {
    pub version: u64,
    pub name: String,
    pub undercoat: UndercoatView,
    pub height_mm: f64,
    pub count: u32,
    pub photo: Option<PhotoView>,
    pub light_photo: Option<String>,
    pub parts: Vec<PartView>,
    pub mask: &'static str,
    /// Stands for the overlay of the parts; another overlay has another number.
    pub overlay: Option<u64>,
    pub strokes: usize,
    pub paints: Vec<PaintView>,
    pub schemes: Vec<SchemeView>,
    pub missing: Vec<&'static str>,
    pub problems: Vec<Diagnostic>,
    pub card: Option<CardView>,
    pub rival: Option<RivalView>,
    pub can_undo: bool,
    pub can_redo: bool,
    pub undo: Option<String>,
    pub redo: Option<String>,
    pub said: String,
}

/// How the figure was undercoated.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields have the names of the files")]
pub struct UndercoatView {
    pub kind: String,
    pub black: Option<String>,
    pub white: Option<String>,
}

/// The photo.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PhotoView {
    /// Stands for the picture; another photo has another number.
    pub number: u64,
    /// Of the file that was put.
    pub name: String,
    /// Of the working photo.
    pub width: u32,
    /// Of the working photo.
    pub height: u32,
    /// Of the file that was put.
    pub original: Size,
}

/// Width and height of a picture, upright.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "in pixels")]
pub struct Size {
    pub width: u32,
    pub height: u32,
}

/// The photo of a card that was not read yet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CardView {
    /// Its file's name.
    pub name: String,
    /// How many drawdowns the printed card has room for.
    pub places: usize,
}

/// The rivals' figure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RivalView {
    /// Stands for its project.
    pub number: u64,
    /// Its figure's name.
    pub name: String,
    /// The names of its schemes.
    pub schemes: Vec<String>,
}

/// A part of the figure.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields have the names of the files")]
pub struct PartView {
    pub name: String,
    pub colour: String,
    pub is: Option<String>,
    /// The material that its name suggests.
    pub guess: Option<&'static str>,
    pub same_as: Option<String>,
    pub natural: bool,
    /// The mix that proposals give it; empty if they may choose.
    pub keep: Vec<PartsView>,
    /// Its share of the figure's pixels, 0…1.
    pub share: Option<f64>,
}

/// A paint.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields have the names of the files")]
pub struct PaintView {
    pub name: String,
    pub owned: bool,
    pub metallic: bool,
    pub over_black: String,
    pub over_white: String,
    pub given: &'static str,
    pub contrast_ratio: f64,
    pub hides: &'static str,
    /// How many coats use it.
    pub used: usize,
    pub tints: Vec<TintView>,
}

/// A paint mixed with another and brushed over both cards.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields have the names of the files")]
pub struct TintView {
    pub with: String,
    /// By volume: this paint, the other.
    pub parts: [f64; 2],
    /// Both colours; `None` of a spectrum.
    pub over: Option<[String; 2]>,
}

/// A scheme.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields have the names of the files")]
pub struct SchemeView {
    pub name: String,
    pub team: String,
    pub undercoat: &'static str,
    pub finish: &'static str,
    pub coats: Vec<CoatView>,
    pub chips: Vec<ChipView>,
    /// Stands for the picture; `None` if there can be none now.
    pub tile: Option<u64>,
}

/// The colour of a part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChipView {
    /// The part.
    pub part: String,
    /// Its mean colour on the tile, once that was made.
    pub seen: Option<String>,
    /// Its flat dried colour over mid grey.
    pub dried: String,
}

/// A coat.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields have the names of the files")]
pub struct CoatView {
    pub index: usize,
    pub part: String,
    pub mix: Vec<PartsView>,
    pub film: f64,
    /// As coats of the brush.
    pub brush: String,
    pub r#where: &'static str,
    pub width_mm: Option<f64>,
    pub pooling: f64,
    /// Its dried colour over mid grey.
    pub dried: String,
}

/// A paint in a mix.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "the fields have the names of the files")]
pub struct PartsView {
    pub paint: String,
    pub parts: f64,
}

impl PartsView {
    /// A mix as a page shows it.
    pub(crate) fn of(mix: &[(String, f64)]) -> Vec<Self> {
        let one = |(paint, parts): &(String, f64)| Self {
            paint: paint.clone(),
            parts: *parts,
        };
        mix.iter().map(one).collect()
    }
}

/// The parts of the figure, with their shares where there is a mask.
pub(crate) fn parts_view(
    project: &Project,
    text: &FigureText,
    labels: Option<&Labels>,
) -> Vec<PartView> {
    let source = SourceText::from_bytes(FIGURE, project.figure.as_bytes().to_vec());
    let figure = source
        .ok()
        .and_then(|source| read_figure_file(&source).ok());
    let known = figure
        .map(|figure| parts(&figure.value))
        .unwrap_or_default();
    #[allow(clippy::cast_precision_loss, reason = "numbers of pixels")]
    let shares = labels.map(|labels| {
        let pixels = labels.pixels();
        let figure: usize = pixels[1..].iter().sum();
        let of = |colour| {
            let at = labels.colours.iter().position(|other| *other == colour);
            at.map_or(0.0, |at| pixels[at + 1] as f64 / figure.max(1) as f64)
        };
        text.colours().into_iter().map(of).collect::<Vec<f64>>()
    });
    text.parts
        .iter()
        .enumerate()
        .map(|(index, part)| PartView {
            name: part.name.clone(),
            colour: part.colour.to_string(),
            is: part.is.clone(),
            guess: known
                .get(index)
                .filter(|part| part.guessed)
                .and_then(|part| Some(part.material?.word())),
            same_as: part.same_as.clone(),
            natural: part.natural,
            keep: PartsView::of(&part.keep),
            share: shares.as_ref().map(|shares| shares[index]),
        })
        .collect()
}

/// What is missing before there can be pictures, in the order of the work.
pub(crate) fn missing(
    project: &Project,
    text: &FigureText,
    paints: usize,
    schemes: usize,
) -> Vec<&'static str> {
    let drawn = || {
        let strokes = &project.strokes;
        strokes.earlier.is_some()
            || strokes
                .drawn
                .iter()
                .any(|stroke| matches!(stroke.ink, crate::strokes::Ink::Part(_)))
    };
    let masked = match project.mask_from {
        MaskFrom::Nothing => false,
        MaskFrom::Strokes => drawn(),
        MaskFrom::File => true,
    };
    [
        ("photo", project.photo.is_some()),
        ("parts", masked && !text.parts.is_empty()),
        ("paints", paints > 0),
        ("schemes", schemes > 0),
    ]
    .into_iter()
    .filter(|(_, is_there)| !is_there)
    .map(|(what, _)| what)
    .collect()
}
