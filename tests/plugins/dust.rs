//! Dust: the component returns the same as its source, bit for bit.

use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};
use velatura_optics::colour::decode;
use velatura_pipeline::AnyStage;
use velatura_pipeline::figure::SimulatedUndercoat;
use velatura_pipeline::scheme::{Scheme, Varnish};
use velatura_pipeline::shaders::Planes;
use velatura_pipeline::stage::{AttachPoint, Finish, FrameBand, StageInfo};

use crate::dust_source::{Dust, GIVES, NAME, PARAMETERS, REACH_PX, Rows, TAKES, VERSION, decoded};
use crate::{attached, parameters};

/// The defaults, all values at their ends, and values between.
const PARAMETER_SETS: [&str; 3] = [
    r##"{"amount": 0.4, "colour": "#9c8f78", "from": 0.6, "grain": 0.3}"##,
    r##"{"amount": 1, "colour": "#ffffff", "from": 1, "grain": 1}"##,
    r##"{"amount": 0.15, "colour": "#010203", "from": 0, "grain": 0}"##,
];

/// Width, rows, rows above, rows of the picture, pixels per mm.
const SIZES: [(usize, usize, usize, usize, f64); 6] = [
    (1, 1, 0, 1, 20.0),
    (3, 2, 5, 9, 0.7),
    (64, 3, 0, 3, 12.5),
    (65, 7, 100, 4000, 93.75),
    (1000, 8, 2992, 3000, 93.75),
    (4096, 2, 1, 12_000, 4.0),
];

/// A band of any picture: numbers at random, every seventh pixel bare, and the ends of every range.
struct Painted {
    size: (usize, usize, usize, usize, f64),
    relief: Vec<u16>,
    light: Vec<u16>,
    region: Vec<u8>,
    pixels: Vec<[f32; 4]>,
}

const EXTREMES: [f32; 9] = [
    0.0,
    -0.0,
    1.0,
    -1.0,
    1000.0,
    f32::MIN_POSITIVE,
    1e-40,
    0.999_999_94,
    1.000_000_1,
];

impl Painted {
    fn new(size: (usize, usize, usize, usize, f64), seed: u64) -> Self {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let count = size.0 * size.1;
        let plane = |random: &mut ChaCha8Rng| -> Vec<u16> {
            (0..count)
                .map(|place| match place % 5 {
                    0 => 0,
                    1 => u16::MAX,
                    _ => random.random(),
                })
                .collect()
        };
        let (relief, light) = (plane(&mut random), plane(&mut random));
        let pixels = (0..count)
            .map(|place| {
                let mut channel = |number: usize| match (place + number) % 4 {
                    0 => EXTREMES[(place / 4 + number) % EXTREMES.len()],
                    _ => random.random_range(-0.1..1.5),
                };
                let coverage = if place % 7 == 0 { 0.0 } else { 1.0 };
                [channel(0), channel(1), channel(2), coverage]
            })
            .collect();
        Self {
            size,
            relief,
            light,
            region: (0..count).map(|place| u8::from(place % 7 != 0)).collect(),
            pixels,
        }
    }

    fn by_component(&self, stage: &dyn Finish, json: &str) -> Vec<[f32; 4]> {
        let (width, _, first_row, picture_rows, px_per_mm) = self.size;
        let mut pixels = self.pixels.clone();
        let mut band = FrameBand {
            width,
            first_row,
            picture_rows,
            px_per_mm,
            planes: Planes {
                substrate: &self.relief,
                relief: &self.relief,
                light: &self.light,
                region: &self.region,
                light_unit: LIGHT_UNIT,
            },
            pixels: &mut pixels,
        };
        stage
            .finish(&scheme(), &mut band, &parameters(json))
            .unwrap();
        pixels
    }

    fn by_source(&self, dust: &Dust) -> Vec<[f32; 4]> {
        let (width, _, first_row, picture_rows, px_per_mm) = self.size;
        let mut pixels = self.pixels.clone();
        #[allow(clippy::cast_possible_truncation, reason = "as the host hands it over")]
        let px_per_mm = px_per_mm as f32;
        let rows = Rows {
            width,
            first_row,
            picture_rows,
            px_per_mm,
            light_unit: LIGHT_UNIT,
            relief: &self.relief,
            light: &self.light,
        };
        dust.settle(&rows, pixels.as_flattened_mut());
        pixels
    }
}

const LIGHT_UNIT: f32 = 1.3 / 65535.0;

fn scheme() -> Scheme {
    Scheme {
        name: "Foglight".to_owned(),
        team: "Lamplighters".to_owned(),
        undercoat: SimulatedUndercoat::AsPhotographed,
        finish: Varnish::Matte,
        regions: Vec::new(),
        stages: Vec::new(),
    }
}

/// Numbers whose bits differ.
fn differing(found: &[[f32; 4]], expected: &[[f32; 4]]) -> usize {
    assert_eq!(found.len(), expected.len());
    let pairs = found.as_flattened().iter().zip(expected.as_flattened());
    pairs.filter(|(a, b)| a.to_bits() != b.to_bits()).count()
}

#[test]
fn it_says_of_itself_what_its_source_says() {
    let found = attached("dust").info;
    let expected = StageInfo {
        file: found.file.clone(),
        ..StageInfo::new(AttachPoint::Finish, NAME, VERSION)
            .with_words(TAKES, GIVES)
            .with_parameters(serde_json::from_str(PARAMETERS).unwrap())
            .with_reach_px(REACH_PX)
    };
    assert_eq!(
        serde_json::to_value(&found).unwrap(),
        serde_json::to_value(&expected).unwrap()
    );
}

#[test]
fn the_component_is_its_source_bit_for_bit() {
    let AnyStage::Finish(stage) = attached("dust").stage else {
        panic!("no finish");
    };
    let mut settled = 0;
    for (seed, size) in (0..).zip(SIZES) {
        let painted = Painted::new(size, seed);
        for json in PARAMETER_SETS {
            let dust = Dust::read(json).unwrap();
            let found = painted.by_component(stage.as_ref(), json);
            let expected = painted.by_source(&dust);
            assert_eq!(differing(&found, &expected), 0, "{size:?} {json}");
            settled += differing(&found, &painted.pixels);
            // Must fail: an amount that differs in its last bit.
            if size.0 > 64 && json == PARAMETER_SETS[0] {
                let moved = Dust {
                    amount: f32::from_bits(dust.amount.to_bits() + 1),
                    ..dust
                };
                assert!(differing(&found, &painted.by_source(&moved)) > 0);
            }
        }
    }
    assert!(settled > 10_000, "{settled} numbers changed");
}

#[test]
fn dust_lies_on_raised_parts_and_nowhere_else() {
    let size = (2, 1, 0, 1, 20.0);
    let painted = Painted {
        size,
        relief: vec![39_000, 65_535],
        light: vec![50_000; 2],
        region: vec![1; 2],
        pixels: vec![[0.1, 0.2, 0.3, 1.0]; 2],
    };
    let dust = Dust::read(PARAMETER_SETS[0]).unwrap();
    // 39,000 of 65,535 is below 0.6.
    let settled = painted.by_source(&dust);
    assert_eq!(
        settled[0].map(f32::to_bits),
        painted.pixels[0].map(f32::to_bits)
    );
    // At most the amount, reduced by the grain, towards the colour of the dust in the local light.
    for ((after, before), colour) in settled[1].iter().zip(painted.pixels[1]).zip(dust.colour) {
        let target = colour * 50_000.0 * LIGHT_UNIT;
        let share = (after - before) / (target - before);
        assert!((0.19..=0.4).contains(&share), "{share}");
    }
    let bare = Painted {
        pixels: vec![[0.1, 0.2, 0.3, 0.0]; 2],
        ..painted
    };
    assert_eq!(bare.by_source(&dust), bare.pixels);
}

#[test]
fn bands_agree() {
    let whole = Painted::new((100, 9, 0, 9, 8.0), 77);
    let dust = Dust::read(PARAMETER_SETS[0]).unwrap();
    let expected = whole.by_source(&dust);
    let part = |rows: std::ops::Range<usize>, first_row: usize| {
        let places = 100 * rows.start..100 * rows.end;
        let painted = Painted {
            size: (100, rows.len(), first_row, 9, 8.0),
            relief: whole.relief[places.clone()].to_vec(),
            light: whole.light[places.clone()].to_vec(),
            region: whole.region[places.clone()].to_vec(),
            pixels: whole.pixels[places].to_vec(),
        };
        painted.by_source(&dust)
    };
    assert_eq!(
        differing(&[part(0..4, 0), part(4..9, 4)].concat(), &expected),
        0
    );
    // Must fail: the lower band is passed as the first.
    assert!(differing(&[part(0..4, 0), part(4..9, 0)].concat(), &expected) > 0);
}

/// Both follow IEC 61966-2-1; the program's own decoding has its tests against published numbers.
#[test]
fn its_colour_is_decoded_as_srgb() {
    for code in 0..=255 {
        let expected = decode(f64::from(code) / 255.0);
        // A single-precision number near 1 is 6e-8 from the next.
        assert!((f64::from(decoded(code)) - expected).abs() < 6e-8, "{code}");
    }
    // Must fail: the neighbouring code.
    assert!((f64::from(decoded(1)) - decode(2.0 / 255.0)).abs() > 6e-8);
}
