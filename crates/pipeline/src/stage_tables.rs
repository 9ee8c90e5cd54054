//! Which stages work on what, and with which parameters: the tables `[stage.NAME]` of the user's files, the most specific
//! first.
//!
//! In: tables as written, and the descriptions of stages. Out: parameters, or that a stage is not used. Not here: validating a
//! table (`parameters.rs`).

use std::collections::BTreeSet;
use std::sync::Arc;

use velatura_document::StageTable;
use velatura_document::{Diagnostic, Hint, Problems, either, nearest};
use velatura_scheme::Scheme;

use crate::catalogue::{Entry, Found, Standing};
use crate::parameters::{Parameters, defaults};
use crate::session::Session;
use crate::stage::AttachPoint;
use velatura_document::Error;

/// A stage that works on something, with its parameters.
pub(crate) type InUse<'a, T> = (&'a Arc<Entry>, &'a T, Parameters);

/// The tables of a job's files. The most specific one wins and replaces the others entirely: first the scheme's, then that of
/// the schemes file, then the figure's. A registered stage that no table mentions works everywhere, with its defaults.
#[derive(Debug, Clone, Default)]
pub struct StageTables {
    /// The tables of the files, the most specific first.
    files: Vec<StageTable>,
    /// The names in the tables of any scheme.
    in_schemes: BTreeSet<String>,
}

impl StageTables {
    /// Whether no file and no scheme has a table for any stage.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.files.is_empty() && self.in_schemes.is_empty()
    }
}

impl StageTables {
    /// The tables of a figure file, of a schemes file, and of the schemes themselves.
    #[must_use]
    pub fn new(figure: &[StageTable], schemes_file: &[StageTable], schemes: &[Scheme]) -> Self {
        Self {
            files: schemes_file.iter().chain(figure).cloned().collect(),
            in_schemes: schemes
                .iter()
                .flat_map(|scheme| &scheme.stages)
                .map(|table| table.name.value.clone())
                .collect(),
        }
    }

    /// The problems of the tables, including those of schemes: of each file the first 200, and how many more there are.
    #[must_use]
    pub fn problems(&self, session: &Session, schemes: &[Scheme]) -> Vec<Diagnostic> {
        let mut by_file: Vec<(&str, Problems)> = Vec::new();
        let of_schemes = schemes.iter().flat_map(|scheme| &scheme.stages);
        let tables = self.files.iter().map(|table| (table, false));
        for (table, of_a_scheme) in tables.chain(of_schemes.map(|table| (table, true))) {
            let file = table.source.name();
            let index = by_file.iter().position(|(name, _)| *name == file);
            let index = index.unwrap_or_else(|| {
                by_file.push((file, Problems::default()));
                by_file.len() - 1
            });
            let problems = &by_file[index].1;
            match session.catalogue().entry(&table.name.value) {
                // The stage may be in a file that could not be attached, which is reported elsewhere; the rest of the job
                // goes on.
                None if !session.unattached().is_empty() => {
                    problems.warning(|| unknown(session, table));
                }
                None => problems.error(|| unknown(session, table)),
                Some(entry) if of_a_scheme && !is_per_scheme(entry.info.attach_point) => {
                    problems.error(|| not_per_scheme(entry, table));
                }
                Some(entry) => {
                    entry.judge.checked_into(table, problems);
                }
            }
        }
        let sorted = by_file.into_iter();
        sorted
            .flat_map(|(file, problems)| problems.into_sorted(file))
            .collect()
    }

    /// The stages that work on the whole job, with their parameters, in the order of registration.
    ///
    /// # Errors
    /// [`Error::Input`] if a stage does not allow a value.
    pub(crate) fn in_job<'a, T: ?Sized>(
        &self,
        stages: &[Found<'a, T>],
    ) -> Result<Vec<InUse<'a, T>>, Error> {
        self.found(stages, &[])
    }

    /// The stages that work on a scheme, with their parameters, in the order of registration.
    ///
    /// # Errors
    /// As [`StageTables::in_job`].
    pub(crate) fn in_use<'a, T: ?Sized>(
        &self,
        stages: &[Found<'a, T>],
        scheme: &Scheme,
    ) -> Result<Vec<InUse<'a, T>>, Error> {
        self.found(stages, &scheme.stages)
    }

    fn found<'a, T: ?Sized>(
        &self,
        stages: &[Found<'a, T>],
        nearest: &[StageTable],
    ) -> Result<Vec<InUse<'a, T>>, Error> {
        let mut problems = Vec::new();
        let mut found = Vec::new();
        for (entry, stage) in stages {
            match self.parameters(entry, nearest) {
                Some(Ok(parameters)) => found.push((*entry, *stage, parameters)),
                Some(Err(why)) => problems.extend(why),
                None => {}
            }
        }
        if problems.is_empty() {
            Ok(found)
        } else {
            Err(Error::Input(problems))
        }
    }

    fn parameters(
        &self,
        entry: &Entry,
        nearest: &[StageTable],
    ) -> Option<Result<Parameters, Vec<Diagnostic>>> {
        let name = &entry.info.name;
        let table = nearest
            .iter()
            .chain(&self.files)
            .find(|table| table.name.value == *name);
        match (table, entry.standing) {
            (Some(table), _) => Some(entry.judge.checked(table)),
            (None, Standing::Offered) => None,
            (None, _) if self.in_schemes.contains(name) => None,
            (None, _) => Some(defaults(&entry.info.parameters).map_err(|problems| {
                let part = format!("{} \"{name}\"", entry.info.attach_point);
                let file = entry.info.file.as_ref();
                problems
                    .into_iter()
                    .map(|mut problem| {
                        // A built-in stage has no file to name.
                        problem.file = file.map_or_else(String::new, |file| file.path.clone());
                        problem
                            .within(part.clone())
                            .help(format!("add [stage.{name}] with it to figure.toml"))
                    })
                    .collect()
            })),
        }
    }
}

/// Whether it can differ between schemes.
fn is_per_scheme(point: AttachPoint) -> bool {
    matches!(
        point,
        AttachPoint::SchemeTransform | AttachPoint::CoatModel | AttachPoint::Finish
    )
}

fn unknown(session: &Session, table: &StageTable) -> Diagnostic {
    let name = &table.name.value;
    let infos = session.stages();
    let names: Vec<String> = infos
        .iter()
        .map(|info| format!("\"{}\"", info.name))
        .collect();
    let near = nearest(name, infos.iter().map(|info| info.name.as_str()));
    let near = near.map_or(String::new(), |near| format!("did you mean \"{near}\"?"));
    let help = Hint::from(near).or(Hint::AttachPlugin);
    table
        .source
        .error_at(&table.name.at, format!("no stage is called \"{name}\""))
        .expected(either(&names))
        .help(help)
}

fn not_per_scheme(entry: &Entry, table: &StageTable) -> Diagnostic {
    let (name, point) = (&entry.info.name, entry.info.attach_point);
    table
        .source
        .error_at(
            &table.name.at,
            format!("\"{name}\" is a {point}, which does not belong to a single scheme"),
        )
        .expected("a finish, a coat model or a scheme transform")
        .help(format!("write [stage.{name}] above the first [[scheme]]"))
}
