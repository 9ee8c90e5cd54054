//! Jobs: a figure with its schemes, rendered into arrays or files.

use std::path::PathBuf;

use numpy::ndarray::Array3;
use numpy::{IntoPyArray, PyArray3};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList};
use velatura::{Extent, OutputFolder, PreviewFormat, RenderOptions, render, render_pictures};
use velatura_document::Error;
use velatura_report::to_json;

use crate::arguments::{Texts, choice, in_range, refused};
use crate::errors::{diagnostics, from_text, raised};
use crate::work::{Cancel, flag, without_lock};

/// A picture: rows, columns, and red, green and blue.
type Array<'py> = Bound<'py, PyArray3<u8>>;

/// A figure with its schemes, ready to render. `Session.load` makes one. Any number of threads may use it.
#[pyclass(frozen, module = "velatura")]
#[derive(Debug)]
pub(crate) struct Job(velatura::Job);

impl Job {
    pub(crate) fn new(job: velatura::Job) -> Self {
        Self(job)
    }

    /// Pictures of the schemes with these names, each with its name.
    fn pictures<'py>(
        &self,
        py: Python<'py>,
        options: &RenderOptions,
        cancel: &velatura::Cancel,
    ) -> PyResult<Vec<(String, Array<'py>)>> {
        let size = &self.0.underpainting.subject;
        let shape = (size.height as usize, size.width as usize, 3);
        let rendered = without_lock(py, cancel, || {
            let arrays = render_pictures(&self.0, options)?.pictures.into_iter();
            arrays
                .map(|picture| {
                    // No copy: the list of pixels becomes the array's memory.
                    let array = Array3::from_shape_vec(shape, picture.pixels.into_flattened());
                    let array = array.map_err(|why| refused("", why.to_string(), ""))?;
                    Ok((picture.name, array))
                })
                .collect::<Result<Vec<_>, Error>>()
        })?;
        let arrays = rendered.into_iter();
        Ok(arrays
            .map(|(name, array)| (name, array.into_pyarray(py)))
            .collect())
    }
}

#[pymethods]
impl Job {
    /// The figure's name.
    #[getter]
    fn name(&self) -> &str {
        &self.0.figure.name
    }

    /// The names of the schemes, in the order of the file.
    #[getter]
    fn schemes(&self) -> Vec<&str> {
        self.0.schemes.iter().map(|scheme| &*scheme.name).collect()
    }

    /// Width and height of the photo in pixels, after its rotation.
    #[getter]
    fn size(&self) -> (u32, u32) {
        let subject = &self.0.underpainting.subject;
        (subject.width, subject.height)
    }

    /// What could be better, with the keys of VelaturaError.diagnostics.
    #[getter]
    fn warnings<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyList>> {
        diagnostics(py, &self.0.warnings)
    }

    /// Render one scheme at the photo's size.
    ///
    /// Returns a numpy array of uint8 in sRGB, with shape (height, width, 3) and row 0 at the top: the pixels of the preview
    /// that `write` makes.
    ///
    /// Raises CallError for an unknown scheme, and Cancelled after `cancel.stop()`.
    #[pyo3(signature = (scheme, cancel = None))]
    fn render<'py>(
        &self,
        py: Python<'py>,
        scheme: String,
        cancel: Option<&Bound<'py, Cancel>>,
    ) -> PyResult<Array<'py>> {
        let cancel = flag(cancel);
        let options = RenderOptions::default().only([&scheme]).cancel(&cancel);
        let first = self.pictures(py, &options, &cancel)?.into_iter().next();
        first
            .map(|(_, array)| array)
            .ok_or_else(|| raised(py, &refused("scheme", scheme, "a scheme")))
    }

    /// Render several schemes at once, which is faster than one after the other.
    ///
    /// only: the names of the schemes [default: all of them].
    ///
    /// Returns a dict from name to picture, in the order of the file, with pictures as from `render`. It takes three bytes per pixel and
    /// scheme.
    #[pyo3(signature = (only = None, cancel = None))]
    fn render_all<'py>(
        &self,
        py: Python<'py>,
        only: Option<Texts>,
        cancel: Option<&Bound<'py, Cancel>>,
    ) -> PyResult<Bound<'py, PyDict>> {
        let cancel = flag(cancel);
        let only = selected(only).map_err(|error| raised(py, &error))?;
        let options = RenderOptions::default().only(only).cancel(&cancel);
        let pictures = PyDict::new(py);
        for (name, array) in self.pictures(py, &options, &cancel)? {
            pictures.set_item(name, array)?;
        }
        Ok(pictures)
    }

    /// Write sheet.png, previews, index.html and report.json to a folder: all of them appear, or none.
    ///
    /// out: the folder; it is made if needed. only: the names of the schemes [default: all of them].
    /// previews: "png", "webp", "jpeg", or None for no previews.
    /// sheet_only: write only sheet.png and report.json, computed at the sheet's own scale.
    /// columns: columns of the sheet, 1 to 1000. long_edge: its longer edge in pixels, 64 to 65535.
    ///
    /// Returns the report as a dict: what report.json contains.
    #[pyo3(signature = (out, only = None, previews = Some("png"), sheet_only = false, columns = None, long_edge = None, cancel = None),
        text_signature = "($self, out, only=None, previews='png', sheet_only=False, columns=None, long_edge=None, cancel=None)")]
    #[allow(
        clippy::too_many_arguments,
        reason = "keywords in Python: each has a name and a default"
    )]
    fn write<'py>(
        &self,
        py: Python<'py>,
        out: PathBuf,
        only: Option<Texts>,
        previews: Option<&str>,
        sheet_only: bool,
        columns: Option<u64>,
        long_edge: Option<u64>,
        cancel: Option<&Bound<'py, Cancel>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let cancel = flag(cancel);
        let layout = (columns, long_edge);
        let options = write_options(only, previews, sheet_only, layout)
            .map_err(|error| raised(py, &error))?
            .cancel(&cancel);
        let report = without_lock(py, &cancel, || {
            render(&self.0, &options, &OutputFolder::new(&out))
        })?;
        let text = to_json(&report).map_err(|error| raised(py, &error))?;
        from_text(py, &text)
    }

    fn __repr__(&self) -> String {
        let (width, height) = self.size();
        let count = self.0.schemes.len();
        let name = &self.0.figure.name;
        format!("<velatura.Job {name:?}: {width} × {height} pixels, schemes: {count}>")
    }
}

/// The names to render; none means every scheme, so an empty list is refused.
fn selected(only: Option<Texts>) -> Result<Vec<String>, Error> {
    match only.map(Texts::all) {
        Some(names) if names.is_empty() => Err(refused(
            "only",
            "no scheme is named",
            "the name of a scheme, several names, or None for all schemes",
        )),
        names => Ok(names.unwrap_or_default()),
    }
}

fn write_options(
    only: Option<Texts>,
    previews: Option<&str>,
    sheet_only: bool,
    (columns, long_edge): (Option<u64>, Option<u64>),
) -> Result<RenderOptions, Error> {
    let formats = [
        ("png", PreviewFormat::Png),
        ("webp", PreviewFormat::Webp),
        ("jpeg", PreviewFormat::Jpeg),
    ];
    let previews = previews
        .map(|word| choice("previews", word, &formats))
        .transpose()?;
    let mut options = RenderOptions::default()
        .only(selected(only)?)
        .previews(previews)
        .extent(if sheet_only {
            Extent::SheetOnly
        } else {
            Extent::Everything
        });
    if let Some(columns) = columns {
        options = options.columns(in_range("columns", columns, 1..=1000)?);
    }
    if let Some(pixels) = long_edge {
        options = options.long_edge(in_range("long_edge", pixels, 64..=65_535)?);
    }
    Ok(options)
}
