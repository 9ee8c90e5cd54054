//! Sessions: what all jobs share.

use std::path::PathBuf;

use pyo3::prelude::*;
use velatura::{Backend, BackendChoice, DiskFiles, JobFiles, running_clock};
use velatura_document::{Diagnostic, Error, Hint};
use velatura_pipeline::figure::named_in;

use crate::arguments::{Paths, choice, in_range};
use crate::errors::raised;
use crate::job::Job;
use crate::work::without_lock;

/// The environment variable that names the adapter to use.
const ADAPTER_VARIABLE: &str = "VELATURA_ADAPTER";

/// What all jobs share. Build one, and use it from any number of threads.
///
/// backend: "auto" (a graphics card if there is one and the job is large enough, otherwise the processor), "gpu" or "cpu".
/// VELATURA_ADAPTER selects a card by part of its name.
/// memory: how many bytes a render may use on top of the photo and its planes [default: 512 MiB].
#[pyclass(frozen, module = "velatura")]
#[derive(Debug)]
pub(crate) struct Session(velatura::Session);

#[pymethods]
impl Session {
    #[new]
    #[pyo3(signature = (backend = "auto", memory = None))]
    fn new(py: Python<'_>, backend: &str, memory: Option<u64>) -> PyResult<Self> {
        built(backend, memory)
            .map(Self)
            .map_err(|error| raised(py, &error))
    }

    /// Read a figure, its paints and its schemes.
    ///
    /// figure: path of the figure file. paints: path of a paints file, or a list of files that join. schemes: path of that file
    /// [default: paints.toml and schemes.toml in the figure's folder].
    ///
    /// Raises InputError with every problem of every file.
    #[pyo3(signature = (figure, paints = None, schemes = None))]
    fn load(
        &self,
        py: Python<'_>,
        figure: PathBuf,
        paints: Option<Paths>,
        schemes: Option<PathBuf>,
    ) -> PyResult<Job> {
        let usual = JobFiles::next_to(figure);
        let files = JobFiles {
            paints: paints.map_or(usual.paints, Paths::all),
            schemes: schemes.or(usual.schemes),
            figure: usual.figure,
        };
        // Loading cannot be stopped: Ctrl-C takes effect when it ends.
        let cancel = velatura::Cancel::default();
        let job = without_lock(py, &cancel, || {
            let mut job = self.0.load_files(&DiskFiles, &files)?;
            job.warnings.extend(no_plugins(&job));
            Ok(job)
        })?;
        Ok(Job::new(job))
    }
}

fn built(backend: &str, memory: Option<u64>) -> Result<velatura::Session, Error> {
    let choices = [
        ("auto", BackendChoice::Auto),
        ("gpu", BackendChoice::Gpu),
        ("cpu", BackendChoice::Cpu),
    ];
    let adapter = std::env::var(ADAPTER_VARIABLE).ok();
    let backend = Backend::new(
        choice("backend", backend, &choices)?,
        adapter.filter(|name| !name.is_empty()),
    );
    let mut builder = velatura::session().backend(backend).clock(running_clock());
    if let Some(bytes) = memory {
        builder = builder.budget_bytes(in_range("memory", bytes, 1..=usize::MAX as u64)?);
    }
    builder.build()
}

/// A warning if the figure names plugins: the command would attach them.
fn no_plugins(job: &velatura::Job) -> Option<Diagnostic> {
    let first = job.figure.plugins.first()?;
    let file = job.files.figure.display().to_string();
    Some(
        Diagnostic::warning(file, "the plugins of this figure are not attached")
            .within(named_in(&job.figure, &first.at, "plugins"))
            .help(Hint::AttachPlugin),
    )
}
