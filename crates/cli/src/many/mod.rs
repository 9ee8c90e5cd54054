//! `velatura render` for many figures: each has a folder of its own, two are worked on at the same time, and one that fails does
//! not stop the others.

mod figures;
mod made_from;
mod outcome;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use velatura::{
    Backend, Cancel, Error, Job, OutputFolder, Outputs, RenderOptions, Session, TOGETHER_FILE,
    Together, planned_files, render, running_clock, two_at_a_time,
};
use velatura_document::{Diagnostic, Files, LARGEST_PICTURE_BYTES};
use velatura_report::{FigureEntry, PAGE_FILE, figures_page};

use figures::Named;
pub(crate) use figures::{Shard, all_of, are_many};
use made_from::{MadeFrom, NotedFiles, Results};
pub(crate) use outcome::Summary;
use outcome::{Done, Outcome};

use crate::attached::{PluginArgs, Purpose, job_files, named_plugins, session};
use crate::format::Format;
use crate::messages::{report as print_error, warn};
use crate::progress::Bar;

/// A call for many figures.
pub(crate) struct Many<'a> {
    pub(crate) figures: Vec<Named>,
    pub(crate) out: &'a Path,
    pub(crate) paints: &'a [PathBuf],
    pub(crate) schemes: Option<&'a PathBuf>,
    pub(crate) plugins: &'a PluginArgs,
    pub(crate) backend: Backend,
    pub(crate) format: Format,
    /// Leave out figures whose results are complete and current.
    pub(crate) resume: bool,
    /// Also make one sheet of the same schemes on all figures.
    pub(crate) together: bool,
    /// Only a share of the figures is rendered: no page over all of them.
    pub(crate) share: bool,
    /// The options that change the results, as text for the record.
    pub(crate) options_text: String,
    pub(crate) options: RenderOptions,
    pub(crate) cancel: Cancel,
}

/// What came of a figure.
struct Worked {
    /// What could be better about it, to print.
    warnings: Vec<Diagnostic>,
    outcome: Result<Outcome, Error>,
    /// The job, if it is on the sheet of all figures.
    job: Option<Job>,
}

impl From<Result<Outcome, Error>> for Worked {
    fn from(outcome: Result<Outcome, Error>) -> Self {
        Self {
            warnings: Vec::new(),
            outcome,
            job: None,
        }
    }
}

impl Many<'_> {
    /// Renders all figures. Each one's outcome is printed as soon as it is known.
    ///
    /// # Errors
    /// Only what concerns all figures: the page over them cannot be written. [`Error::Cancelled`].
    pub(crate) fn run(&self) -> Result<Summary, Error> {
        let sessions = Sessions {
            many: self,
            by_plugins: Mutex::new(BTreeMap::new()),
        };
        let mut together = self.together.then(|| Together::of(self.figures.len()));
        let mut summary = Summary::new(self.format, self.out);
        let bar = Bar::new("rendering");
        let shares = Shares::new(&bar, self.figures.len());
        two_at_a_time(
            &self.figures,
            |at, named| self.work(named, &sessions, shares.of(at)),
            |named, worked| {
                let outcome = bar.hidden(|| self.settled(worked, together.as_mut()));
                let Some(outcome) = outcome.filter(|_| !self.cancel.is_stopped()) else {
                    return false;
                };
                bar.hidden(|| summary.add(named, outcome));
                true
            },
        );
        bar.clear();
        if self.cancel.is_stopped() {
            return Err(Error::Cancelled);
        }
        if !self.share {
            self.write_over_all(&summary, together.as_ref())?;
        }
        Ok(summary)
    }

    fn folder(&self, named: &Named) -> PathBuf {
        self.out.join(&named.folder)
    }

    /// Reads and renders one figure, as far as it needs it. `progress` gets the share done, 0…1.
    fn work(
        &self,
        named: &Named,
        sessions: &Sessions<'_>,
        progress: impl Fn(f64) + Send + Sync + 'static,
    ) -> Worked {
        let current = self
            .resume
            .then(|| MadeFrom::if_current(&self.folder(named), &named.figure, &self.options_text))
            .flatten();
        if let (Some(record), false) = (&current, self.together) {
            return Ok(Outcome::current(record)).into();
        }
        let (job, noted) = match self.load(named, sessions) {
            Ok(loaded) => loaded,
            Err(error) => return Err(error).into(),
        };
        let mut warnings = job.warnings.clone();
        let outcome = match current {
            Some(record) => Ok(Outcome::current(&record)),
            None => self.render(named, &job, &noted, progress, &mut warnings),
        };
        Worked {
            warnings,
            outcome,
            job: self.together.then_some(job),
        }
    }

    /// Prints the warnings of a figure, and puts it on the sheet of all. `None` if the whole call was stopped.
    fn settled(&self, worked: Worked, together: Option<&mut Together>) -> Option<Outcome> {
        for warning in &worked.warnings {
            warn(warning, self.format);
        }
        let outcome = worked.outcome.and_then(|outcome| {
            if let (Some(together), Some(job)) = (together, &worked.job) {
                together.add(job, &self.options)?;
            }
            Ok(outcome)
        });
        match outcome {
            Ok(outcome) => Some(outcome),
            Err(Error::Cancelled) => None,
            Err(error) => {
                let status = print_error(&error, self.format);
                Some(Outcome::failed(&error, status))
            }
        }
    }

    fn load(&self, named: &Named, sessions: &Sessions<'_>) -> Result<(Job, NotedFiles), Error> {
        let noted = NotedFiles::default();
        let session = sessions.of(&named.figure)?;
        for plugin in session.attached_files() {
            // Errors were reported when it was attached.
            let _ = noted.read(&plugin, LARGEST_PICTURE_BYTES);
        }
        let files = job_files(&session, &named.figure, self.paints, self.schemes);
        let job = session.load_files(&noted, &files)?;
        Ok((job, noted))
    }

    fn render(
        &self,
        named: &Named,
        job: &Job,
        noted: &NotedFiles,
        progress: impl Fn(f64) + Send + Sync + 'static,
        warnings: &mut Vec<Diagnostic>,
    ) -> Result<Outcome, Error> {
        let folder = self.folder(named);
        let options = self.options.clone().progress(progress);
        let report = render(job, &options, &OutputFolder::new(&folder))?;
        let files = planned_files(job, &options)?;
        let results = Results {
            folder: &folder,
            figure: &report.figure,
            schemes: report.schemes.len(),
            files: &files,
        };
        let record = MadeFrom::of(noted.noted(), &self.options_text, &results)?;
        // A stage that failed may work next time.
        if report.left_out.is_empty() {
            record.write(&folder, &job.inputs())?;
        }
        let problems = report.left_out.iter().flat_map(|one| &one.problems);
        warnings.extend(problems.cloned());
        Ok(Outcome::rendered(&record, !report.left_out.is_empty()))
    }

    /// The page over all figures, and the sheet of all of them.
    fn write_over_all(&self, summary: &Summary, together: Option<&Together>) -> Result<(), Error> {
        let inputs: Vec<PathBuf> = self.figures.iter().map(|one| one.figure.clone()).collect();
        let sheet = match together {
            Some(together) => together.sheet(&self.options)?,
            None => None,
        };
        let mut planned = vec![PAGE_FILE.to_owned()];
        planned.extend(sheet.as_ref().map(|_| TOGETHER_FILE.to_owned()));
        let outputs = OutputFolder::new(self.out);
        let files = outputs.open(&planned, &inputs)?;
        if let Some(sheet) = &sheet {
            files.write(TOGETHER_FILE, sheet)?;
        }
        let entries: Vec<FigureEntry> = summary
            .lines()
            .map(|(named, outcome)| FigureEntry {
                name: outcome.figure.clone().unwrap_or(named.folder.clone()),
                folder: named.folder.clone(),
                has_page: self.folder(named).join(PAGE_FILE).is_file(),
                schemes: outcome.schemes,
                problem: match &outcome.done {
                    Done::Failed { problem, .. } => Some(problem.clone()),
                    Done::Rendered { .. } | Done::Current => None,
                },
            })
            .collect();
        let page = figures_page(&entries, sheet.is_some().then_some(TOGETHER_FILE));
        files.write(PAGE_FILE, page.as_bytes())?;
        files.commit()
    }
}

/// A session for each set of plugins: attaching them takes longer than most figures.
struct Sessions<'a> {
    many: &'a Many<'a>,
    by_plugins: Mutex<BTreeMap<Vec<String>, Session>>,
}

impl Sessions<'_> {
    fn of(&self, figure: &Path) -> Result<Session, Error> {
        let plugins = named_plugins(self.many.plugins, figure);
        let mut sessions = self
            .by_plugins
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        if let Some(session) = sessions.get(&plugins) {
            return Ok(session.clone());
        }
        let builder = session(
            self.many.plugins,
            &[figure],
            self.many.format,
            Purpose::Work,
        )?;
        let session = builder
            .backend(self.many.backend.clone())
            .clock(running_clock())
            .build()?;
        sessions.insert(plugins, session.clone());
        Ok(session)
    }
}

/// What is done of each figure, as one bar.
struct Shares {
    bar: Bar,
    done: Arc<Mutex<Vec<f64>>>,
}

impl Shares {
    fn new(bar: &Bar, figures: usize) -> Self {
        Self {
            bar: bar.clone(),
            done: Arc::new(Mutex::new(vec![0.0; figures])),
        }
    }

    /// Takes the share done of one figure.
    fn of(&self, figure: usize) -> impl Fn(f64) + Send + Sync + 'static {
        let (bar, done) = (self.bar.clone(), Arc::clone(&self.done));
        move |share| {
            let mut done = done.lock().unwrap_or_else(PoisonError::into_inner);
            done[figure] = share;
            #[allow(clippy::cast_precision_loss, reason = "nobody has 2^53 figures")]
            let all = done.len() as f64;
            bar.set(done.iter().sum::<f64>() / all);
        }
    }
}
