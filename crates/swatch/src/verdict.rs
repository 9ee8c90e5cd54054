//! What is wrong with a card's photo and what to do about it: errors where colours would be worthless, else warnings per
//! paint. Thresholds are choices of ours, with their reason beside them.

use velatura_document::Diagnostic;
use velatura_optics::colour::{Linear, luminance};

use super::chart::apart;
use super::layout_file::{FieldEntry, LayoutFile};
use super::reading::{CardReading, FieldColour, FieldReading};

/// Codes from here on may have been more: JPEG blurs the very end.
const CLIPPED_FROM: u8 = 254;
/// Bare white with more clipped pixels than this gives no white balance.
const MOST_CLIPPED_WHITE: f64 = 0.05;
/// Bare black should read at most this share of bare white; more, and the strips are elsewhere.
const STRIPS_APART: f64 = 0.5;
/// A matte black card reads about 0.013 of the white one; printer black, or glare on the card, reads more than this.
const BLACK_TOO_LIGHT: f64 = 0.06;
/// Bare white below this (of full scale) leaves the black fields in the camera's noise.
const DARK_WHITE: f64 = 0.2;
/// Blur: edges wider than this are told, and beyond the second they reach the measured middle of a 12 mm place.
const SOFT_EDGE_MM: f64 = 1.5;
const BLURRED_EDGE_MM: f64 = 3.0;
/// Light that falls off to less than this across the places, and bare places that miss the fitted light by more.
const UNEVEN: f64 = 0.4;
const MOST_RESIDUAL: f64 = 0.02;
/// A pixel this much above the place's luminance is a glint.
pub(super) const GLARE_ABOVE: f64 = 0.10;
/// Shares of a place's pixels from which on they are told.
const MOST_GLARE: f64 = 0.03;
const MOST_CLIPPED: f64 = 0.02;
const MOST_DROWNED: f64 = 0.25;
const MOST_LEFT_OUT: f64 = 0.25;
/// ΔE within a place: a brushed drawdown is never quite even, more than this is streaks.
const STREAKS: f64 = 3.0;
/// A place that is no further than this ΔE from bare card on both strips has nothing on it.
const BARE: f64 = 1.5;
/// Over black lighter than over white by more (in Y) than photographs scatter; `paints.toml` refuses it too.
const EXCHANGED: f64 = 0.01;
/// Mean ΔE that a good chart leaves at most.
const CHART_MISSES: f64 = 3.0;

/// Whether a pixel's true light may be more than its codes say.
pub(super) fn is_clipped(code: [u8; 3]) -> bool {
    code.iter().any(|code| *code >= CLIPPED_FROM)
}

pub(super) fn no_plane(name: &str, layout: &LayoutFile) -> Diagnostic {
    Diagnostic::error(name, "the four corners lie on one line")
        .within(layout.source.name())
        .expected("four corners of a card that is seen from above")
        .help("photograph the card from above, not along its face")
}

pub(super) fn no_light(name: &str, layout: &LayoutFile) -> Diagnostic {
    Diagnostic::error(
        name,
        "there is too little bare card to measure the light on it",
    )
    .within(layout.source.name())
    .expected(
        "bare black and bare white at three places across the card or more, in both directions",
    )
    .help("lay the drawdowns further apart, or name more areas with [[card.bare_white]]")
}

pub(super) fn flat_chart(name: &str, layout: &LayoutFile) -> Diagnostic {
    Diagnostic::error(name, "the chart's patches all have nearly the same hue")
        .within(format!("{}, [chart]", layout.source.name()))
        .expected("patches of red, green and blue hues")
        .help("add coloured patches, or take [chart] out")
}

pub(super) fn outside(name: &str, what: &str, layout: &LayoutFile) -> Diagnostic {
    Diagnostic::error(name, format!("{what} lies partly outside the photo"))
        .within(layout.source.name())
        .expected("the whole card in the photo")
        .help("photograph the whole card with a little of the table around it; or is `corners` wrong?")
}

/// Judges the bare card: its median tones (luminance of black and white in the photo), and the share of clipped white.
pub(super) fn bare(
    name: &str,
    layout: &LayoutFile,
    [black, white]: [f64; 2],
    clipped: f64,
) -> Result<(), Diagnostic> {
    if clipped > MOST_CLIPPED_WHITE {
        return Err(Diagnostic::error(
            name,
            format!("the bare white is clipped: {} of its pixels are at the upper end", percent(clipped)),
        )
        .expected("white below code 254 in every channel: its true light is lost otherwise, and with it the white balance")
        .help("photograph again with less exposure (on a phone: touch the card, then drag down), so that white is light grey"));
    }
    if black > STRIPS_APART * white {
        return Err(Diagnostic::error(
            name,
            format!("where bare black and bare white should lie, the photo shows luminance {black:.2} and {white:.2}"),
        )
        .within(layout.source.name())
        .expected("a black strip and a white strip where the layout says")
        .help("is the photo mirrored (front camera), the layout that of another card, or the black strip still missing on the printed card?"));
    }
    Ok(())
}

/// Everything about a whole reading.
pub(super) fn verdict(name: &str, layout: &LayoutFile, reading: &CardReading) -> Vec<Diagnostic> {
    let mut found = card(name, layout, reading);
    for field in &reading.fields {
        found.extend(paint(name, layout, field));
    }
    found
}

fn card(name: &str, layout: &LayoutFile, reading: &CardReading) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    let light = &reading.light;
    if let Some(edge) = light.edge_mm.filter(|edge| *edge > SOFT_EDGE_MM) {
        let told =
            format!("the photo is blurred: the edge between black and white is {edge:.1} mm wide");
        let problem = if edge > BLURRED_EDGE_MM {
            Diagnostic::error(name, told)
        } else {
            Diagnostic::warning(name, told)
        };
        found.push(
            problem
                .expected(format!("at most {SOFT_EDGE_MM} mm; from {BLURRED_EDGE_MM} mm on, neighbours run into each other"))
                .help("hold the phone still, clean its lens, touch the card to focus, or give it more light"),
        );
    }
    let cards = &layout.cards;
    let truth = luminance(cards.black.linear()) / luminance(cards.white.linear());
    if truth + light.veil > BLACK_TOO_LIGHT {
        found.push(
            Diagnostic::warning(
                name,
                format!("the bare black reads {} of the bare white", percent(truth + light.veil)),
            )
            .expected(format!("{} for the cards of the layout; the rest is taken as haze and taken off", percent(truth)))
            .help("turn the card until nothing shines on the black; printer black is not black enough: use matte black card or paint, or give its true colour under [cards]"),
        );
    }
    if light.evenness < UNEVEN || light.residual > MOST_RESIDUAL {
        found.push(
            Diagnostic::warning(
                name,
                format!(
                    "the light is uneven: {} across the drawdowns, and bare card misses the smooth light by {}",
                    percent(light.evenness),
                    percent(light.residual)
                ),
            )
            .expected(format!("at least {}, and at most {}", percent(UNEVEN), percent(MOST_RESIDUAL)))
            .help("use open shade or two lamps from both sides, and keep your own shadow off the card"),
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
                format!("the chart is missed by a mean ΔE of {:.1} even with the matrix", chart.mean_after),
            )
            .within(format!("{}, [chart]", layout.source.name()))
            .expected(format!("at most {CHART_MISSES}"))
            .help("do positions, order and reference values of the patches belong to this chart? does nothing shine on it?"),
        );
    }
    if reading.light.white_tone < DARK_WHITE {
        found.push(
            Diagnostic::warning(
                name,
                format!(
                    "the photo is dark: bare white reads luminance {:.2}",
                    reading.light.white_tone
                ),
            )
            .expected(format!(
                "{DARK_WHITE} or more, or dark fields drown in noise"
            ))
            .help("give it more light, or expose a little longer"),
        );
    }
    found
}

fn paint(name: &str, layout: &LayoutFile, field: &FieldReading) -> Vec<Diagnostic> {
    let (black, white) = (&field.over_black, &field.over_white);
    let mut found: Vec<Diagnostic> = [(black, "over black"), (white, "over white")]
        .into_iter()
        .flat_map(|(colour, strip)| strip_problems(name, colour, strip))
        .collect();
    let (dark, light) = (luminance(black.linear), luminance(white.linear));
    if dark > light + EXCHANGED {
        found.push(
            Diagnostic::error(
                name,
                format!("over black ({}) the field is lighter than over white ({})", black.srgb, white.srgb),
            )
            .expected("over black at most as light as over white")
            .help("does something shine on the black part? take the field out of the layout, or photograph again"),
        );
    }
    let bare = |colour: &FieldColour, card: Linear| apart(colour.linear.0, card.0) < BARE;
    if bare(black, layout.cards.black.linear()) && bare(white, layout.cards.white.linear()) {
        found.push(
            Diagnostic::warning(name, "the field looks like bare card on both strips")
                .expected("a drawdown across both")
                .help("take the field out of the layout, or is its `place` another one?"),
        );
    }
    found
        .into_iter()
        .map(|problem| problem.within(place_of(layout, &field.entry)))
        .collect()
}

fn strip_problems(name: &str, colour: &FieldColour, strip: &str) -> Vec<Diagnostic> {
    let warning = |found: String, expected: String, help: &str| {
        Diagnostic::warning(name, found)
            .expected(expected)
            .help(help)
    };
    let mut found = Vec::new();
    if colour.glare > MOST_GLARE {
        found.push(warning(
            format!("{strip}, {} of the field shines", percent(colour.glare)),
            format!(
                "at most {}; what shines is left out, but may have neighbours that shine less",
                percent(MOST_GLARE)
            ),
            "turn card or lamp until no reflection is seen, or let the film dry fully",
        ));
    }
    if colour.clipped > MOST_CLIPPED {
        found.push(warning(
            format!(
                "{strip}, {} of the field is clipped",
                percent(colour.clipped)
            ),
            "every channel below code 254: a clipped channel may have been any amount more"
                .to_owned(),
            "photograph again with less exposure",
        ));
    }
    if colour.drowned > MOST_DROWNED && colour.in_gamut {
        found.push(warning(
            format!(
                "{strip}, {} of the field has a channel at 0",
                percent(colour.drowned)
            ),
            "codes above 0: what lies below is lost".to_owned(),
            "expose longer, and save without filters or automatic contrast",
        ));
    }
    if !colour.in_gamut {
        found.push(warning(
            format!("{strip}, the colour lies outside sRGB; {} is the nearest code", colour.srgb),
            "a colour that a code can hold".to_owned(),
            "mixtures with it may look a little duller than they are; an instrument's spectrum has no such limit",
        ));
    }
    // Streaks and glints leave pixels out as well: told once.
    if colour.spread > STREAKS {
        found.push(warning(
            format!("{strip}, the film is uneven: its parts differ by ΔE {:.1}", colour.spread),
            format!("at most {STREAKS}"),
            "brush it again with more paint and a wide soft brush, or draw it down with a straight edge",
        ));
    } else if colour.left_out > MOST_LEFT_OUT && colour.glare <= MOST_GLARE {
        found.push(warning(
            format!(
                "{strip}, {} of the field's pixels do not agree with the rest",
                percent(colour.left_out)
            ),
            format!("at most {}", percent(MOST_LEFT_OUT)),
            "does the film reach all of its place? correct the layout, or brush it again",
        ));
    }
    found
}

fn place_of(layout: &LayoutFile, entry: &FieldEntry) -> String {
    let place = layout.source.place(&entry.name.at);
    format!(
        "field \"{}\" (place {}, {}:{})",
        entry.title(),
        entry.place + 1,
        layout.source.name(),
        place.line
    )
}

fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}
