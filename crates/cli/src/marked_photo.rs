//! A photo and the strokes or the rough mask on it, read from their files.

use velatura_document::{Diagnostic, room_for};
use velatura_photo::flat::PhotoFrame;
use velatura_photo::{DecodeLimits, Photo, decode_photo};
use velatura_pipeline::Error;
use velatura_pipeline::optics::colour::Encoded;
use velatura_regions::{
    Labels, Marked, Marks, REGIONS_BYTES_PER_PIXEL, overlay, read_marks, read_strokes,
};
use velatura_sheet::{with_legend, write_picture};

use crate::files::read_picture;
use crate::format::Format;
use crate::messages::warn;

/// A photo with marks on it.
pub(crate) struct MarkedPhoto {
    /// The photo, upright.
    pub(crate) photo: Photo,
    /// The marks.
    pub(crate) marks: Marks,
    warnings: Vec<Diagnostic>,
}

impl MarkedPhoto {
    /// Reads both files, and asks for the memory that the work on them needs.
    pub(crate) fn read(photo_path: &str, marks_path: &str, marked: Marked) -> Result<Self, Error> {
        let limits = DecodeLimits::default();
        let (photo_bytes, marks_bytes) = match (read_picture(photo_path), read_picture(marks_path))
        {
            (Ok(photo), Ok(marks)) => (photo, marks),
            (photo, marks) => {
                return Err(Error::inputs(
                    photo.err().into_iter().chain(marks.err()).collect(),
                ));
            }
        };
        let mut warnings = Vec::new();
        let photo = decode_photo(photo_path, &photo_bytes, &limits)?.into_value(&mut warnings);
        let frame = PhotoFrame {
            width: photo.width,
            height: photo.height,
            photo: photo_path,
            orientation: photo.orientation,
        };
        let marks = match marked {
            Marked::Strokes => read_strokes(marks_path, &marks_bytes, &limits, &photo, &frame)?,
            Marked::RoughMask => read_marks(marks_path, &marks_bytes, &limits, &frame, marked)?,
        }
        .into_value(&mut warnings);
        if marked == Marked::Strokes && !marks.marks.contains(&0) {
            warnings.push(no_background(marks_path));
        }
        let pixels = photo.photo.len() as u64;
        room_for(REGIONS_BYTES_PER_PIXEL * pixels, photo_path)?;
        Ok(Self {
            photo,
            marks,
            warnings,
        })
    }

    /// Prints the warnings of both files.
    pub(crate) fn warn(&self, format: Format) {
        self.warnings
            .iter()
            .for_each(|problem| warn(problem, format));
    }

    /// The photo tinted by region, above a legend of names in the order of the regions, as PNG.
    pub(crate) fn overlay(&self, made: &Labels, names: Vec<String>) -> Result<Vec<u8>, Error> {
        let entries: Vec<(Encoded, String)> = made.colours.iter().copied().zip(names).collect();
        let picture = with_legend(&overlay(&self.photo, made), self.photo.width, &entries);
        write_picture(Vec::new(), &picture)
    }
}

fn no_background(strokes: &str) -> Diagnostic {
    Diagnostic::warning(strokes, "no stroke marks the background")
        .expected("some black (#000000) strokes around the figure")
        .help("add black strokes if there is any background; without them the whole picture counts as the figure")
}
