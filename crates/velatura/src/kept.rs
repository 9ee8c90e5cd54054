//! Work of earlier renders of the same job, so that a change of one mix computes one scheme again and not all.

use std::sync::{Arc, Mutex, PoisonError};

use velatura_pipeline::figure::Underpainting;
use velatura_pipeline::scheme::Scheme;
use velatura_pipeline::{Job, PlannedScheme, RegionSums, SheetPicture};
use velatura_report::PagePicture;

/// Pictures and sums of the schemes that were rendered last, for [`RenderOptions::keep`](crate::RenderOptions::keep).
///
/// They count for the same planes, paints and outputs only: call [`Kept::clear`] when anything but the schemes has changed, or
/// when the next render goes elsewhere. With stages that are not built in, and with tables `[stage.NAME]`, nothing is kept.
#[derive(Debug, Default)]
pub struct Kept(Mutex<Work>);

#[derive(Debug, Default)]
struct Work {
    drawn: Vec<Drawn>,
    /// The planes of the sheet's pictures, with the pictures' size.
    planes: Option<((u32, u32), Arc<Underpainting>)>,
}

/// One scheme, drawn.
#[derive(Debug)]
pub(crate) struct Drawn {
    pub(crate) planned: PlannedScheme,
    /// Its picture on the sheet.
    pub(crate) picture: SheetPicture,
    /// The same for the page, if there is one.
    pub(crate) on_page: Option<PagePicture>,
    pub(crate) sums: RegionSums,
    /// The sums of its picture on the sheet.
    pub(crate) sheet_sums: RegionSums,
    /// Its preview, if there is one.
    pub(crate) path: Option<String>,
}

impl Kept {
    /// Forgets everything.
    pub fn clear(&self) {
        *self.lock() = Work::default();
    }

    /// The planes of the sheet's pictures, if they have this size.
    pub(crate) fn planes(&self, size: (u32, u32)) -> Option<Arc<Underpainting>> {
        let work = self.lock();
        let (kept, planes) = work.planes.as_ref()?;
        (*kept == size).then(|| Arc::clone(planes))
    }

    /// What was kept of each of these schemes, in their order: of the same picture in the same place. Everything else is forgotten.
    pub(crate) fn take(
        &self,
        job: &Job,
        schemes: &[Scheme],
        paths: Option<&[String]>,
        size: (u32, u32),
    ) -> Vec<Option<Drawn>> {
        let mut kept = std::mem::take(&mut self.lock().drawn);
        if !may_keep(job) {
            kept.clear();
        }
        let fits = |drawn: &Drawn, scheme: &Scheme, path: Option<&String>| {
            (drawn.picture.width, drawn.picture.height) == size
                && drawn.path.as_ref() == path
                && look_alike(&drawn.planned.scheme, scheme)
        };
        let mut take = |at: usize, scheme: &Scheme| {
            let path = paths.map(|paths| &paths[at]);
            let found = kept.iter().position(|drawn| fits(drawn, scheme, path))?;
            let mut drawn = kept.swap_remove(found);
            // Words may differ.
            drawn.planned.scheme = scheme.clone();
            Some(drawn)
        };
        let schemes = schemes.iter().enumerate();
        schemes.map(|(at, scheme)| take(at, scheme)).collect()
    }

    pub(crate) fn put(
        &self,
        job: &Job,
        drawn: Vec<Drawn>,
        size: (u32, u32),
        planes: &Arc<Underpainting>,
    ) {
        if may_keep(job) {
            let planes = Some((size, Arc::clone(planes)));
            *self.lock() = Work { drawn, planes };
        }
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, Work> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn may_keep(job: &Job) -> bool {
    job.session().attached_files().is_empty() && job.stage_tables.is_empty()
}

/// Whether two schemes give the same picture of the same figure.
fn look_alike(one: &Scheme, other: &Scheme) -> bool {
    let coats = |scheme: &Scheme| -> Vec<_> {
        let stacks = scheme.regions.iter();
        stacks.map(|stack| stack.coats.clone()).collect()
    };
    one.undercoat == other.undercoat
        && one.finish == other.finish
        && one.stages.is_empty()
        && other.stages.is_empty()
        && coats(one) == coats(other)
}
