//! What the markers of a JPEG show before it is decoded: how many inks it has, and whether it is complete.
//!
//! The decoder silently fills missing parts of a file with grey, and converts CMYK to RGB without the profile that this needs.
//! Source of the markers: ITU-T T.81, table B.1.

/// What the markers show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Survey {
    /// Components of the frame: 1 grey, 3 colour, 4 CMYK; 0 if no frame header was found.
    pub(crate) components: u8,
    /// Whether the end-of-image marker was reached.
    pub(crate) whole: bool,
}

const START_OF_SCAN: u8 = 0xda;
const END_OF_IMAGE: u8 = 0xd9;

/// Walks the markers of a JPEG.
pub(crate) fn survey(bytes: &[u8]) -> Survey {
    let mut survey = Survey {
        components: 0,
        whole: false,
    };
    let mut at = 2;
    while let Some(marker) = next_marker(bytes, &mut at) {
        match marker {
            END_OF_IMAGE => {
                survey.whole = true;
                return survey;
            }
            // Markers that stand alone: TEM, RST0…RST7, SOI.
            0x01 | 0xd0..=0xd8 => continue,
            _ => {}
        }
        let Some(length) = bytes.get(at..at + 2) else {
            break;
        };
        let length = usize::from(u16::from_be_bytes([length[0], length[1]]));
        // SOF0…SOF15 without DHT, JPG and DAC, which are between.
        if matches!(marker, 0xc0..=0xcf) && !matches!(marker, 0xc4 | 0xc8 | 0xcc) {
            survey.components = bytes.get(at + 7).copied().unwrap_or(0);
        }
        at += length.max(2);
        if marker == START_OF_SCAN {
            skip_entropy_coded_data(bytes, &mut at);
        }
    }
    survey
}

/// The code of the next marker; moves `at` past it.
fn next_marker(bytes: &[u8], at: &mut usize) -> Option<u8> {
    loop {
        let ahead = bytes.get(*at..)?;
        let found = ahead.iter().position(|byte| *byte == 0xff)?;
        *at += found + 1;
        let code = *bytes.get(*at)?;
        // 0xff before a marker is fill, 0xff 0x00 is data.
        if code != 0xff {
            *at += 1;
            if code != 0 {
                return Some(code);
            }
        }
    }
}

fn skip_entropy_coded_data(bytes: &[u8], at: &mut usize) {
    while let Some(pair) = bytes.get(*at..*at + 2) {
        let restart = matches!(pair[1], 0xd0..=0xd7);
        if pair[0] == 0xff && pair[1] != 0 && pair[1] != 0xff && !restart {
            return;
        }
        *at += 1;
    }
    *at = bytes.len();
}
