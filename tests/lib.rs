//! What the checks share: tables of published data, the demo, and the texts of our own sources.

pub mod source_text;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use velatura::{Files, Job, Session};

/// The repository's root.
///
/// # Panics
/// Never: this crate is in a folder below the root.
#[must_use]
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("the tests are below the root")
        .to_owned()
}

/// One row of a table: text by column name.
pub type Row = BTreeMap<String, String>;

/// Reads a comma-separated table of `tests/data`; its first line must say where the data are from.
///
/// # Panics
/// If the file is missing, names no source, or has a ragged row: a check without its data is a failure.
#[must_use]
pub fn table(name: &str) -> Vec<Row> {
    let path = root().join("tests/data").join(name);
    let text = std::fs::read_to_string(&path)
        .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let mut lines = text.lines();
    if !name.contains('/') {
        let first = lines.next().unwrap_or_default();
        assert!(
            first.starts_with("# source: ") || first.starts_with("# invented"),
            "{name} does not name its source"
        );
    }
    let header: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    lines
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            assert_eq!(cells.len(), header.len(), "{name}: a ragged row: {line}");
            header
                .iter()
                .zip(cells)
                .map(|(key, cell)| ((*key).to_owned(), cell.trim().to_owned()))
                .collect()
        })
        .collect()
}

/// A number of a row.
///
/// # Panics
/// If the column is missing or holds no number.
#[must_use]
pub fn number(row: &Row, column: &str) -> f64 {
    let cell = row
        .get(column)
        .unwrap_or_else(|| panic!("no column {column}"));
    cell.parse()
        .unwrap_or_else(|_| panic!("{column} holds {cell:?}, not a number"))
}

/// Asserts that two numbers are near.
///
/// # Panics
/// If they are further apart than `tolerance`, or one is not a number.
pub fn assert_close(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{what}: found {found}, expected {expected} ± {tolerance}"
    );
}

/// The demo's figure file, from the root.
pub const DEMO: &str = "demo_images/lamplighter/figure.toml";

/// The rivals' figure file, from the root.
pub const RIVALS: &str = "demo_images/reedwarden/figure.toml";

/// Reads a file by a path from the root.
///
/// # Errors
/// A diagnostic with the machine's words.
pub fn read_from_root(path: &str) -> Result<Vec<u8>, velatura_document::Diagnostic> {
    std::fs::read(root().join(path))
        .map_err(|error| velatura_document::Diagnostic::error(path, error.to_string()))
}

/// The demo, loaded with the stages of a session.
///
/// # Panics
/// If it does not load.
#[must_use]
pub fn demo_job(session: &Session) -> Job {
    job_of(session, DEMO, LightPhoto::Used)
}

/// Whether a figure's light photo is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LightPhoto {
    /// As the figure file says.
    Used,
    /// The line of the figure file is removed.
    LeftOut,
}

/// Files by their paths from the root.
#[derive(Debug, Clone, Copy)]
pub struct RootFiles(pub LightPhoto);

impl Files for RootFiles {
    fn read(&self, path: &Path, _: u64) -> std::io::Result<Vec<u8>> {
        let bytes = std::fs::read(root().join(path))?;
        let is_figure = path.file_name().is_some_and(|name| name == "figure.toml");
        if !is_figure || self.0 == LightPhoto::Used {
            return Ok(bytes);
        }
        let text = String::from_utf8(bytes).expect("the demo's figure files are UTF-8");
        let kept: Vec<&str> = text
            .lines()
            .filter(|line| !line.starts_with("light_photo"))
            .collect();
        assert!(
            kept.len() < text.lines().count(),
            "no light photo in {}",
            path.display()
        );
        Ok(kept.join("\n").into_bytes())
    }
}

/// A figure by its file's path from the root, loaded with the stages of a session.
///
/// # Panics
/// If it does not load, or has no light photo to leave out.
#[must_use]
pub fn job_of(session: &Session, figure: &str, light_photo: LightPhoto) -> Job {
    session
        .load(&RootFiles(light_photo), figure)
        .unwrap_or_else(|error| panic!("{error}"))
}

/// A session with every built-in stage.
///
/// # Panics
/// Never: the built-in stages fit together.
#[must_use]
pub fn built_in_session() -> Session {
    velatura::session().build().expect("built-in stages")
}

/// Pixels of a picture file below the root, row-major.
///
/// # Panics
/// If it is missing or not a picture.
#[must_use]
pub fn picture(path: &str) -> (usize, Vec<[u8; 3]>) {
    let picture = image::open(root().join(path))
        .unwrap_or_else(|error| panic!("{path}: {error}"))
        .into_rgb8();
    (
        picture.width() as usize,
        picture.pixels().map(|pixel| pixel.0).collect(),
    )
}

/// The README's example runs as a test.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
#[derive(Debug)]
pub struct Readme;
