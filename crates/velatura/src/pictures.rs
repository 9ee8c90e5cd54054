//! Schemes as pictures in memory, at the photo's size, for programs that do not want files.

use velatura_document::{Error, reserved};
use velatura_pipeline::scheme::Scheme;
use velatura_pipeline::{Job, LeftOut, Run};

use crate::options::RenderOptions;

/// One scheme on the figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The scheme's name.
    pub name: String,
    /// 8-bit sRGB, row by row from the top, as wide and high as the photo after its rotation.
    pub pixels: Vec<[u8; 3]>,
}

/// Pictures of schemes, and what was left out of them.
#[derive(Debug, Clone)]
pub struct Pictures {
    /// One per scheme, in the order of the file.
    pub pictures: Vec<Picture>,
    /// The stages that failed and were left out.
    pub left_out: Vec<LeftOut>,
}

/// Renders schemes into memory: the pixels of the previews that [`crate::render`] writes. Of the options, those about files have no
/// effect. Takes three bytes per pixel and scheme.
///
/// # Errors
/// [`Error::Call`] for a scheme that the job does not have, [`Error::Machine`] for too little memory or a failing device,
/// [`Error::Cancelled`].
pub fn render_pictures(job: &Job, options: &RenderOptions) -> Result<Pictures, Error> {
    let selected = options.schemes(job)?;
    let schemes: Vec<Scheme> = selected
        .iter()
        .map(|index| job.schemes[*index].clone())
        .collect();
    let run = Run::on_backend(job, &options.cancel, schemes.len())?;
    let planned = run.plan(&schemes)?;
    let subject = &job.underpainting.subject;
    let count = subject.width as usize * subject.height as usize;
    let pixels = run.without_failing(|| {
        let mut pixels = schemes
            .iter()
            .map(|_| Ok(reserved::<[u8; 3]>(count, &job.figure.photo.value)?))
            .collect::<Result<Vec<_>, Error>>()?;
        let progress = |done| options.report_progress(done);
        run.render(&planned, &mut pixels, &progress)?;
        Ok(pixels)
    })?;
    if run.is_cancelled() {
        return Err(Error::Cancelled);
    }
    let names = schemes.into_iter().map(|scheme| scheme.name);
    Ok(Pictures {
        pictures: names
            .zip(pixels)
            .map(|(name, pixels)| Picture { name, pixels })
            .collect(),
        left_out: run.left_out(),
    })
}
