//! Numbers in arguments.

use velatura_document::Range;

/// Reads a number of an argument.
///
/// # Errors
/// What was expected.
pub(crate) fn number(text: &str, range: Range) -> Result<f64, String> {
    text.parse()
        .ok()
        .filter(|number| range.contains(*number))
        .ok_or_else(|| format!("expected a number {}", range.words()))
}
