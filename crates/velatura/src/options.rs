//! The options of a render.

use std::fmt;
use std::sync::Arc;

use velatura_document::Error;
use velatura_pipeline::figure::Underpainting;
use velatura_pipeline::scheme::Scheme;
use velatura_pipeline::{Cancel, Job, Run};
use velatura_sheet::PreviewFormat;

use crate::kept::{Drawn, Kept};

/// How much of a job to render.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Extent {
    /// Previews at the photo's size, unless [`RenderOptions::previews`] leaves them out, sheet, report, and the page that shows
    /// them all.
    #[default]
    Everything,
    /// Sheet and report, computed at the sheet's own scale.
    SheetOnly,
}

/// The options of a render: everything of every scheme by default, previews as PNG.
#[derive(Clone)]
#[must_use]
pub struct RenderOptions {
    pub(crate) only: Vec<String>,
    pub(crate) extent: Extent,
    previews: Option<PreviewFormat>,
    pub(crate) columns: Option<u32>,
    pub(crate) long_edge: Option<u32>,
    pub(crate) cancel: Cancel,
    progress: Option<Arc<dyn Fn(f64) + Send + Sync>>,
    kept: Option<Arc<Kept>>,
}

impl Default for RenderOptions {
    fn default() -> Self {
        Self {
            only: Vec::new(),
            extent: Extent::default(),
            previews: Some(PreviewFormat::default()),
            columns: None,
            long_edge: None,
            cancel: Cancel::default(),
            progress: None,
            kept: None,
        }
    }
}

impl fmt::Debug for RenderOptions {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("RenderOptions")
            .field("only", &self.only)
            .field("extent", &self.extent)
            .field("previews", &self.previews)
            .field("columns", &self.columns)
            .field("long_edge", &self.long_edge)
            .finish_non_exhaustive()
    }
}

impl RenderOptions {
    /// Renders only the schemes with these names, in the order of the file. Without names: every scheme.
    pub fn only<N: Into<String>>(mut self, names: impl IntoIterator<Item = N>) -> Self {
        self.only = names.into_iter().map(Into::into).collect();
        self
    }

    /// Sets how much to render.
    pub fn extent(mut self, extent: Extent) -> Self {
        self.extent = extent;
        self
    }

    /// Sets the file format of the previews; `None` writes no previews.
    pub fn previews(mut self, format: Option<PreviewFormat>) -> Self {
        self.previews = format;
        self
    }

    /// Sets the columns of the sheet, 1…1000.
    pub fn columns(mut self, columns: u32) -> Self {
        self.columns = Some(columns);
        self
    }

    /// Sets the longer edge of the sheet in pixels, 64…65,535.
    pub fn long_edge(mut self, pixels: u32) -> Self {
        self.long_edge = Some(pixels);
        self
    }

    /// Allows stopping the render.
    pub fn cancel(mut self, cancel: &Cancel) -> Self {
        self.cancel = cancel.clone();
        self
    }

    /// Calls `progress` with the share done, 0…1.
    pub fn progress(mut self, progress: impl Fn(f64) + Send + Sync + 'static) -> Self {
        self.progress = Some(Arc::new(progress));
        self
    }

    /// The format of the pictures at the photo's size; `None` if there are to be none.
    pub(crate) fn preview_format(&self) -> Option<PreviewFormat> {
        match self.extent {
            Extent::Everything => self.previews,
            Extent::SheetOnly => None,
        }
    }

    pub(crate) fn report_progress(&self, done: f64) {
        if let Some(progress) = &self.progress {
            progress(done);
        }
    }

    /// Uses again what earlier renders with the same [`Kept`] drew, and keeps what this one draws.
    pub fn keep(mut self, kept: &Arc<Kept>) -> Self {
        self.kept = Some(Arc::clone(kept));
        self
    }

    /// What was kept of each of these schemes, in their order.
    pub(crate) fn kept(
        &self,
        job: &Job,
        schemes: &[Scheme],
        paths: Option<&[String]>,
        size: (u32, u32),
    ) -> Vec<Option<Drawn>> {
        match &self.kept {
            Some(kept) => kept.take(job, schemes, paths, size),
            None => schemes.iter().map(|_| None).collect(),
        }
    }

    /// The planes of the sheet's pictures, kept or new.
    ///
    /// # Errors
    /// Too little memory.
    pub(crate) fn sheet_planes(
        &self,
        run: &Run<'_>,
        size: (u32, u32),
    ) -> Result<Arc<Underpainting>, Error> {
        match self.kept.as_ref().and_then(|kept| kept.planes(size)) {
            Some(planes) => Ok(planes),
            None => run.sheet_planes(size).map(Arc::new),
        }
    }

    pub(crate) fn keep_drawn(
        &self,
        job: &Job,
        drawn: Vec<Drawn>,
        size: (u32, u32),
        planes: &Arc<Underpainting>,
    ) {
        if let Some(kept) = &self.kept {
            kept.put(job, drawn, size, planes);
        }
    }

    /// The selected schemes as indices into the job's, in the order of the file.
    ///
    /// # Errors
    /// [`Error::Call`] for an unknown name.
    pub(crate) fn schemes(&self, job: &Job) -> Result<Vec<usize>, Error> {
        for name in &self.only {
            job.scheme_index(Some(name))
                .map_err(|problem| Error::call(problem.within("the schemes to render")))?;
        }
        let wanted = |name: &String| self.only.is_empty() || self.only.contains(name);
        Ok((0..job.schemes.len())
            .filter(|index| wanted(&job.schemes[*index].name))
            .collect())
    }
}
