//! The colour of the light, as the grey figure shows it: a single cast is attributed to the lamp, two at once cannot be.
//!
//! The mean linear light of the figure is brought to L\* 60, so that a cast reads the same in a dark photo and a bright one.

use rayon::prelude::*;
use velatura_optics::colour::{Encoded, Linear, luminance};

use super::{Finding, share};
use crate::plate::Plate;

/// Chroma C\* at L\* 60 above which a cast is reported. From memory of phones' white balance: it leaves up to about 6.
const STRONG: f64 = 9.0;
/// Distance in a\*, b\* between two halves of the figure from which there are two lights.
const TWO_LIGHTS: f64 = 7.0;
/// Luminance of L\* 60.
const MIDDLE: f64 = 0.2812;
/// Fewest pixels of a half that is checked, as a share of the figure's.
const LEAST_HALF: f64 = 0.1;

pub(super) fn check(plate: &Plate) -> Vec<Finding> {
    let (width, height) = (plate.subject.width as usize, plate.subject.height as usize);
    let [a, b] = ab(Linear(plate.subject.lamp));
    let mut found = Vec::new();
    if libm::hypot(a, b) > STRONG {
        found.push(Finding {
            found: format!("the grey figure has a colour cast: it looks {} (C* {:.0})", hue(a, b), libm::hypot(a, b)),
            expected: format!("a neutral grey, C* at most {STRONG}: previews keep the colour of the lamp, so glazes look as they would under it"),
            help: "set the camera's white balance to the lamp, or to a grey or white card next to the figure; ignore this if the undercoat itself is coloured",
        });
    }
    // The figure's own middle, so that both halves have pixels wherever it is.
    let Some(middle) = middle(plate) else {
        return found;
    };
    let halves = [
        (0..height, 0..middle[0], "left"),
        (0..height, middle[0]..width, "right"),
        (0..middle[1], 0..width, "upper"),
        (middle[1]..height, 0..width, "lower"),
    ];
    let all = plate
        .subject
        .region
        .par_iter()
        .filter(|region| **region != 0)
        .count();
    let tones: Vec<Option<[f64; 2]>> = halves
        .iter()
        .map(|(rows, columns, _)| {
            let (sum, count) = mean(plate, rows.clone(), columns.clone());
            (share(count, all) >= LEAST_HALF).then(|| ab(Linear(sum)))
        })
        .collect();
    for pair in [[0, 1], [2, 3]] {
        let [Some(one), Some(other)] = pair.map(|index| tones[index]) else {
            continue;
        };
        let apart = libm::hypot(one[0] - other[0], one[1] - other[1]);
        if apart > TWO_LIGHTS {
            let [(.., here), (.., there)] = pair.map(|index| &halves[index]);
            found.push(Finding {
                found: format!("the light has two colours: the {here} half of the figure looks {} compared with the {there} half", hue(one[0] - other[0], one[1] - other[1])),
                expected: format!("one lamp: a*, b* of the halves differ by at most {TWO_LIGHTS} (here {apart:.0})"),
                help: "switch the other lamp off, or draw the curtain",
            });
        }
    }
    found
}

/// Mean column and row of the figure.
fn middle(plate: &Plate) -> Option<[usize; 2]> {
    let width = plate.subject.width as usize;
    let (count, x, y) = plate
        .subject
        .region
        .par_iter()
        .enumerate()
        .filter(|(_, region)| **region != 0)
        .map(|(at, _)| (1_usize, at % width, at / width))
        .reduce(|| (0, 0, 0), |a, b| (a.0 + b.0, a.1 + b.1, a.2 + b.2));
    (count > 0).then(|| [x / count, y / count])
}

/// Sum of linear light and count of the figure's pixels in a part of the photo; the sum is the same on any thread.
fn mean(
    plate: &Plate,
    rows: std::ops::Range<usize>,
    columns: std::ops::Range<usize>,
) -> ([f64; 3], usize) {
    let width = plate.subject.width as usize;
    let mut counts = vec![[0_u32; 3]; 256];
    let mut pixels = 0;
    for row in rows {
        let run = row * width + columns.start..row * width + columns.end;
        for (code, region) in plate.subject.photo[run.clone()]
            .iter()
            .zip(&plate.subject.region[run])
        {
            if *region != 0 {
                pixels += 1;
                for (channel, code) in code.iter().enumerate() {
                    counts[usize::from(*code)][channel] += 1;
                }
            }
        }
    }
    let mut sum = [0.0; 3];
    for (code, counts) in (0..=255).zip(&counts) {
        let [linear, ..] = Encoded([code; 3]).linear().0;
        for (sum, count) in sum.iter_mut().zip(counts) {
            *sum += linear * f64::from(*count);
        }
    }
    (sum, pixels)
}

/// a\*, b\* of a colour brought to L\* 60.
fn ab(light: Linear) -> [f64; 2] {
    let y = luminance(light);
    if y <= 0.0 {
        return [0.0; 2];
    }
    let [_, a, b] = Linear(light.0.map(|one| one / y * MIDDLE)).lab().0;
    [a, b]
}

/// A word for a direction in a\*, b\*.
fn hue(a: f64, b: f64) -> &'static str {
    let degrees = libm::atan2(b, a).to_degrees().rem_euclid(360.0);
    match degrees {
        d if d < 20.0 => "pink",
        d if d < 75.0 => "orange",
        d if d < 110.0 => "yellow",
        d if d < 200.0 => "green",
        d if d < 290.0 => "blue",
        d if d < 330.0 => "violet",
        _ => "pink",
    }
}
