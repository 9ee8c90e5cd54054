//! Pictures of a project: its photo, its regions, and the schemes on the figure. All of them are computed when they are asked for
//! and kept while nothing that they depend on changes.

use std::collections::BTreeMap;
use std::sync::Arc;

use velatura::{Cancel, Job, JobFiles, MemoryFiles, Session};
use velatura_document::Error;
use velatura_photo::{DecodeLimits, Photo, decode_photo};
use velatura_pipeline::Run;
use velatura_pipeline::figure::CropBox;
use velatura_pipeline::optics::colour::Encoded;
use velatura_regions::Labels;

use crate::edit_figure::FigureText;
use crate::edit_schemes::none;
use crate::file_names::{FIGURE, PAINTS, SCHEMES};
use crate::mask::{Fineness, mask_file, regions, small_photo};
use crate::pixels::Pixels;
use crate::project::{Bytes, MaskFrom, Project, hash_of};

/// How many tiles' mean colours are kept: those of many steps of undo.
const MOST_SEEN: usize = 500;

/// What was computed last.
#[derive(Debug, Default)]
pub(crate) struct Pictures {
    photo: Option<Decoded>,
    /// Regions as the strokes have them, quick and fine.
    live: [Option<(u64, Live)>; 2],
    mask: Option<(u64, Option<Bytes>)>,
    job: Option<Made>,
    /// The mean colour of each part on each tile, by the tile's number.
    seen: BTreeMap<u64, Vec<Option<Encoded>>>,
}

#[derive(Debug)]
struct Decoded {
    hash: u64,
    working: Photo,
    /// Quick and fine.
    small: [Photo; 2],
}

/// Regions on a small photo, and its width; `None` without strokes on a part.
pub(crate) type Live = Option<(Arc<Labels>, u32)>;

/// A job, and what it was made from.
#[derive(Debug)]
struct Made {
    planes: u64,
    figure: Arc<str>,
    paints: Option<Arc<str>>,
    schemes: Arc<str>,
    job: Job,
}

impl Pictures {
    /// Takes over a photo that is decoded already.
    pub(crate) fn put_photo(&mut self, hash: u64, working: Photo) {
        let small = [Fineness::Quick, Fineness::Fine].map(|fine| small_photo(&working, fine));
        self.photo = Some(Decoded {
            hash,
            working,
            small,
        });
    }

    fn decoded(&mut self, project: &Project, limits: &DecodeLimits) -> Result<&Decoded, Error> {
        let photo = project.photo.as_ref().ok_or_else(no_photo)?;
        let hash = photo.bytes.hash;
        if self.photo.as_ref().is_none_or(|kept| kept.hash != hash) {
            let read = decode_photo(&photo.original_name, &photo.bytes, limits)?;
            self.put_photo(hash, read.value);
        }
        self.photo.as_ref().ok_or_else(no_photo)
    }

    /// The working photo.
    pub(crate) fn photo(
        &mut self,
        project: &Project,
        limits: &DecodeLimits,
    ) -> Result<&Photo, Error> {
        Ok(&self.decoded(project, limits)?.working)
    }

    /// The regions as the strokes have them now, on a small copy of the photo.
    pub(crate) fn live(
        &mut self,
        session: &Session,
        project: &Project,
        figure: &FigureText,
        fineness: Fineness,
    ) -> Result<Live, Error> {
        let (key, place) = (strokes_key(project, figure), fineness as usize);
        if let Some((kept, live)) = &self.live[place]
            && *kept == key
        {
            return Ok(live.clone());
        }
        let decoded = self.decoded(project, session.limits())?;
        let size = (decoded.working.width, decoded.working.height);
        let photo = &decoded.small[place];
        let (parts, width) = (figure.colours(), photo.width);
        let labels = regions(session, photo, &project.strokes, &parts, size)?;
        let live = labels.map(|labels| (Arc::new(labels), width));
        self.live[place] = Some((key, live.clone()));
        Ok(live)
    }

    /// The finest regions of the strokes that were computed already.
    pub(crate) fn live_at_hand(&self, project: &Project, figure: &FigureText) -> Live {
        let key = strokes_key(project, figure);
        let mut kept = self.live.iter().rev().flatten();
        let (_, live) = kept.find(|(kept, _)| *kept == key)?;
        live.clone()
    }

    /// The mask's file: the loaded one, or that of the strokes at the working size. `None` if there is none yet.
    pub(crate) fn mask(
        &mut self,
        session: &Session,
        project: &Project,
        figure: &FigureText,
    ) -> Result<Option<Bytes>, Error> {
        if project.mask_from != MaskFrom::Strokes {
            return Ok(project.mask_file().cloned());
        }
        let key = strokes_key(project, figure);
        if self.mask.as_ref().is_none_or(|(kept, _)| *kept != key) {
            let working = &self.decoded(project, session.limits())?.working;
            let size = (working.width, working.height);
            let parts = figure.colours();
            let labels = regions(session, working, &project.strokes, &parts, size)?;
            let file = labels.map(|labels| mask_file(&labels, size.0));
            self.mask = Some((key, file));
        }
        Ok(self.mask.as_ref().and_then(|(_, file)| file.clone()))
    }

    /// The files of the project as `velatura render` reads them.
    pub(crate) fn files(
        &mut self,
        session: &Session,
        project: &Project,
        figure: &FigureText,
    ) -> Result<MemoryFiles, Error> {
        let mask = self.mask(session, project, figure)?;
        Ok(project.files(&figure.photo, &figure.mask, mask.as_ref()))
    }

    /// The job of the project, read again only as far as something changed.
    pub(crate) fn job(
        &mut self,
        session: &Session,
        project: &Project,
        figure: &FigureText,
    ) -> Result<&Job, Error> {
        let planes = planes_key(project, figure);
        let fits = |made: &Made| {
            made.planes == planes
                && made.figure == project.figure
                && made.paints == project.paints
                && made.schemes == project.schemes
        };
        if self.job.as_ref().is_none_or(|made| !fits(made)) {
            let files = self.files(session, project, figure)?;
            let kept = self.job.take();
            let job = read(session, &files, project, planes, kept)?;
            self.job = Some(Made {
                planes,
                figure: Arc::clone(&project.figure),
                paints: project.paints.clone(),
                schemes: Arc::clone(&project.schemes),
                job,
            });
        }
        let made = self.job.as_ref().expect("just made");
        Ok(&made.job)
    }

    /// The job, if it was made from this project and nothing has changed since.
    pub(crate) fn job_at_hand(&self, project: &Project, figure: &FigureText) -> Option<&Job> {
        let made = self.job.as_ref()?;
        (made.planes == planes_key(project, figure) && made.figure == project.figure)
            .then_some(&made.job)
    }

    /// One scheme on the figure, cut to the figure: the pixels of the preview that the command writes. `number` is the tile's.
    pub(crate) fn tile(
        &mut self,
        session: &Session,
        project: &Project,
        figure: &FigureText,
        scheme: usize,
        number: Option<u64>,
    ) -> Result<Pixels, Error> {
        let job = self.job(session, project, figure)?;
        let wanted = job
            .schemes
            .get(scheme)
            .cloned()
            .ok_or_else(|| none("scheme", scheme))?;
        let run = Run::new(job, &Cancel::default());
        let planned = run.plan(&[wanted])?;
        let (sums, rows) = run.without_failing(|| {
            let mut rows = vec![Vec::new()];
            let sums = run.render(&planned, &mut rows, &|_| ())?;
            Ok((sums, rows))
        })?;
        let crop = job.underpainting.crop_box();
        let width = job.underpainting.subject.width as usize;
        let pixels = cut(&rows[0], width, crop);
        let means: Vec<Option<Encoded>> = (0..job.underpainting.subject.regions.len())
            .map(|region| sums[0].mean(region).map(|mean| mean.encoded()))
            .collect();
        if let Some(number) = number {
            if self.seen.len() >= MOST_SEEN {
                self.seen.clear();
            }
            self.seen.insert(number, means);
        }
        Ok(pixels)
    }

    /// The mean colours of the parts on a tile, once it was made.
    pub(crate) fn seen(&self, tile: Option<u64>) -> Option<&[Option<Encoded>]> {
        self.seen.get(&tile?).map(Vec::as_slice)
    }

    /// The index of the part at a place of a tile.
    pub(crate) fn part_at(
        &mut self,
        session: &Session,
        project: &Project,
        figure: &FigureText,
        (x, y): (u32, u32),
    ) -> Result<Option<usize>, Error> {
        let underpainting = &self.job(session, project, figure)?.underpainting;
        let crop = underpainting.crop_box();
        if x >= crop.width || y >= crop.height {
            return Ok(None);
        }
        let (x, y) = ((crop.x + x) as usize, (crop.y + y) as usize);
        let region = underpainting.subject.region[y * underpainting.subject.width as usize + x];
        Ok(usize::from(region).checked_sub(1))
    }
}

fn no_photo() -> Error {
    Error::refused("", "there is no photo yet", "a photo", "take or choose one")
}

/// Reads a job, or reads an earlier one again where only its texts changed.
fn read(
    session: &Session,
    files: &MemoryFiles,
    project: &Project,
    planes: u64,
    kept: Option<Made>,
) -> Result<Job, Error> {
    if let Some(mut kept) = kept
        && kept.planes == planes
        && kept.figure == project.figure
    {
        let names = [
            (PAINTS, kept.paints == project.paints),
            (SCHEMES, kept.schemes == project.schemes),
        ];
        let changed = names.into_iter().filter(|(_, same)| !same);
        let changed: Vec<_> = changed.map(|(name, _)| name.into()).collect();
        session.reload(files, &mut kept.job, &changed)?;
        return Ok(kept.job);
    }
    session.load_files(files, &JobFiles::next_to(FIGURE))
}

/// A number for the strokes on the photo.
pub(crate) fn strokes_key(project: &Project, figure: &FigureText) -> u64 {
    let photo = project.photo.as_ref().map(|photo| photo.bytes.hash);
    let colours: Vec<[u8; 3]> = figure.parts.iter().map(|part| part.colour.0).collect();
    hash_of(&(photo, colours, project.strokes.number()))
}

/// A number for everything that the planes are made from, the figure file aside.
pub(crate) fn planes_key(project: &Project, figure: &FigureText) -> u64 {
    let others: Vec<(&String, u64)> = project
        .others
        .iter()
        .map(|(name, bytes)| (name, bytes.hash))
        .collect();
    let mask = project.mask_file().map(|mask| mask.hash);
    hash_of(&(strokes_key(project, figure), mask, others))
}

/// The pixels within a box.
fn cut(pixels: &[[u8; 3]], width: usize, crop: CropBox) -> Pixels {
    let rows = (crop.y..crop.y + crop.height).map(|y| {
        let start = y as usize * width + crop.x as usize;
        &pixels[start..start + crop.width as usize]
    });
    Pixels::opaque(crop.width, crop.height, rows)
}
