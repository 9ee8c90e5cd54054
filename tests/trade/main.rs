//! Facts of the trade (common practice, no source), on the demo's invented paints and a few more.

use velatura_document::SourceText;
use velatura_optics::calibrate::{PaintBox, calibrate};
use velatura_optics::coat::{Coat, colour_over_grey, stack_at};
use velatura_optics::colour::{Lab, Linear, luminance};
use velatura_optics::paint::Optics;
use velatura_optics::paints_file::read_paints_file;

/// Invented paints.
const PAINTS: &str = r##"format = "velatura-paints/1"
[cards]
black = "#1c1c1c"
white = "#f0f0f0"
[[paint]]
name = "yellow"
over_black = "#3f3a14"
over_white = "#f0d020"
[[paint]]
name = "blue"
over_black = "#182040"
over_white = "#3058b8"
[[paint]]
name = "magenta"
over_black = "#3a1a30"
over_white = "#d02880"
[[paint]]
name = "orange"
over_black = "#4a2a14"
over_white = "#f08028"
[[paint]]
name = "green"
over_black = "#1a3020"
over_white = "#40a050"
[[paint]]
name = "purple"
over_black = "#201838"
over_white = "#6030a0"
[[paint]]
name = "black"
over_black = "#181818"
over_white = "#282828"
[[paint]]
name = "white"
over_black = "#c8c8c8"
over_white = "#f2f2f2"
[[paint]]
name = "grey"
over_black = "#707070"
over_white = "#8c8c8c"
"##;

fn paints() -> PaintBox {
    let source = SourceText::new("paints.toml", PAINTS);
    let file = read_paints_file(&source).unwrap_or_else(|problems| panic!("{problems:?}"));
    let (paints, warnings) = calibrate(&file.value).into_parts();
    assert!(warnings.is_empty(), "{warnings:?}");
    paints
}

fn mix(paints: &PaintBox, parts: &[(&str, f64)]) -> Coat {
    let parts: Vec<(f64, &Optics)> = parts
        .iter()
        .map(|(name, part)| {
            (
                *part,
                paints
                    .find(name)
                    .map_or(&Optics::MEDIUM, |paint| &paint.optics),
            )
        })
        .collect();
    Coat::even(Optics::mix(parts.iter().copied()), 1.0)
}

fn dried(paints: &PaintBox, coats: &[Coat], grey: f64) -> Linear {
    colour_over_grey(&stack_at(coats, 0.5), grey, paints.cards.specular)
}

/// Hue in degrees and chroma, CIELAB.
fn hue(colour: Linear) -> (f64, f64) {
    let Lab([_, a, b]) = colour.lab();
    (b.atan2(a).to_degrees().rem_euclid(360.0), a.hypot(b))
}

#[test]
fn yellow_over_blue_goes_green_and_magenta_over_yellow_goes_orange() {
    let paints = paints();
    let coat = |name| mix(&paints, &[(name, 1.0)]);
    let (green, chroma) = hue(dried(&paints, &[coat("blue"), coat("yellow")], 0.8));
    assert!(
        (110.0..200.0).contains(&green) && chroma > 10.0,
        "hue {green}, chroma {chroma}"
    );
    let (orange, chroma) = hue(dried(&paints, &[coat("yellow"), coat("magenta")], 0.8));
    assert!(
        (15.0..75.0).contains(&orange) && chroma > 20.0,
        "hue {orange}, chroma {chroma}"
    );
}

#[test]
fn black_and_yellow_make_a_dull_brown_and_three_colours_a_brown() {
    let paints = paints();
    let (_, yellow) = hue(dried(&paints, &[mix(&paints, &[("yellow", 1.0)])], 0.8));
    let brown = dried(
        &paints,
        &[mix(&paints, &[("yellow", 3.0), ("black", 1.0)])],
        0.8,
    );
    let (angle, chroma) = hue(brown);
    assert!(
        (60.0..125.0).contains(&angle) && chroma < yellow / 2.0 && luminance(brown) < 0.3,
        "{angle} {chroma}"
    );
    let three = |purple| {
        dried(
            &paints,
            &[mix(
                &paints,
                &[("purple", purple), ("orange", 2.0), ("green", 1.0)],
            )],
            0.8,
        )
    };
    let (angle, chroma) = hue(three(1.0));
    assert!(
        (0.0..100.0).contains(&angle) && chroma < 50.0,
        "{angle} {chroma}"
    );
    assert!(
        luminance(three(2.0)) < luminance(three(1.0)),
        "more purple is darker"
    );
}

#[test]
fn white_lightens_and_dulls_and_grey_with_purple_is_a_greyish_lilac() {
    let paints = paints();
    let magenta = dried(&paints, &[mix(&paints, &[("magenta", 1.0)])], 0.2);
    let tint = dried(
        &paints,
        &[mix(&paints, &[("magenta", 1.0), ("white", 2.0)])],
        0.2,
    );
    assert!(luminance(tint) > luminance(magenta));
    let pure = dried(&paints, &[mix(&paints, &[("magenta", 1.0)])], 0.8);
    let pale = dried(
        &paints,
        &[mix(&paints, &[("magenta", 1.0), ("white", 2.0)])],
        0.8,
    );
    assert!(hue(pale).1 < hue(pure).1, "white dulls");
    let lilac = dried(
        &paints,
        &[mix(
            &paints,
            &[("white", 2.0), ("grey", 1.0), ("purple", 1.0)],
        )],
        0.5,
    );
    let (angle, chroma) = hue(lilac);
    assert!(
        (270.0..340.0).contains(&angle) && (4.0..40.0).contains(&chroma),
        "{angle} {chroma}"
    );
}

#[test]
fn glazes_follow_what_lies_below_them() {
    let paints = paints();
    for name in ["yellow", "blue", "magenta", "orange", "green", "purple"] {
        let over = |grey| dried(&paints, &[mix(&paints, &[(name, 1.0)])], grey);
        assert!(
            luminance(over(0.8)) > luminance(over(0.4))
                && luminance(over(0.4)) > luminance(over(0.1)),
            "{name}"
        );
        assert!(
            luminance(over(0.012)) < 0.06,
            "{name} over black stays nearly black"
        );
        // With more medium, the colour is closer to the undercoat.
        let off = |medium: f64| {
            let thinned = dried(
                &paints,
                &[mix(&paints, &[(name, 1.0), ("medium", medium)])],
                0.5,
            );
            velatura_optics::colour::delta_e(thinned.lab(), Linear::grey(0.5).lab())
        };
        assert!(off(1.0) > off(4.0) && off(4.0) > off(20.0), "{name}");
    }
    // A bright palette needs a bright undercoat.
    let (_, bright) = hue(dried(&paints, &[mix(&paints, &[("orange", 1.0)])], 0.8));
    let (_, dark) = hue(dried(&paints, &[mix(&paints, &[("orange", 1.0)])], 0.1));
    assert!(bright > 1.5 * dark, "{bright} {dark}");
}
