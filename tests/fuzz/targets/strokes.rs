//! Strokes and rough masks on changed photos.

use rand::RngExt;
use velatura_photo::flat::PhotoFrame;
use velatura_photo::{DecodeLimits, decode_photo, picture_png};
use velatura_regions::{Marked, mask_png, overlay, read_marks, read_strokes, refined};

use super::job::SESSION;
use crate::kit::base::{DEMO, MASK, PHOTO, SIZE, STROKES};
use crate::kit::case::Case;
use crate::kit::oracle::{self, must};
use crate::kit::pictures::{damaged, encoded, picture, size};
use crate::kit::{Chance, Target, Verdict};

const MARKS: &str = "strokes.png";

pub(crate) const TARGET: Target = Target {
    name: "strokes",
    share: 80,
    make,
    run,
};

/// Values: 0 for strokes or 1 for a rough mask; the reach of its borders.
fn make(chance: &mut Chance) -> Case {
    let same = size(SIZE, chance);
    let rough = chance.random_bool(0.4);
    let marks = if rough {
        DEMO.bytes(MASK).to_vec()
    } else {
        STROKES.clone()
    };
    let mut files = [DEMO.bytes(PHOTO).to_vec(), marks];
    let colours = [
        [0; 3],
        [0xe6, 0x19, 0x4b],
        [0x43, 0x63, 0xd8],
        [0xe6, 0x1a, 0x4b],
    ];
    match chance.random_range(0..4) {
        0 => {
            for bytes in &mut files {
                *bytes = encoded(&picture(same, &colours, chance), chance);
            }
        }
        1 => files[1] = encoded(&picture(SIZE, &colours, chance), chance),
        2 => {
            let damage = chance.random_range(0..2_usize);
            files[damage] = damaged(files[damage].clone(), chance);
        }
        _ => {}
    }
    let [photo, marks] = files;
    Case::of("")
        .file(PHOTO, photo)
        .file(MARKS, marks)
        .value(u8::from(rough).to_string())
        .value(chance.random_range(1..=60).to_string())
}

fn run(case: &Case) -> Verdict {
    let limits = DecodeLimits::default();
    let decoded = decode_photo(PHOTO, case.bytes(PHOTO), &limits);
    let Some(photo) = oracle::read_one(decoded)? else {
        return Ok(());
    };
    let frame = PhotoFrame {
        width: photo.width,
        height: photo.height,
        photo: PHOTO,
        orientation: photo.orientation,
    };
    let marked = match case.number(0) {
        1 => Marked::RoughMask,
        _ => Marked::Strokes,
    };
    let bytes = case.bytes(MARKS);
    let marks = match marked {
        Marked::Strokes => read_strokes(MARKS, bytes, &limits, &photo, &frame),
        Marked::RoughMask => read_marks(MARKS, bytes, &limits, &frame, marked),
    };
    let Some(marks) = oracle::read_one(marks)? else {
        return Ok(());
    };
    let reach = u8::try_from(case.number(1)).unwrap_or(1);
    let made = match marked {
        Marked::Strokes => {
            SESSION
                .regions(&photo, &marks)
                .map_err(|why| why.to_string())?
                .0
        }
        Marked::RoughMask => refined(&photo, &marks, reach),
    };
    let known = made
        .labels
        .iter()
        .all(|label| usize::from(*label) <= made.colours.len());
    must(known && made.labels.len() == photo.photo.len(), || {
        "labels that are no regions".to_owned()
    })?;
    for png in [
        mask_png(&made, photo.width),
        picture_png(&overlay(&photo, &made), photo.width),
    ] {
        image::load_from_memory(&png).map_err(|why| why.to_string())?;
    }
    Ok(())
}
