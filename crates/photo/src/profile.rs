//! From a picture's ICC profile to sRGB, relative colorimetric; `moxcms` does the colour work.
//!
//! A profile that equals sRGB changes nothing: 8-bit sRGB photos stay the same byte for byte.

use std::sync::Arc;

use moxcms::{
    ColorProfile, DataColorSpace, Layout as IccLayout, RenderingIntent, Transform8BitExecutor,
    Transform16BitExecutor, TransformOptions,
};

use crate::decode::Channels;

/// The conversion that a picture's codes need.
#[derive(Clone)]
pub(crate) enum Conversion {
    /// They are sRGB.
    PassThrough,
    /// Grey samples go through a grey profile and come out as RGB.
    FromGrey(Arc<Transform16BitExecutor>),
    /// RGB samples go through the profile; grey samples are tripled first.
    FromRgb(Arc<Transform16BitExecutor>),
}

/// Why a profile is ignored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unusable {
    /// It cannot be read or is incomplete.
    Damaged,
    /// It belongs to another kind of picture (printing inks, or grey for a colour picture).
    OtherKind,
}

/// Codes that still count as unchanged: profiles named sRGB differ by rounding in their tables.
const ROUNDING: u8 = 1;

/// Steps per channel at which a profile is compared with sRGB.
const PROBES: u8 = 9;

/// The conversion that a profile asks for.
pub(crate) fn conversion(
    profile: Option<&[u8]>,
    channels: Channels,
) -> Result<Conversion, Unusable> {
    let Some(bytes) = profile else {
        return Ok(Conversion::PassThrough);
    };
    let from = ColorProfile::new_from_slice(bytes).map_err(|_| Unusable::Damaged)?;
    let grey_picture = matches!(channels, Channels::Grey | Channels::GreyAlpha);
    match from.color_space {
        DataColorSpace::Gray if grey_picture => {
            if is_srgb(&from, IccLayout::Gray)? {
                return Ok(Conversion::PassThrough);
            }
            Ok(Conversion::FromGrey(to_srgb(&from, IccLayout::Gray)?))
        }
        DataColorSpace::Rgb => {
            if is_srgb(&from, IccLayout::Rgb)? {
                return Ok(Conversion::PassThrough);
            }
            Ok(Conversion::FromRgb(to_srgb(&from, IccLayout::Rgb)?))
        }
        _ => Err(Unusable::OtherKind),
    }
}

fn options() -> TransformOptions {
    TransformOptions {
        rendering_intent: RenderingIntent::RelativeColorimetric,
        // Fixed point keeps 13 bits of linear light: 1 % at Y = 0.01, as much as a third of a code there.
        prefer_fixed_point: false,
        ..TransformOptions::default()
    }
}

fn to_srgb(
    from: &ColorProfile,
    layout: IccLayout,
) -> Result<Arc<Transform16BitExecutor>, Unusable> {
    let transform = from
        .create_transform_16bit(layout, &ColorProfile::new_srgb(), IccLayout::Rgb, options())
        .map_err(|_| Unusable::Damaged)?;
    Ok(Arc::from(transform))
}

fn is_srgb(from: &ColorProfile, layout: IccLayout) -> Result<bool, Unusable> {
    let transform: Box<Transform8BitExecutor> = from
        .create_transform_8bit(layout, &ColorProfile::new_srgb(), IccLayout::Rgb, options())
        .map_err(|_| Unusable::Damaged)?;
    let (codes, expected) = if layout == IccLayout::Gray {
        let codes: Vec<u8> = (0..=255).collect();
        let expected = codes.iter().flat_map(|code| [*code; 3]).collect();
        (codes, expected)
    } else {
        let step =
            |i: u8| u8::try_from(u16::from(i) * 255 / u16::from(PROBES - 1)).expect("at most 255");
        let mut codes: Vec<u8> = (0..=255).flat_map(|code| [code; 3]).collect();
        for (red, green) in (0..PROBES).flat_map(|r| (0..PROBES).map(move |g| (r, g))) {
            codes.extend((0..PROBES).flat_map(|blue| [step(red), step(green), step(blue)]));
        }
        (codes.clone(), codes)
    };
    let mut found = vec![0; expected.len()];
    transform
        .transform(&codes, &mut found)
        .map_err(|_| Unusable::Damaged)?;
    Ok(found
        .iter()
        .zip(&expected)
        .all(|(a, b): (&u8, &u8)| a.abs_diff(*b) <= ROUNDING))
}
