//! What is wrong with a card's photo and what to do about it: errors if colours would be useless, otherwise warnings.
//! The thresholds are our choices, with their reasons. Not here: the drawdowns themselves (`field_verdict.rs`).

use velatura_document::Diagnostic;
use velatura_optics::colour::{Encoded, luminance};

use super::card_reading::CardReading;
use super::chart::apart;
use super::field_verdict::{of_fields, percent};
use super::layout_file::LayoutFile;

/// From this code up, the true value may be higher: JPEG blurs the very end.
const CLIPPED_FROM: u8 = 254;
/// With more clipped pixels than this, bare white gives no white balance.
const MOST_CLIPPED_WHITE: f64 = 0.05;
/// Bare black measures at most this share of bare white; above that, the strips are not where the layout has them.
const STRIPS_APART: f64 = 0.5;
/// A matte black card measures about 0.013 of the white one; printer black, or glare on the card, measures more than this.
const BLACK_TOO_LIGHT: f64 = 0.06;
/// Bare white below this (of full scale) leaves the black fields in the camera's noise.
const DARK_WHITE: f64 = 0.2;
/// Blur: edges wider than this are reported, and beyond the second they reach the measured middle of a 12 mm place.
const SOFT_EDGE_MM: f64 = 1.5;
const BLURRED_EDGE_MM: f64 = 3.0;
/// Light that falls off to less than this across the places, and bare places that miss the fitted light by more.
const UNEVEN: f64 = 0.4;
const MOST_RESIDUAL: f64 = 0.02;
/// A pixel this much above the place's luminance is a glint.
pub(super) const GLARE_ABOVE: f64 = 0.10;
/// A place without a name that is further than this ΔE from bare card has paint on it: more than a smudge.
const PAINTED: f64 = 8.0;
/// Largest mean ΔE of a good chart.
const CHART_MISSES: f64 = 3.0;

/// Whether a pixel's true light may be more than its codes say.
pub(super) fn is_clipped(code: [u8; 3]) -> bool {
    code.iter().any(|code| *code >= CLIPPED_FROM)
}

pub(super) fn no_plane(name: &str, layout: &LayoutFile) -> Diagnostic {
    Diagnostic::error(name, "the four corners are on one line")
        .within(layout.source.name())
        .expected("four corners of a card seen from above")
        .help("photograph the card from above, not from the side")
}

pub(super) fn no_light(name: &str, layout: &LayoutFile) -> Diagnostic {
    Diagnostic::error(
        name,
        "there is too little bare card to measure the light",
    )
    .within(layout.source.name())
    .expected(
        "bare black and bare white in at least three places across the card, in both directions",
    )
    .help("place the drawdowns further apart, or list more bare areas with [[card.bare_white]]")
}

pub(super) fn flat_chart(name: &str, layout: &LayoutFile) -> Diagnostic {
    Diagnostic::error(name, "all patches of the chart have nearly the same hue")
        .within(format!("{}, [chart]", layout.source.name()))
        .expected("patches of red, green and blue hues")
        .help("add coloured patches, or remove [chart]")
}

pub(super) fn outside(name: &str, what: &str, layout: &LayoutFile) -> Diagnostic {
    Diagnostic::error(name, format!("{what} is partly outside the photo"))
        .within(layout.source.name())
        .expected("the whole card in the photo")
        .help(
            "photograph the whole card with a little of the table around it, or correct `corners`",
        )
}

/// Checks the bare card: its median tones (luminance of black and white in the photo), and the share of clipped white.
pub(super) fn bare(
    name: &str,
    layout: &LayoutFile,
    [black, white]: [f64; 2],
    clipped: f64,
) -> Result<(), Diagnostic> {
    if clipped > MOST_CLIPPED_WHITE {
        return Err(Diagnostic::error(
            name,
            format!("the bare white is clipped: {} of its pixels are at the maximum", percent(clipped)),
        )
        .expected("white below code 254 in every channel: otherwise the light on it, and so the white balance, is unknown")
        .help("take the photo again with less exposure (on a phone: touch the card, then drag down), so that white is light grey"));
    }
    if black > STRIPS_APART * white {
        return Err(Diagnostic::error(
            name,
            format!("where bare black and bare white should be, the photo shows luminance {black:.2} and {white:.2}"),
        )
        .within(layout.source.name())
        .expected("a black strip and a white strip where the layout has them")
        .help("is the photo mirrored (front camera)? does the layout belong to another card? is the black strip of the printed card still missing?"));
    }
    Ok(())
}

/// Everything about a whole reading.
pub(super) fn verdict(name: &str, layout: &LayoutFile, reading: &CardReading) -> Vec<Diagnostic> {
    let mut found = card(name, layout, reading);
    found.extend(of_fields(name, layout, &reading.fields));
    found
}

/// Whether a place that should be bare has paint on it: its reflectance, and the bare card's colour.
pub(super) fn is_painted(colour: [f64; 3], card: Encoded) -> bool {
    apart(colour, card.linear().0) > PAINTED
}

/// Painted places that the layout does not name, in one warning.
pub(super) fn unnamed(name: &str, layout: &LayoutFile, places: &[usize]) -> Option<Diagnostic> {
    let numbers: Vec<String> = places.iter().map(|place| (place + 1).to_string()).collect();
    let found = match numbers.as_slice() {
        [] => return None,
        [one] => format!("place {one} is painted, but the layout does not name it"),
        many => format!(
            "{} places are painted, but the layout does not name them: {}",
            many.len(),
            many.join(", ")
        ),
    };
    Some(
        Diagnostic::warning(name, found)
            .within(layout.source.name())
            .expected("a [[field]] for every drawdown, in the order of the places or with `place`")
            .help("add the missing fields; if the names belong to other places, check their order"),
    )
}

fn card(name: &str, layout: &LayoutFile, reading: &CardReading) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    let light = &reading.light;
    if let Some(edge) = light.edge_mm.filter(|edge| *edge > SOFT_EDGE_MM) {
        let words =
            format!("the photo is blurred: the edge between black and white is {edge:.1} mm wide");
        let problem = if edge > BLURRED_EDGE_MM {
            Diagnostic::error(name, words)
        } else {
            Diagnostic::warning(name, words)
        };
        found.push(
            problem
                .expected(format!("at most {SOFT_EDGE_MM} mm; from {BLURRED_EDGE_MM} mm, neighbouring fields blend into each other"))
                .help("hold the phone still, clean its lens, touch the card to focus, or use more light"),
        );
    }
    let cards = &layout.cards;
    let truth = luminance(cards.black.linear()) / luminance(cards.white.linear());
    if truth + light.veil > BLACK_TOO_LIGHT {
        found.push(
            Diagnostic::warning(
                name,
                format!("the bare black measures {} of the bare white", percent(truth + light.veil)),
            )
            .expected(format!("{} for the cards of the layout; the rest counts as haze and is subtracted", percent(truth)))
            .help("turn the card until nothing reflects in the black; printer black is not black enough: use matte black card or paint, or set its true colour in [cards]"),
        );
    }
    if light.evenness < UNEVEN || light.residual > MOST_RESIDUAL {
        found.push(
            Diagnostic::warning(
                name,
                format!(
                    "the light is uneven: it falls to {} across the drawdowns, and bare card departs from smooth light by {}",
                    percent(light.evenness),
                    percent(light.residual)
                ),
            )
            .expected(format!("at least {}, and at most {}", percent(UNEVEN), percent(MOST_RESIDUAL)))
            .help("use open shade or two lamps from both sides, and keep your shadow off the card"),
        );
    }
    if let Some(chart) = reading
        .chart
        .as_ref()
        .filter(|chart| chart.mean_after > CHART_MISSES)
    {
        found.push(
            Diagnostic::warning(
                name,
                format!("the mean error on the chart is ΔE {:.1}, even with the matrix", chart.mean_after),
            )
            .within(format!("{}, [chart]", layout.source.name()))
            .expected(format!("at most {CHART_MISSES}"))
            .help("check that positions, order and reference values of the patches belong to this chart, and look for glare"),
        );
    }
    if reading.light.white_tone < DARK_WHITE {
        found.push(
            Diagnostic::warning(
                name,
                format!(
                    "the photo is dark: bare white has luminance {:.2}",
                    reading.light.white_tone
                ),
            )
            .expected(format!(
                "{DARK_WHITE} or more; below that, noise hides dark fields"
            ))
            .help("use more light, or expose a little longer"),
        );
    }
    found
}
