//! What is computed for a project, and kept while the project stays as it is: its pictures and its calibrated paints.

use std::sync::Arc;

use velatura::Session;
use velatura_document::{Diagnostic, Error};
use velatura_pipeline::optics::colour::Encoded;
use velatura_regions::Labels;

use crate::edit_figure::FigureText;
use crate::mask::labels_of;
use crate::pictures::{Pictures, planes_key};
use crate::project::{Project, hash_of};
use crate::view::missing;
use crate::view_schemes::{KnownBox, KnownSchemes};

/// Half the side of the square that a colour is taken from, in pixels of the working photo.
const POINT_REACH: i64 = 4;

/// Everything that is computed for projects.
#[derive(Debug)]
pub(crate) struct Computed {
    pub(crate) session: Session,
    pub(crate) pictures: Pictures,
    known: Option<Arc<KnownBox>>,
    /// The regions of the mask that was loaded last, under its number.
    loaded: Option<(u64, Arc<Labels>)>,
}

impl Computed {
    pub(crate) fn new(session: Session) -> Self {
        Self {
            session,
            pictures: Pictures::default(),
            known: None,
            loaded: None,
        }
    }

    /// The regions of a mask that was loaded; `None` if there is no such mask or no photo.
    ///
    /// # Errors
    /// The mask cannot be read.
    pub(crate) fn loaded_regions(
        &mut self,
        project: &Project,
        text: &FigureText,
    ) -> Result<Option<Arc<Labels>>, Diagnostic> {
        let (Some(mask), Some(photo)) = (&project.mask, &project.photo) else {
            return Ok(None);
        };
        if let Some((number, labels)) = &self.loaded
            && *number == mask.hash
        {
            return Ok(Some(Arc::clone(labels)));
        }
        let labels = labels_of(&text.mask, mask, self.session.limits(), photo.size)?;
        let labels = Arc::new(labels);
        self.loaded = Some((mask.hash, Arc::clone(&labels)));
        Ok(Some(labels))
    }

    /// The calibrated paints; an error without diagnostics if there are none.
    pub(crate) fn known_box(
        &mut self,
        project: &Project,
    ) -> Result<Arc<KnownBox>, Vec<Diagnostic>> {
        let Some(text) = &project.paints else {
            return Err(Vec::new());
        };
        let known = KnownBox::of(text, self.known.take())?;
        self.known = Some(Arc::clone(&known));
        Ok(known)
    }

    /// The number of each scheme's tile.
    pub(crate) fn tile_numbers(
        &mut self,
        project: &Project,
        text: &FigureText,
    ) -> Vec<Option<u64>> {
        let names: Vec<String> = text.parts.iter().map(|part| part.name.clone()).collect();
        let known = self.known_box(project).ok();
        let schemes = KnownSchemes::of(&project.schemes, &names, known.as_deref());
        let planes = planes_number(project, text, known.as_deref());
        schemes.tiles(planes)
    }

    /// The usual colour around a place of the working photo, in its pixels.
    ///
    /// # Errors
    /// There is no photo, or the place is outside it.
    pub(crate) fn colour_at(
        &mut self,
        project: &Project,
        x: f64,
        y: f64,
    ) -> Result<Encoded, Error> {
        let photo = self.pictures.photo(project, self.session.limits())?;
        let (width, height) = (i64::from(photo.width), i64::from(photo.height));
        #[allow(clippy::cast_possible_truncation, reason = "the cast saturates")]
        let (x, y) = (x.floor() as i64, y.floor() as i64);
        if !(0..width).contains(&x) || !(0..height).contains(&y) {
            let expected = format!("a place on the photo, {width} × {height} pixels");
            return Err(Error::refused(
                "",
                "this place is outside the photo",
                &expected,
                "",
            ));
        }
        let mut channels: [Vec<u8>; 3] = Default::default();
        for y in (y - POINT_REACH).max(0)..(y + POINT_REACH + 1).min(height) {
            for x in (x - POINT_REACH).max(0)..(x + POINT_REACH + 1).min(width) {
                let place = usize::try_from(y * width + x).expect("within the photo");
                for (channel, code) in channels.iter_mut().zip(photo.photo[place]) {
                    channel.push(code);
                }
            }
        }
        Ok(Encoded(channels.map(|mut codes| {
            let middle = codes.len() / 2;
            *codes.select_nth_unstable(middle).1
        })))
    }
}

/// A number for the planes; `None` while something is missing that they are made from.
pub(crate) fn planes_number(
    project: &Project,
    text: &FigureText,
    known: Option<&KnownBox>,
) -> Option<u64> {
    let known = known?;
    let card = known.paints.cards.black.0;
    missing(project, text, 1, 1).is_empty().then(|| {
        let planes = planes_key(project, text);
        hash_of(&(planes, &project.figure, card))
    })
}
