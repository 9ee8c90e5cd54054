//! Arguments as Python writes them, with errors in the words of the module.

use std::ops::RangeInclusive;
use std::path::PathBuf;

use pyo3::prelude::*;
use velatura_document::{Diagnostic, Error, either};

/// One text or several.
#[derive(FromPyObject)]
pub(crate) enum Texts {
    /// A text alone.
    One(String),
    /// A sequence of them.
    Several(Vec<String>),
}

impl Texts {
    /// All of them.
    pub(crate) fn all(self) -> Vec<String> {
        match self {
            Self::One(text) => vec![text],
            Self::Several(texts) => texts,
        }
    }
}

/// A path or several.
#[derive(FromPyObject)]
pub(crate) enum Paths {
    /// A path alone.
    One(PathBuf),
    /// A sequence of them.
    Several(Vec<PathBuf>),
}

impl Paths {
    /// All of them.
    pub(crate) fn all(self) -> Vec<PathBuf> {
        match self {
            Self::One(path) => vec![path],
            Self::Several(paths) => paths,
        }
    }
}

/// The names of files in a message: `a.toml or b.toml`.
pub(crate) fn names_of(paths: &[PathBuf]) -> String {
    let names = paths.iter().map(|path| path.display().to_string());
    either(&names.collect::<Vec<_>>())
}

/// A mix, alone with a film of 1 or with its film.
#[derive(FromPyObject)]
pub(crate) enum Coat {
    /// `"Oil Amber:3,medium:7"`.
    Mix(String),
    /// `("Oil Amber:3,medium:7", 0.5)`.
    MixAndFilm(String, f64),
}

impl Coat {
    /// The mix and its film.
    pub(crate) fn parts(&self) -> (&str, f64) {
        match self {
            Self::Mix(mix) => (mix, 1.0),
            Self::MixAndFilm(mix, film) => (mix, *film),
        }
    }
}

/// The value that a word stands for.
///
/// # Errors
/// [`Error::Call`] with all words.
pub(crate) fn choice<T: Copy>(
    argument: &str,
    word: &str,
    choices: &[(&str, T)],
) -> Result<T, Error> {
    let found = choices.iter().find(|(known, _)| *known == word);
    found.map(|(_, value)| *value).ok_or_else(|| {
        let words: Vec<String> = choices
            .iter()
            .map(|(word, _)| format!("\"{word}\""))
            .collect();
        refused(
            argument,
            format!("\"{word}\" is not known"),
            &either(&words),
        )
    })
}

/// A whole number in a range.
///
/// # Errors
/// [`Error::Call`] with the range.
pub(crate) fn in_range<T: TryFrom<u64>>(
    argument: &str,
    number: u64,
    range: RangeInclusive<u64>,
) -> Result<T, Error> {
    if range.contains(&number)
        && let Ok(number) = T::try_from(number)
    {
        return Ok(number);
    }
    let expected = format!("{} to {}", range.start(), range.end());
    Err(refused(
        argument,
        format!("{number} is out of range"),
        &expected,
    ))
}

/// A call that is wrong in one argument.
pub(crate) fn refused(argument: &str, found: impl Into<String>, expected: &str) -> Error {
    Error::call(
        Diagnostic::error("", found)
            .within(argument)
            .expected(expected),
    )
}
