//! How sharp the photo is: the width of the edge between black and white strip, from 10 % to 90 % of the step.
//!
//! In: the photo and the light on the card. Out: mm, the median over the bare stretches of all pairs. Blur matters only
//! if it carries a neighbour's colour into the part of a place that is measured, so it is checked in mm, not in pixels.

use super::geometry::{CardGeometry, Strip};
use super::light::LightField;
use super::plane::Plane;
use super::samples::{linear, median, pixel, y};
use velatura_photo::Photo;

/// How far the profile reaches to each side of the edge, and its steps, in mm.
const REACH_MM: f64 = 5.0;
const STEP_MM: f64 = 0.1;
/// Lines across the edge that are averaged into one profile.
const LINES: u32 = 9;
/// The ends of a profile that count as bare black and bare white, in steps.
const END: usize = 10;
/// The strips touch if their edges are no further apart than this, in mm.
const TOUCHING_MM: f64 = 0.5;

/// Width of the edge in mm; `None` if black and white strip do not touch, or no edge is visible.
pub(super) fn edge_mm(
    photo: &Photo,
    plane: &Plane,
    card: &CardGeometry,
    light: &LightField,
) -> Option<f64> {
    let mut widths = Vec::new();
    for pair in &card.pairs {
        let down = pair.white_mm[0] >= pair.black_mm[1] - TOUCHING_MM;
        let (edge, apart) = if down {
            (pair.black_mm[1], pair.white_mm[0] - pair.black_mm[1])
        } else {
            (pair.white_mm[1], pair.black_mm[0] - pair.white_mm[1])
        };
        if apart.abs() > TOUCHING_MM {
            continue;
        }
        for bare in card.bare(pair, Strip::Black) {
            let toward_white = if down { 1.0 } else { -1.0 };
            let profile: Option<Vec<f64>> = steps()
                .map(|offset| {
                    let at = edge + toward_white * offset;
                    let tones: Option<Vec<f64>> = (0..LINES)
                        .map(|line| {
                            let share = (f64::from(line) + 0.5) / f64::from(LINES);
                            let mm = [bare.from[0] + share * bare.size()[0], at];
                            let code = pixel(photo, plane.px(mm))?;
                            Some(y(light.reflectance(mm, linear(code))))
                        })
                        .collect();
                    // The median: one stray brush mark on a line is not the edge.
                    Some(median(tones?.into_iter()))
                })
                .collect();
            widths.extend(profile.and_then(|profile| width_of(&profile)));
        }
    }
    (!widths.is_empty()).then(|| median(widths.into_iter()))
}

fn steps() -> impl Iterator<Item = f64> {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a hundred steps"
    )]
    let count = (2.0 * REACH_MM / STEP_MM) as u32;
    (0..=count).map(|step| f64::from(step) * STEP_MM - REACH_MM)
}

/// From 10 % to 90 % of a rising step, in mm.
fn width_of(profile: &[f64]) -> Option<f64> {
    let dark = median(profile[..END].iter().copied());
    let light = median(profile[profile.len() - END..].iter().copied());
    if light - dark < 0.2 {
        return None;
    }
    let level = |share: f64| dark + share * (light - dark);
    // The rise is between the last place that is still dark and the first after it that is light.
    let last_dark = profile.iter().rposition(|tone| *tone < level(0.1))?;
    let first_light = profile[last_dark..]
        .iter()
        .position(|tone| *tone > level(0.9))?;
    #[allow(clippy::cast_precision_loss, reason = "a hundred steps")]
    let steps = first_light as f64;
    Some((steps - 1.0).max(0.0) * STEP_MM)
}
