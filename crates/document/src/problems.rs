//! The problems found so far in one file, and values with their places.

use std::cell::{Cell, RefCell};
use std::ops::Range;

use crate::diagnostic::{Diagnostic, Severity};
use crate::words::with_commas;

/// The most problems that are kept of one file. More are only counted: nobody reads them, and a file with a million of
/// them must not take minutes or gigabytes.
pub const COLLECTED_AT_MOST: usize = 200;

/// A value and its place, as a byte range of its file.
#[derive(Debug, Clone, PartialEq)]
pub struct At<T> {
    /// The value.
    pub value: T,
    /// Its byte range.
    pub at: Range<usize>,
}

/// Names with numbers, and the place of each, in the order of the file.
pub type NamedNumbers = Vec<(At<String>, At<f64>)>;

/// The problems found so far in one file. Beyond [`COLLECTED_AT_MOST`] they are only counted.
#[derive(Debug, Default)]
pub struct Problems {
    found: RefCell<Vec<Diagnostic>>,
    /// How many were only counted.
    more: Cell<usize>,
    any_error: Cell<bool>,
}

impl Problems {
    /// Adds an error. `problem` is only called if there is room for one more.
    pub fn error(&self, problem: impl FnOnce() -> Diagnostic) {
        self.add(Severity::Error, problem);
    }

    /// Adds a warning, whatever the severity that `problem` gives. It is only called if there is room for one more.
    pub fn warning(&self, problem: impl FnOnce() -> Diagnostic) {
        self.add(Severity::Warning, || problem().as_warning());
    }

    fn add(&self, severity: Severity, problem: impl FnOnce() -> Diagnostic) {
        if severity == Severity::Error {
            self.any_error.set(true);
        }
        if self.found.borrow().len() < COLLECTED_AT_MOST {
            let problem = problem();
            self.found.borrow_mut().push(problem);
        } else {
            self.more.set(self.more.get() + 1);
        }
    }

    /// How many there are so far, those that are only counted included.
    #[must_use]
    pub fn count(&self) -> usize {
        self.found.borrow().len() + self.more.get()
    }

    /// Whether any of them is an error.
    #[must_use]
    pub fn any_error(&self) -> bool {
        self.any_error.get()
    }

    /// All that are kept, in the order of the file, and as a last one how many more there are.
    #[must_use]
    pub fn into_sorted(self, file: &str) -> Vec<Diagnostic> {
        let mut all = self.found.into_inner();
        in_file_order(&mut all);
        let more = self.more.get();
        if more > 0 {
            let words = match more {
                1 => "1 more problem is not shown".to_owned(),
                more => format!("{} more problems are not shown", with_commas(more)),
            };
            let rest = Diagnostic::error(file, words).help("fix the others first");
            all.push(if self.any_error.get() {
                rest
            } else {
                rest.as_warning()
            });
        }
        all
    }
}

/// Sorts problems of one file by line and column; those of the whole file come first.
pub fn in_file_order(problems: &mut [Diagnostic]) {
    problems.sort_by_key(|problem| {
        let place = problem.place.as_ref();
        place.map_or((0, 0), |place| (place.line, place.column))
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn problems_beyond_the_limit_are_counted_and_still_stop_the_work() {
        let problems = Problems::default();
        for _ in 0..COLLECTED_AT_MOST {
            problems.warning(|| Diagnostic::error("a.toml", "x"));
        }
        assert!(!problems.any_error());
        problems.error(|| panic!("not made: it would not be shown"));
        assert!(problems.any_error());
        let all = problems.into_sorted("a.toml");
        assert_eq!(all.len(), COLLECTED_AT_MOST + 1);
        assert_eq!(
            all[COLLECTED_AT_MOST].to_string(),
            "error: a.toml: 1 more problem is not shown\n  help: fix the others first"
        );
        // Must not appear: a note where everything fits.
        let few = Problems::default();
        few.error(|| Diagnostic::error("a.toml", "x"));
        assert_eq!(few.into_sorted("a.toml").len(), 1);
    }
}
