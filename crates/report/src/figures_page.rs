//! `index.html` over many figures: each with its sheet and a link to its own page.

use maud::{Markup, html};
use velatura_document::counted;
use velatura_pipeline::SHEET_FILE;

use crate::html::document;
use crate::page::PAGE_FILE;

/// One figure on the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FigureEntry {
    /// Its name.
    pub name: String,
    /// The folder of its results, next to the page.
    pub folder: String,
    /// Whether that folder has a page.
    pub has_page: bool,
    /// How many schemes it has.
    pub schemes: usize,
    /// Why it was not rendered.
    pub problem: Option<String>,
}

/// The page; `together` is a sheet of all figures next to it.
#[must_use]
pub fn figures_page(figures: &[FigureEntry], together: Option<&str>) -> String {
    let title = counted(figures.len(), "figure");
    let failed = figures.iter().filter(|one| one.problem.is_some()).count();
    let body = html! {
        main {
            h1 { (title) }
            @if failed > 0 {
                p.lead { (counted(failed, "figure")) " could not be rendered." }
            }
            @if let Some(file) = together {
                h2 { "The same schemes on every figure" }
                p { a href=(file) { img src=(file) alt="All figures in the same schemes"; } }
            }
            @for figure in figures {
                (section(figure))
            }
        }
    };
    document(&title, "", &body)
}

fn section(figure: &FigureEntry) -> Markup {
    let sheet = format!("{}/{SHEET_FILE}", figure.folder);
    let page = match figure.has_page {
        true => format!("{}/{PAGE_FILE}", figure.folder),
        false => sheet.clone(),
    };
    html! {
        section {
            h2 { (figure.name) }
            @match &figure.problem {
                Some(problem) => p { "Not rendered: " (problem) },
                None => {
                    p.quiet { (counted(figure.schemes, "scheme")) " in " (figure.folder) }
                    p {
                        a href=(page) {
                            img src=(sheet) loading="lazy" alt={ "All schemes on " (figure.name) };
                        }
                    }
                }
            }
        }
    }
}
