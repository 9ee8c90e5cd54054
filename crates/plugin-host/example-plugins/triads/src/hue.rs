//! Hue and chroma of a colour in CIELAB, without an angle. In: sRGB codes. Out: a direction in the plane of a\* and b\*.
//!
//! Uses only + − × ÷ √: a library's cube root and arc tangent would differ in the last bit between the program and a component,
//! and so might the closest paint.

/// Linear sRGB → XYZ. Source: IEC 61966-2-1, rounded as printed there; white is the sum of full red, green and blue.
const TO_XYZ: [[f64; 3]; 3] = [
    [0.4124, 0.3576, 0.1805],
    [0.2126, 0.7152, 0.0722],
    [0.0193, 0.1192, 0.9505],
];
/// Cosine and sine of a third of a turn.
const THIRD: (f64, f64) = (-0.5, 0.866_025_403_784_438_6);
/// Steps of Newton's method: it converges long before for every number from 1e-3 to 1.
const TURNS: usize = 40;

/// A hue: a direction of length 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hue {
    a: f64,
    b: f64,
}

impl Hue {
    /// The hue of a colour; none if its chroma is below `least_chroma`.
    pub fn of(codes: [u8; 3], least_chroma: f64) -> Option<Self> {
        let [a, b] = a_b(codes);
        let chroma = (a * a + b * b).sqrt();
        (chroma >= least_chroma && chroma > 0.0).then(|| Self {
            a: a / chroma,
            b: b / chroma,
        })
    }

    /// A third of the circle further on.
    pub fn third_further(self) -> Self {
        let (cosine, sine) = THIRD;
        Self {
            a: cosine * self.a - sine * self.b,
            b: sine * self.a + cosine * self.b,
        }
    }

    /// 1 for the same hue, −1 for the opposite one: the cosine of the angle between.
    pub fn nearness(self, other: Self) -> f64 {
        self.a * other.a + self.b * other.b
    }
}

/// a\* and b\* of sRGB codes, D65. Source: CIE 15:2018, 8.2.1.
pub fn a_b(codes: [u8; 3]) -> [f64; 2] {
    let linear = codes.map(decoded);
    let [x, y, z] = TO_XYZ.map(|[r, g, b]| {
        let white = r + g + b;
        compressed((r * linear[0] + g * linear[1] + b * linear[2]) / white)
    });
    [500.0 * (x - y), 200.0 * (y - z)]
}

/// CIE 15's function of a ratio to white: a cube root, and a line near black.
fn compressed(ratio: f64) -> f64 {
    const DELTA: f64 = 6.0 / 29.0;
    if ratio > DELTA * DELTA * DELTA {
        (0..TURNS).fold(1.0, |root: f64, _| {
            (2.0 * root + ratio / (root * root)) / 3.0
        })
    } else {
        ratio / (3.0 * DELTA * DELTA) + 4.0 / 29.0
    }
}

/// sRGB code → linear. Source: IEC 61966-2-1. The power 2.4 is the square times its fifth root.
fn decoded(code: u8) -> f64 {
    let encoded = f64::from(code) / 255.0;
    if encoded <= 0.04045 {
        return encoded / 12.92;
    }
    let base = (encoded + 0.055) / 1.055;
    let square = base * base;
    let root = (0..TURNS).fold(1.0, |root: f64, _| {
        let fourth = (root * root) * (root * root);
        (4.0 * root + square / fourth) / 5.0
    });
    square * root
}
