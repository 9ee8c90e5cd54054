//! `render --keep-best … --into FILE`: copies the schemes that won into a schemes file.

use std::path::{Path, PathBuf};

use velatura::{Error, Job};
use velatura_pipeline::scheme::{Proposed, painting_order, read_schemes_file, schemes_text};

use super::scheme_named::index_of;
use crate::files::read_text;
use crate::outputs::{Existing, OutputPlace, place, write_whole};

/// Schemes to copy, and the file that they go to with its text so far.
pub(super) struct Kept {
    schemes: Vec<usize>,
    target: OutputPlace,
    so_far: Option<String>,
    inputs: Vec<PathBuf>,
}

impl Kept {
    /// Checks names and file before any work.
    ///
    /// # Errors
    /// An unknown scheme; a file that is an input, is no schemes file, or has a scheme of that name already.
    pub(super) fn planned(job: &Job, names: &[String], into: &Path) -> Result<Self, Error> {
        let mut schemes = Vec::new();
        for name in listed(job, names) {
            let at = index_of(job, "--keep-best", Some(&name))?;
            if !schemes.contains(&at) {
                schemes.push(at);
            }
        }
        let inputs = job.inputs();
        let shown = into.display().to_string();
        let target = place(&shown, &inputs, Existing::Replace)?;
        let mut so_far = None;
        if into.exists() {
            let source = read_text(into)?;
            let file = read_schemes_file(&source).map_err(Error::inputs)?.value;
            for at in &schemes {
                let name = &job.schemes[*at].name;
                if let Some(there) = file.schemes.iter().find(|one| one.name.value == *name) {
                    let found = format!("there already is a scheme called \"{name}\"");
                    return Err(Error::call(
                        source
                            .error_at(&there.name.at, found)
                            .within("--keep-best")
                            .expected("a name that the file does not have yet")
                            .help("rename one of the two, or leave this one out"),
                    ));
                }
            }
            so_far = Some(source.text().to_owned());
        }
        Ok(Self {
            schemes,
            target,
            so_far,
            inputs,
        })
    }

    /// Writes the file: what it had before, and the schemes below it. Gives their number.
    ///
    /// # Errors
    /// [`Error::Machine`] if it cannot be written; then it is as it was.
    pub(super) fn write(self, job: &Job) -> Result<usize, Error> {
        let ground = job.ground();
        let remark = match &job.files.schemes {
            Some(file) => format!("Kept from {}.", file.display()),
            None => "Kept.".to_owned(),
        };
        let proposed: Vec<Proposed> = self
            .schemes
            .iter()
            .map(|at| Proposed {
                scheme: job.schemes[*at].clone(),
                remarks: vec![remark.clone()],
                order: painting_order(&job.schemes[*at], &ground),
            })
            .collect();
        let new = schemes_text(&proposed, &job.paints, &[]);
        let text = match self.so_far {
            None => new,
            Some(before) => {
                // The file has its `format` already, which is the first line of the new text.
                let blocks = new.split_once('\n').map_or("", |(_, blocks)| blocks);
                format!("{}\n{blocks}", before.trim_end())
            }
        };
        write_whole(&[(self.target, text.into_bytes())], &self.inputs)?;
        Ok(proposed.len())
    }
}

/// The names in a list: each text is a name, or several with commas between them.
fn listed(job: &Job, texts: &[String]) -> Vec<String> {
    let known = |name: &str| job.schemes.iter().any(|scheme| scheme.name == name);
    texts
        .iter()
        .flat_map(|text| {
            if known(text.trim()) {
                return vec![text.trim().to_owned()];
            }
            let pieces = text.split(',').map(|name| name.trim().to_owned());
            pieces.filter(|name| !name.is_empty()).collect()
        })
        .collect()
}
