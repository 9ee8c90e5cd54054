//! The part of a page that compares schemes: controls, ways of seeing, and the script that moves them (`viewer/`).
//!
//! In: nothing but the page around it. Its pictures carry `data-view` with a name; a scheme's section carries `data-scheme` and
//! `data-paints`. The section is hidden until the script runs, so a page without scripts loses nothing.

use maud::{Markup, html};
use velatura_pipeline::optics::vision::{Deficiency, Eye};

/// The script, for [`document_with_script`](crate::html::document_with_script).
pub(crate) const SCRIPT: &str = include_str!("../viewer/viewer.js");
/// Its style.
pub(crate) const STYLE: &str = include_str!("../viewer/viewer.css");

/// The section with its controls. `far_px` is how many pixels of the screen wide a picture looks from across the table, if known.
pub(crate) fn viewer(far_px: Option<f64>) -> Markup {
    html! {
        section #compare hidden="hidden" data-far-px=[far_px.map(|px| format!("{px:.1}"))] {
            h2 { "Compare" }
            form {
                label { input type="checkbox" data-part="all"; " All schemes side by side" }
                fieldset data-part="two" {
                    legend.unseen { "Two pictures" }
                    label { "Left " select data-part="left" {} }
                    label { "Right " select data-part="right" {} }
                    label { "Divider " input type="range" min="0" max="100" value="50" data-part="divider"; }
                    button type="button" data-part="flip" { "Flip" }
                }
            }
            div.stage tabindex="0" role="group" data-part="stage"
                aria-label="Pictures. Arrow keys move them, plus and minus zoom, 0 shows the whole figure." {}
            form {
                label {
                    "See as "
                    select data-part="see" {
                        option value="" { "most people do" }
                        option value="grey" { "grey" }
                        @for kind in Deficiency::ALL {
                            option value=(kind) { (without(kind)) " (" (kind) ")" }
                        }
                    }
                }
                button type="button" data-part="closer" { "Closer" }
                button type="button" data-part="back" { "Back" }
                button type="button" data-part="fit" { "Whole figure" }
                button type="button" data-part="far" { "From across the table" }
                span.quiet data-part="zoom" role="status" aria-label="Zoom" {}
            }
            form {
                label {
                    "Only schemes with "
                    select data-part="paint" { option value="" { "any paint" } }
                }
                span data-part="count" role="status" {}
                label { "Schemes that you keep, as an option " input type="text" readonly="readonly" data-part="kept"; }
            }
            (filters())
        }
    }
}

/// What a kind of vision lacks, in plain words.
fn without(kind: Deficiency) -> &'static str {
    match kind {
        Deficiency::Protan => "a person without red",
        Deficiency::Deutan => "a person without green",
        Deficiency::Tritan => "a person without blue",
    }
}

/// Ways of seeing as filters on linear light.
fn filters() -> Markup {
    let ways = Deficiency::ALL.map(|kind| (kind.to_string(), Eye::machado(kind, 1.0)));
    let grey = [("grey".to_owned(), Eye::GREY)];
    html! {
        svg width="0" height="0" aria-hidden="true" focusable="false" {
            @for (name, eye) in ways.into_iter().chain(grey) {
                filter id={ "see-" (name) } color-interpolation-filters="linearRGB" {
                    feColorMatrix type="matrix" values=(matrix(eye)) {}
                }
            }
        }
    }
}

/// Rows of red, green, blue and alpha, each with a constant.
fn matrix(Eye(rows): Eye) -> String {
    let rows = rows.map(|row| {
        let row = row.map(|share| format!("{share:.6}")).join(" ");
        format!("{row} 0 0")
    });
    format!("{} 0 0 0 1 0", rows.join(" "))
}
