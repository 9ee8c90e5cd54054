//! Outputs that fail at any write: the error names the file, and nothing is committed.

use std::io::{self, ErrorKind, Write};
use std::path::PathBuf;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, LazyLock};

use rand::RngExt;
use velatura::{
    Extent, Job, MemoryOutputs, Outputs, PairOptions, RenderOptions, Side, pair, render,
};
use velatura_document::{Diagnostic, Error};
use velatura_output::{FileSet, NewFile};

use super::job::SESSION;
use crate::kit::base::{FIGURE, TINY};
use crate::kit::case::Case;
use crate::kit::oracle::{call_problem, must, written};
use crate::kit::{Chance, Target, Verdict};

pub(crate) const TARGET: Target = Target {
    name: "faults",
    share: 12,
    make,
    run,
};

/// What a disk may say.
const KINDS: [ErrorKind; 4] = [
    ErrorKind::StorageFull,
    ErrorKind::FileTooLarge,
    ErrorKind::OutOfMemory,
    ErrorKind::Other,
];

/// Values: the write that fails, 1 for a pair in place of a render, what the disk says.
fn make(chance: &mut Chance) -> Case {
    let writes = if chance.random_bool(0.5) { 40 } else { 600 };
    Case::of("")
        .value(chance.random_range(0..writes).to_string())
        .value(u8::from(chance.random_ratio(1, 30)).to_string())
        .value(chance.random_range(0..KINDS.len()).to_string())
}

static JOB: LazyLock<Job> = LazyLock::new(|| {
    SESSION
        .load(&TINY.memory(), FIGURE)
        .expect("the tiny figure is right")
});

/// A disk that takes some writes and no more.
#[derive(Debug)]
struct Disk {
    left: AtomicUsize,
    says: ErrorKind,
}

impl Disk {
    fn takes(&self) -> io::Result<()> {
        let left = self
            .left
            .fetch_update(Ordering::Relaxed, Ordering::Relaxed, |left| {
                left.checked_sub(1)
            });
        left.map(drop).map_err(|_| self.says.into())
    }
}

/// Outputs in memory on such a disk.
struct Full {
    within: MemoryOutputs,
    disk: Arc<Disk>,
}

struct FullSet<'a>(Box<dyn FileSet + 'a>, Arc<Disk>);

struct FullFile(Box<dyn NewFile>, Arc<Disk>);

impl Outputs for Full {
    fn open(&self, planned: &[String], inputs: &[PathBuf]) -> Result<Box<dyn FileSet + '_>, Error> {
        let set = self.within.open(planned, inputs)?;
        Ok(Box::new(FullSet(set, Arc::clone(&self.disk))))
    }
}

impl FileSet for FullSet<'_> {
    fn begin(&self, path: &str) -> Result<Box<dyn NewFile>, Error> {
        Ok(Box::new(FullFile(self.0.begin(path)?, Arc::clone(&self.1))))
    }

    fn start_over(&self) {
        self.0.start_over();
    }

    fn commit(self: Box<Self>) -> Result<(), Error> {
        self.0.commit()
    }
}

impl Write for FullFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.1.takes()?;
        self.0.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.0.flush()
    }
}

impl NewFile for FullFile {
    fn shown(&self) -> &str {
        self.0.shown()
    }

    fn finish(self: Box<Self>) -> Result<(), Error> {
        self.0.finish()
    }
}

fn run(case: &Case) -> Verdict {
    let says = KINDS[case.number(2).min(KINDS.len() - 1)];
    let outputs = Full {
        within: MemoryOutputs::new(),
        disk: Arc::new(Disk {
            left: AtomicUsize::new(case.number(0)),
            says,
        }),
    };
    let failed = match case.number(1) {
        1 => {
            let sides = [0, 1].map(|scheme| Side { job: &JOB, scheme });
            pair(&sides, &PairOptions::default(), &outputs).err()
        }
        _ => {
            let options = RenderOptions::default()
                .long_edge(300)
                .extent(Extent::Everything);
            render(&JOB, &options, &outputs).err()
        }
    };
    let Some(failed) = failed else {
        return written(&Ok(()), &outputs.within);
    };
    let Error::Machine(problems) = &failed else {
        return Err(format!("this is no fault of the machine: {failed:?}"));
    };
    must(outputs.within.files().is_empty(), || {
        format!("files in spite of {failed}")
    })?;
    problems
        .iter()
        .try_for_each(|problem| names_its_file(problem, says))
}

fn names_its_file(problem: &Diagnostic, says: ErrorKind) -> Verdict {
    let known = problem.file.ends_with(".png")
        || problem.file.ends_with(".json")
        || problem.file.ends_with(".html");
    must(known, || format!("names no file: {problem}"))?;
    must(problem.within.is_some(), || {
        format!("does not say that nothing was written: {problem}")
    })?;
    match says {
        // The system has no advice for these.
        ErrorKind::Other | ErrorKind::OutOfMemory => Ok(()),
        _ => call_problem(problem),
    }
}
