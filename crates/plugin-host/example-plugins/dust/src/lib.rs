//! Weathering dust: a fine light silt on raised parts, a little thicker towards the feet.
//!
//! In: rows of a picture, four numbers a pixel (linear sRGB and coverage), with relief and light. Out: the same, changed in
//! place. Uses only + − × ÷, so that it gives the same bits in the program and as a component. The look is invented.

#[cfg(target_arch = "wasm32")]
mod component;

use serde_json::Value;

/// Its name in `[stage.NAME]`.
pub const NAME: &str = "dust";
/// Its version.
pub const VERSION: &str = "0.1.0";
/// What it takes.
pub const TAKES: &str = "frame, relief, light";
/// What it gives.
pub const GIVES: &str = "frame with dust on raised parts";
/// Every pixel is independent.
pub const REACH_PX: u32 = 0;

/// JSON Schema of its parameters.
pub const PARAMETERS: &str = r##"{
  "type": "object",
  "additionalProperties": false,
  "properties": {
    "amount": {
      "type": "number", "minimum": 0, "maximum": 1, "default": 0.4,
      "description": "how much dust: 1 hides the highest edges"
    },
    "colour": {
      "type": "string", "pattern": "^#[0-9a-fA-F]{6}$", "default": "#9c8f78",
      "description": "colour of the dust, #rrggbb"
    },
    "from": {
      "type": "number", "minimum": 0, "maximum": 1, "default": 0.6,
      "description": "relief at which it begins: 0 in the recesses, 1 on the highest edges only"
    },
    "grain": {
      "type": "number", "minimum": 0, "maximum": 1, "default": 0.3,
      "description": "how uneven it lies: 0 even, 1 in specks"
    }
  }
}"##;

/// Width of a speck on the figure, in mm. Invented: about what an eye resolves at arm's length.
const SPECK_MM: f32 = 0.12;
/// Share of the amount at the top of the picture; the bottom gets all of it. Invented.
const SHARE_AT_TOP: f32 = 0.7;
/// Pixels processed together.
const RUN: usize = 64;

/// The parameters of dust.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dust {
    /// 0…1.
    pub amount: f32,
    /// Linear sRGB in full light.
    pub colour: [f32; 3],
    /// Relief at which it begins, 0…1.
    pub from: f32,
    /// 0…1.
    pub grain: f32,
}

/// Whole rows of a picture, without its pixels.
#[derive(Debug, Clone, Copy)]
pub struct Rows<'a> {
    /// Pixels per row.
    pub width: usize,
    /// Rows of the picture above these.
    pub first_row: usize,
    /// Rows of the whole picture.
    pub picture_rows: usize,
    /// Pixels per millimetre of the figure.
    pub px_per_mm: f32,
    /// Light per unit of `light`; 1 is full light.
    pub light_unit: f32,
    /// 0…1 as 0…65535, row-major.
    pub relief: &'a [u16],
    /// In units of `light_unit`, row-major.
    pub light: &'a [u16],
}

impl Dust {
    /// Reads validated parameters.
    ///
    /// # Errors
    /// A sentence if they do not fit the schema.
    pub fn read(parameters: &str) -> Result<Self, String> {
        let value: Value = serde_json::from_str(parameters).map_err(|error| error.to_string())?;
        let number = |key: &str| {
            let number = value.get(key).and_then(Value::as_f64);
            #[allow(clippy::cast_possible_truncation, reason = "pixels are f32")]
            let number = number.map(|number| number as f32);
            number.ok_or_else(|| format!("\"{key}\" is not a number"))
        };
        let colour = value.get("colour").and_then(Value::as_str);
        Ok(Self {
            amount: number("amount")?,
            colour: colour
                .and_then(linear)
                .ok_or("\"colour\" is not six digits after #, as in #9c8f78")?,
            from: number("from")?,
            grain: number("grain")?,
        })
    }

    /// Lets the dust settle on `pixels`: four numbers each, for all places of `rows`. Where there is no coat, there is no dust.
    pub fn settle(&self, rows: &Rows<'_>, pixels: &mut [f32]) {
        let specks_per_px = 1.0 / (SPECK_MM * rows.px_per_mm);
        let width = rows.width.max(1);
        let [r, g, b] = self.colour.map(|channel| channel * rows.light_unit);
        let colour = [r, g, b, 0.0];
        // In two steps, so that both are vectorised: over pixels, then over the four numbers of a pixel.
        let mut hidden = [0.0_f32; RUN];
        let lines = pixels
            .chunks_mut(4 * width)
            .zip(rows.relief.chunks(width))
            .zip(rows.light.chunks(width));
        for (row, ((pixels, relief), light)) in (rows.first_row..).zip(lines) {
            let height = (whole(row) + 0.5) / whole(rows.picture_rows.max(1));
            let line = Line {
                amount: self.amount * (SHARE_AT_TOP + (1.0 - SHARE_AT_TOP) * height),
                seed: scattered(cell((whole(row) + 0.5) * specks_per_px)),
                specks_per_px,
            };
            let runs = pixels
                .chunks_mut(4 * RUN)
                .zip(relief.chunks(RUN))
                .zip(light.chunks(RUN));
            for (column, ((pixels, relief), light)) in (0..).step_by(RUN).zip(runs) {
                self.cover(&line, column, relief, &mut hidden);
                for ((pixel, hidden), light) in pixels.chunks_exact_mut(4).zip(&hidden).zip(light) {
                    let share = if pixel[3] > 0.0 { *hidden } else { 0.0 };
                    let light = f32::from(*light);
                    // All four numbers in the same way, which is one vector instruction; the fourth stays.
                    for ((number, colour), share) in
                        pixel.iter_mut().zip(colour).zip([share, share, share, 0.0])
                    {
                        *number += (colour * light - *number) * share;
                    }
                }
            }
        }
    }

    /// How much of each pixel of a run is hidden, from `column` of the row on.
    fn cover(&self, line: &Line, column: usize, relief: &[u16], hidden: &mut [f32; RUN]) {
        let per_relief = 1.0 / 65535.0;
        // At 1 the smooth step becomes a hard one.
        let per_span = 1.0 / (1.0 - self.from).max(1e-6);
        for (x, (hidden, relief)) in (0_u16..).zip(hidden.iter_mut().zip(relief)) {
            let raised = (f32::from(*relief) * per_relief - self.from) * per_span;
            let raised = raised.clamp(0.0, 1.0);
            let place = (whole(column) + f32::from(x) + 0.5) * line.specks_per_px;
            let gap = unit(scattered(cell(place) ^ line.seed)) * self.grain;
            *hidden = line.amount * (raised * raised * (3.0 - 2.0 * raised)) * (1.0 - gap);
        }
    }
}

/// Values common to all pixels of a row.
struct Line {
    amount: f32,
    seed: u32,
    specks_per_px: f32,
}

/// A count as a number; pictures are far smaller than 2^24 pixels a side.
#[allow(clippy::cast_precision_loss, reason = "as said")]
fn whole(count: usize) -> f32 {
    count as f32
}

/// The number of the speck at a place, `specks` ≥ 0: to the nearest whole number, up to 2^22. An addition that leaves the whole
/// number in the low bits is a simple vector instruction everywhere; a conversion is not.
fn cell(specks: f32) -> u32 {
    (specks + 8_388_608.0).to_bits() & 0x7f_ffff
}

/// Bits that look random but are always the same for the same number. Two rounds of multiply and shift; the factors are odd
/// numbers chosen by eye, good enough for specks.
fn scattered(number: u32) -> u32 {
    let number = (number ^ 0x5bd1_e995).wrapping_mul(0x9e37_79b1);
    let number = (number ^ (number >> 15)).wrapping_mul(0x85eb_ca77);
    number ^ (number >> 13)
}

/// Bits as a number from 0 to just below 1.
fn unit(bits: u32) -> f32 {
    f32::from_bits(0x3f80_0000 | (bits >> 9)) - 1.0
}

/// Linear sRGB of `#rrggbb`.
fn linear(colour: &str) -> Option<[f32; 3]> {
    let digits = colour.strip_prefix('#')?;
    if digits.len() != 6 || !digits.bytes().all(|digit| digit.is_ascii_hexdigit()) {
        return None;
    }
    let code = u32::from_str_radix(digits, 16).ok()?;
    let [_, r, g, b] = code.to_be_bytes();
    Some([r, g, b].map(decoded))
}

/// sRGB code → linear. Source: IEC 61966-2-1.
pub fn decoded(code: u8) -> f32 {
    let encoded = f64::from(code) / 255.0;
    let linear = if encoded <= 0.04045 {
        encoded / 12.92
    } else {
        let base = (encoded + 0.055) / 1.055;
        let square = base * base;
        // base^2.4: the square times its fifth root.
        square * fifth_root(square)
    };
    #[allow(clippy::cast_possible_truncation, reason = "pixels are f32")]
    let linear = linear as f32;
    linear
}

/// By Newton's method from 1; for numbers from 0.001 to 1 it converges long before 40 steps. A library's power function would
/// differ in the last bit between the program and the component.
fn fifth_root(number: f64) -> f64 {
    (0..40).fold(1.0, |root, _| {
        let fourth = (root * root) * (root * root);
        (4.0 * root + number / fourth) / 5.0
    })
}
