//! Photos of drawdown cards, rendered on the spot: known colours under a lamp that falls off, seen by a camera that tilts,
//! turns, adds haze and noise, mixes channels and compresses. All values are invented.
//!
//! The arithmetic is that of a camera, from reflectance to codes; it shares only the card's geometry with the reader.

#![allow(dead_code, reason = "each user needs some of these")]

use image::{ExtendedColorType, ImageEncoder, RgbImage};
use imageproc::geometric_transformations::Projection;
use velatura_optics::colour::{Encoded, Linear, encode};
use velatura_swatch::{CardGeometry, RectMm, Strip};

/// The bare cards of every scene.
pub const BLACK: Encoded = Encoded([0x1c; 3]);
pub const WHITE: Encoded = Encoded([0xf0; 3]);

/// A drawdown: its name, its partner and parts if it is a tint, and its codes over black and over white.
#[derive(Debug, Clone)]
pub struct Drawdown {
    pub name: String,
    pub tint: Option<(String, [f64; 2])>,
    pub over: [Encoded; 2],
}

/// Twelve drawdowns, from nearly clear to opaque.
pub fn drawdowns() -> Vec<Drawdown> {
    [
        ("Oil Amber", "#4d3718", "#f4a520"),
        ("Deep Eel", "#0c1a20", "#1f6b7a"),
        ("Old Rope", "#7a6a4a", "#b8a074"),
        ("Gull White", "#c9c8c2", "#efeeea"),
        ("Wick Red", "#4a0f12", "#b8262c"),
        ("Sedge", "#2a3a18", "#7fa04a"),
        ("Harbour Night", "#1c1e2e", "#2b3560"),
        ("Lamp Black", "#1a1a1a", "#201f1f"),
        ("Clear Fen", "#1d1d1c", "#e8e9e0"),
        ("Dusk Violet", "#2c1c3a", "#7a4f9c"),
        ("Mud", "#3a2c20", "#5f4a36"),
        ("Reed Yellow", "#5a4a10", "#e8c81c"),
    ]
    .map(|(name, black, white)| Drawdown {
        name: name.to_owned(),
        tint: None,
        over: [black, white].map(|code| code.parse().unwrap()),
    })
    .to_vec()
}

/// A card under a lamp in front of a camera.
#[derive(Debug, Clone)]
pub struct Scene {
    pub geometry: CardGeometry,
    pub drawdowns: Vec<Drawdown>,
    pub size: [u32; 2],
    /// Where the marks' centres are in the photo, clockwise from the card's upper left.
    pub corners: [[f64; 2]; 4],
    /// Linear light that a reflectance of 1 gives in the middle of the card, per channel.
    pub exposure: [f64; 3],
    /// Change of light from the middle to the card's edge in x, in y, and in the square of the distance.
    pub gradient: [f64; 3],
    /// Light everywhere, per channel.
    pub veil: [f64; 3],
    /// Standard deviation of the noise, in codes at full scale.
    pub noise_codes: f64,
    /// Linear mixing of channels in the camera.
    pub camera: [[f64; 3]; 3],
    /// A glint on the card: centre and radius in mm, and its reflectance at the centre.
    pub glint: Option<([f64; 2], f64, f64)>,
    /// Standard deviation of the blur, in pixels.
    pub blur_px: f32,
    /// Chart patches: a rectangle on the card's plane and its colour.
    pub patches: Vec<(RectMm, Linear)>,
    /// Variation of brush ends, in mm.
    pub wobble_mm: f64,
}

/// The identity.
pub const NEUTRAL_CAMERA: [[f64; 3]; 3] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];

impl Scene {
    /// The printed card, upright, in a photo of 900 × 1240 pixels.
    pub fn upright() -> Self {
        Self {
            geometry: CardGeometry::printed(),
            drawdowns: drawdowns(),
            size: [900, 1240],
            corners: [
                [95.0, 105.0],
                [806.0, 98.0],
                [812.0, 1128.0],
                [88.0, 1121.0],
            ],
            exposure: [0.80, 0.80, 0.80],
            gradient: [0.0; 3],
            veil: [0.0; 3],
            noise_codes: 0.0,
            camera: NEUTRAL_CAMERA,
            glint: None,
            blur_px: 0.0,
            patches: Vec::new(),
            wobble_mm: 0.0,
        }
    }

    /// As a phone sees it at a window: tilted, warm, with falloff, haze and noise.
    pub fn at_a_window() -> Self {
        Self {
            corners: [
                [150.0, 130.0],
                [770.0, 95.0],
                [838.0, 1150.0],
                [60.0, 1105.0],
            ],
            exposure: [0.78, 0.70, 0.52],
            gradient: [0.22, -0.15, -0.10],
            veil: [0.012, 0.011, 0.010],
            noise_codes: 2.5,
            wobble_mm: 0.6,
            ..Self::upright()
        }
    }

    /// The same, turned a quarter clockwise this many times.
    pub fn turned(mut self, quarters: u32) -> Self {
        for _ in 0..quarters {
            let height = f64::from(self.size[1]);
            self.corners = self.corners.map(|[x, y]| [height - 1.0 - y, x]);
            self.size.swap(0, 1);
        }
        self
    }

    /// The same in a photo that is this many times as large.
    pub fn larger(mut self, times: f64) -> Self {
        self.size = self
            .size
            .map(|size| (f64::from(size) * times).round() as u32);
        self.corners = self.corners.map(|corner| corner.map(|at| at * times));
        self
    }

    /// The layout that names the drawdowns in their places.
    pub fn layout(&self) -> String {
        let mut text = format!(
            "format = \"velatura-layout/1\"\n\n[cards]\nblack = \"{BLACK}\"\nwhite = \"{WHITE}\"\n"
        );
        for drawdown in &self.drawdowns {
            text += &format!("\n[[field]]\nname = \"{}\"\n", drawdown.name);
            if let Some((with, parts)) = &drawdown.tint {
                text += &format!("with = \"{with}\"\nparts = {parts:?}\n");
            }
        }
        text
    }

    /// The photo.
    pub fn photo(&self) -> RgbImage {
        let [width, height] = self.geometry.marks_mm;
        let mm = [[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]];
        let points = |list: [[f64; 2]; 4]| list.map(|[x, y]| (x as f32, y as f32));
        let back = Projection::from_control_points(points(self.corners), points(mm)).unwrap();
        let mut random = Random(0x1dea);
        let mut linear = image::Rgb32FImage::from_fn(self.size[0], self.size[1], |x, y| {
            let mut sum = [0.0; 3];
            for (dx, dy) in [(-0.25, -0.25), (0.25, -0.25), (-0.25, 0.25), (0.25, 0.25)] {
                let at = back * (x as f32 + dx, y as f32 + dy);
                let seen = self.seen([f64::from(at.0), f64::from(at.1)]);
                sum = std::array::from_fn(|i| sum[i] + seen[i] / 4.0);
            }
            image::Rgb(sum.map(|one| one as f32))
        });
        if self.blur_px > 0.0 {
            linear = imageproc::filter::gaussian_blur_f32(&linear, self.blur_px);
        }
        RgbImage::from_fn(self.size[0], self.size[1], |x, y| {
            image::Rgb(linear.get_pixel(x, y).0.map(|light| {
                // Noise of a sensor: on linear light, growing with its root.
                let light = f64::from(light).max(0.0);
                let noise = self.noise_codes / 255.0 * light.sqrt() * random.normal();
                (encode((light + noise).clamp(0.0, 1.0)) * 255.0).round() as u8
            }))
        })
    }

    /// The photo as JPEG.
    pub fn jpeg(&self, quality: u8) -> Vec<u8> {
        let photo = self.photo();
        let mut out = Vec::new();
        image::codecs::jpeg::JpegEncoder::new_with_quality(&mut out, quality)
            .write_image(
                &photo,
                photo.width(),
                photo.height(),
                ExtendedColorType::Rgb8,
            )
            .unwrap();
        out
    }

    /// Light that reaches the sensor from a point of the card's plane.
    fn seen(&self, mm: [f64; 2]) -> [f64; 3] {
        let mut reflectance = self.reflectance(mm);
        if let Some((centre, radius, peak)) = self.glint {
            let away = (mm[0] - centre[0]).hypot(mm[1] - centre[1]) / radius;
            let shine = peak * (-away * away).exp();
            reflectance = reflectance.map(|one| one + shine);
        }
        let light = self.light(mm);
        let raw: [f64; 3] =
            std::array::from_fn(|i| reflectance[i] * self.exposure[i] * light + self.veil[i]);
        self.camera
            .map(|row| row.iter().zip(raw).map(|(a, b)| a * b).sum())
    }

    /// Light at a point as a share of that in the middle of the card.
    pub fn light(&self, [x, y]: [f64; 2]) -> f64 {
        let [width, height] = self.geometry.marks_mm;
        let (x, y) = (2.0 * x / width - 1.0, 2.0 * y / height - 1.0);
        let [across, down, vignette] = self.gradient;
        (1.0 + across * x + down * y + vignette * (x * x + y * y)).max(0.0)
    }

    fn reflectance(&self, mm: [f64; 2]) -> [f64; 3] {
        let inside = |rect: &RectMm| (0..2).all(|i| (rect.from[i]..rect.to[i]).contains(&mm[i]));
        let [width, height] = self.geometry.marks_mm;
        if let Some((_, colour)) = self.patches.iter().find(|(rect, _)| inside(rect)) {
            return colour.0;
        }
        // The table: wood, with a grain.
        if mm[0] < -14.0 || mm[1] < -14.0 || mm[0] > width + 14.0 || mm[1] > height + 14.0 {
            let grain = 0.02 * (mm[0] * 0.9 + (mm[1] * 0.05).sin() * 6.0).sin();
            return [0.20 + grain, 0.13 + grain, 0.08 + grain];
        }
        let corners = [[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]];
        for (index, corner) in corners.into_iter().enumerate() {
            let away = (mm[0] - corner[0]).hypot(mm[1] - corner[1]);
            let hole = index == 0 && away < 1.6;
            if (4.6..6.0).contains(&away) || (away < 3.2 && !hole) {
                return [0.04; 3];
            }
        }
        for pair in &self.geometry.pairs {
            for (strip, bare) in [(Strip::Black, BLACK), (Strip::White, WHITE)] {
                if inside(&self.geometry.strip(pair, strip)) {
                    return self.strip(mm, strip, bare);
                }
            }
        }
        // A few words of print above the strips.
        let row = (mm[1] - 17.0).rem_euclid(72.0);
        let printed = (2.0..8.0).contains(&row)
            && (17.0..170.0).contains(&mm[1])
            && (14.0..156.0).contains(&mm[0])
            && (mm[0] * 3.0).sin() * (mm[1] * 2.5).sin() > 0.3;
        if printed { [0.05; 3] } else { WHITE.linear().0 }
    }

    fn strip(&self, mm: [f64; 2], strip: Strip, bare: Encoded) -> [f64; 3] {
        for (place, drawdown) in self.drawdowns.iter().enumerate() {
            let mut rect = self.geometry.field(place, strip);
            let wander = |along: f64, phase: f64| self.wobble_mm * (along * 0.8 + phase).sin();
            rect.from[0] += wander(mm[1], 1.0);
            rect.to[0] += wander(mm[1], 4.0);
            // Brush strokes end a little inside the strip's far edges.
            match strip {
                Strip::Black => rect.from[1] += 1.0 + wander(mm[0] * 3.0, 0.0),
                Strip::White => rect.to[1] -= 1.0 + wander(mm[0] * 3.0, 2.0),
            }
            if (0..2).all(|i| (rect.from[i]..rect.to[i]).contains(&mm[i])) {
                let over = drawdown.over[usize::from(strip == Strip::White)];
                return over.linear().0;
            }
        }
        bare.linear().0
    }
}

/// Our own small generator, so that pictures are the same everywhere (Knuth's MMIX constants).
struct Random(u64);

impl Random {
    fn uniform(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Nearly normal: the sum of twelve uniform numbers.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0
    }
}
