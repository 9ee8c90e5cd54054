//! Pictures of flat colours that must fit a photo: masks and strokes.
//!
//! In: a decoded picture. Out: its colours as stored, and messages about its size. Profiles are ignored: such colours are
//! names, not light. Not here: the meaning of a colour.

use velatura_document::Diagnostic;
use velatura_optics::colour::Encoded;

use crate::decode::{Channels, Depth, Raw};
use crate::orientation::Orientation;

/// Regions are numbered in a byte, 0 is the background, and a few numbers stay free for the work on masks.
pub const MOST_REGIONS: usize = 250;

/// Codes per channel by which a mask's colour may differ from a region's and still be that region's.
pub const MASK_TOLERANCE: u8 = 2;

/// The photo that a mask or a picture of strokes must fit.
#[derive(Debug, Clone, Copy)]
pub struct PhotoFrame<'a> {
    /// Width of the photo after rotation, in pixels.
    pub width: u32,
    /// Height of the photo after rotation, in pixels.
    pub height: u32,
    /// The photo's name, for messages.
    pub photo: &'a str,
    /// How the photo was turned.
    pub orientation: Orientation,
}

/// A picture's pixels as stored, before any rotation.
#[derive(Debug)]
pub struct FlatPicture<'a> {
    raw: &'a Raw,
    /// Pixels per row.
    pub width: usize,
    /// Rows.
    pub height: usize,
}

impl<'a> FlatPicture<'a> {
    /// The pixels of a decoded picture.
    #[must_use]
    pub fn new(raw: &'a Raw) -> Self {
        Self {
            raw,
            width: raw.header.width as usize,
            height: raw.header.height as usize,
        }
    }

    /// The colour of a pixel; `None` if the mask is more transparent than not.
    #[must_use]
    pub fn colour(&self, index: usize) -> Option<[u8; 3]> {
        self.pixel(index).0
    }

    /// Colour, and whether alpha is neither 0 nor full.
    ///
    /// # Panics
    /// Where `index` is not below `width × height`.
    #[must_use]
    pub fn pixel(&self, index: usize) -> (Option<[u8; 3]>, bool) {
        let header = &self.raw.header;
        let size = self.raw.bytes_per_pixel();
        let bytes = &self.raw.bytes()[index * size..(index + 1) * size];
        let sample = |channel: usize| match header.depth {
            Depth::Eight => bytes[channel],
            Depth::Sixteen => {
                let code = u16::from_ne_bytes([bytes[2 * channel], bytes[2 * channel + 1]]);
                u8::try_from((u32::from(code) + 128) / 257).expect("65,535 gives 255")
            }
        };
        let (colour, alpha) = match header.channels {
            Channels::Grey => ([sample(0); 3], 255),
            Channels::GreyAlpha => ([sample(0); 3], sample(1)),
            Channels::Rgb => ([sample(0), sample(1), sample(2)], 255),
            Channels::Rgba => ([sample(0), sample(1), sample(2)], sample(3)),
        };
        ((alpha >= 128).then_some(colour), (1..255).contains(&alpha))
    }
}

/// The error that a picture painted over the photo (`what`: "mask", "strokes picture") differs from it in size.
#[must_use]
pub fn wrong_size(
    name: &str,
    what: &str,
    (width, height): (u32, u32),
    frame: &PhotoFrame<'_>,
) -> Diagnostic {
    let exif = frame.orientation.exif();
    let after = if exif == 1 {
        String::new()
    } else {
        format!(" after its EXIF rotation (orientation {exif})")
    };
    let turned_over = (width, height) == (frame.height, frame.width);
    let same_shape =
        u64::from(width) * u64::from(frame.height) == u64::from(height) * u64::from(frame.width);
    let help = if turned_over && frame.orientation.exchanges_sides() {
        format!(
            "the {what} was painted over the photo before rotation: {}",
            frame.orientation.in_words()
        )
    } else if turned_over {
        format!("the {what} is on its side: turn it by 90°")
    } else if same_shape {
        format!(
            "scale the {what} to {} × {} without smoothing (nearest neighbour)",
            frame.width, frame.height
        )
    } else {
        format!(
            "was the photo cropped after the {what} was painted? paint the {what} over this photo"
        )
    };
    Diagnostic::error(
        name,
        format!(
            "the {what} is {width} × {height} pixels, the photo {} × {}",
            frame.width, frame.height
        ),
    )
    .expected(format!(
        "{} × {}, the size of {}{after}",
        frame.width, frame.height, frame.photo
    ))
    .help(help)
}

/// The largest difference of any channel, in codes.
#[must_use]
pub fn distance(a: Encoded, b: Encoded) -> u8 {
    let [red, green, blue] = std::array::from_fn(|i| a.0[i].abs_diff(b.0[i]));
    red.max(green).max(blue)
}
