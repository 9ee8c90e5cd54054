//! What a painter takes away: the project, the sheet, the page, and the bench card. The functions are those that the command calls on
//! the saved project. Compiled for a browser, their exponentials may differ in the last bit, and so may a pixel here and there.

use std::io::Cursor;

use velatura::{
    Cancel, Extent, Job, MemoryFiles, MemoryOutputs, Outputs, PairOptions, RenderOptions, Side,
    ZipOutputs, pair, render,
};
use velatura_bench_card::{Bench, PaintingOrder, bench_cards, html_pages, pdf_pages};
use velatura_document::Error;
use velatura_swatch::{Paper, card_pdf};

use crate::edit_figure::FigureText;
use crate::edit_schemes::none;
use crate::file_names::{FIGURE, PAINTS, SCHEMES, STROKES};
use crate::project::Project;

/// What to take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TakeKind {
    /// The project as a zip.
    Project,
    /// The same without what can be computed from the rest: quick to make, for a page that keeps it.
    Draft,
    /// `sheet.png`.
    Sheet,
    /// `index.html`.
    Page,
    /// `report.json`.
    Report,
    /// The bench card of a scheme as a page.
    CardPage,
    /// The bench card of a scheme as a PDF.
    CardPdf,
    /// Two schemes as two teams on one table, as `velatura pair` shows them.
    Pair,
    /// The card for drawdowns, to print.
    DrawdownCard,
}

impl TakeKind {
    /// The kind of a word of the page.
    ///
    /// # Errors
    /// There is none.
    pub fn of(word: &str) -> Result<Self, Error> {
        Ok(match word {
            "project" => Self::Project,
            "draft" => Self::Draft,
            "sheet" => Self::Sheet,
            "page" => Self::Page,
            "report" => Self::Report,
            "card-page" => Self::CardPage,
            "card-pdf" => Self::CardPdf,
            "pair" => Self::Pair,
            "drawdown-card" => Self::DrawdownCard,
            other => {
                let found = format!("\"{other}\" is nothing to take away");
                return Err(Error::refused("", found, "", ""));
            }
        })
    }
}

/// A file for the painter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taken {
    /// Its name.
    pub name: String,
    /// Its media type.
    pub media_type: &'static str,
    /// Its content.
    pub bytes: Vec<u8>,
}

/// The project as a zip archive: the same project gives the same bytes.
pub(crate) fn project_zip(
    project: &Project,
    figure: &FigureText,
    files: &MemoryFiles,
) -> Result<Taken, Error> {
    let mut bytes = Cursor::new(Vec::new());
    let outputs = ZipOutputs::new(&mut bytes);
    let set = outputs.open(&[], &[])?;
    let pictures = [&figure.photo, &figure.mask].map(String::as_str);
    let names = [FIGURE, PAINTS, SCHEMES]
        .into_iter()
        .chain(pictures)
        .chain(project.others.keys().map(String::as_str));
    for name in names {
        if let Ok(bytes) = velatura::Files::read(files, name.as_ref(), u64::MAX) {
            set.write(name, &bytes)?;
        }
    }
    if let Some(photo) = &project.photo
        && !project.strokes.is_empty()
    {
        set.write(STROKES, &project.strokes.png(&figure.colours(), photo.size))?;
    }
    set.commit()?;
    Ok(Taken {
        name: format!("{}.zip", file_stem(&figure.name)),
        media_type: "application/zip",
        bytes: bytes.into_inner(),
    })
}

/// Sheet, page or report, as `velatura render` writes them without previews.
pub(crate) fn rendered(job: &Job, kind: TakeKind) -> Result<Taken, Error> {
    let (extent, name, media_type) = match kind {
        TakeKind::Page => (Extent::Everything, "index.html", "text/html"),
        TakeKind::Report => (Extent::SheetOnly, "report.json", "application/json"),
        _ => (Extent::SheetOnly, "sheet.png", "image/png"),
    };
    let options = RenderOptions::default().extent(extent).previews(None);
    let outputs = MemoryOutputs::new();
    render(job, &options, &outputs)?;
    taken(&outputs, name, media_type)
}

/// One of the files that were made.
fn taken(outputs: &MemoryOutputs, name: &str, media_type: &'static str) -> Result<Taken, Error> {
    let bytes = outputs.take().remove(name).ok_or_else(|| {
        let found = format!("the session makes no {name}");
        Error::refused("", found, "", "")
    })?;
    Ok(Taken {
        name: name.to_owned(),
        media_type,
        bytes,
    })
}

/// The name of a scheme.
fn named(job: &Job, scheme: usize) -> Result<&str, Error> {
    let found = job.schemes.get(scheme);
    found
        .map(|scheme| &*scheme.name)
        .ok_or_else(|| none("scheme", scheme))
}

/// Two teams on one table, each a job with one of its schemes, with the verdict on whether they stand apart.
pub(crate) fn two_teams(ours: (&Job, usize), theirs: (&Job, usize)) -> Result<Taken, Error> {
    for (job, scheme) in [ours, theirs] {
        named(job, scheme)?;
    }
    let outputs = MemoryOutputs::new();
    let sides = [ours, theirs].map(|(job, scheme)| Side { job, scheme });
    pair(&sides, &PairOptions::default(), &outputs)?;
    taken(&outputs, "pair.html", "text/html")
}

/// The card for drawdowns.
pub(crate) fn drawdown_card() -> Taken {
    Taken {
        name: "drawdown-card.pdf".to_owned(),
        media_type: "application/pdf",
        bytes: card_pdf(Paper::A4, None),
    }
}

/// The bench card of one scheme.
pub(crate) fn card(job: &Job, kind: TakeKind, scheme: usize) -> Result<Taken, Error> {
    let name = named(job, scheme)?;
    let cards = bench_cards(
        job,
        &[scheme],
        PaintingOrder::LightFirst,
        &Bench::default(),
        &Cancel::default(),
    )?;
    let stem = file_stem(name);
    Ok(match kind {
        TakeKind::CardPdf => Taken {
            name: format!("{stem}.pdf"),
            media_type: "application/pdf",
            bytes: pdf_pages(&cards),
        },
        _ => Taken {
            name: format!("{stem}.html"),
            media_type: "text/html",
            bytes: html_pages(&cards).into_bytes(),
        },
    })
}

/// A name for a file: letters and digits, and hyphens for everything else.
fn file_stem(name: &str) -> String {
    let words = name.split(|letter: char| !letter.is_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    match words.is_empty() {
        true => "figure".to_owned(),
        false => words.join("-").to_lowercase(),
    }
}
