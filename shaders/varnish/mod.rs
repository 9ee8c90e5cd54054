//! Satin and gloss over a dried frame. See `README.md` in this folder.

pub mod twin;

/// How strong a varnish is. From memory of varnished figures, not measured.
#[derive(Debug, Clone, Copy, PartialEq)]
#[repr(C)]
pub struct Params {
    /// How much darker a black gets, 0…1.
    pub deepening: f32,
    /// Reflectance that the lamp's mirror image adds on the highest edges, 0…1.
    pub sheen: f32,
}

impl Params {
    /// Shows the paint as its drawdown dried.
    pub const MATTE: Self = Self {
        deepening: 0.0,
        sheen: 0.0,
    };
    /// Half way.
    pub const SATIN: Self = Self {
        deepening: 0.15,
        sheen: 0.04,
    };
    /// Deep darks and highlights.
    pub const GLOSS: Self = Self {
        deepening: 0.35,
        sheen: 0.12,
    };
}

/// Relief from which raised parts begin to mirror the lamp.
pub const SHEEN_FROM: f32 = 0.6;
