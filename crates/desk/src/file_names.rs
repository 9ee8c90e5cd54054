//! The files of a project.

/// Names of the files that every project has.
pub(crate) const FIGURE: &str = "figure.toml";
pub(crate) const PAINTS: &str = "paints.toml";
pub(crate) const SCHEMES: &str = "schemes.toml";
/// Strokes in the colours of the parts, as `velatura regions` takes them.
pub(crate) const STROKES: &str = "strokes.png";
/// A schemes file without schemes.
pub(crate) const NO_SCHEMES: &str = "format = \"velatura-schemes/1\"\nscheme = []\n";
