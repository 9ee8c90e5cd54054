//! Calls of a component, one file per interface of the WIT package: plain values in, checked values out.
//!
//! Nothing here knows the stages of the pipeline. The result of a call has been validated as the WIT package requires: sizes,
//! ranges, printable text.

pub(crate) mod describe;
pub(crate) mod finish;
pub(crate) mod ground;
pub(crate) mod scheme_source;
pub(crate) mod scheme_transform;
pub(crate) mod sheet_text;

use crate::fault::{Fault, bytes_words, grouped};
use crate::limits::Limits;
use crate::words::hidden_in_text;

/// Checks a text that becomes a file or is read like one.
fn checked_text(text: String, limits: &Limits) -> Result<String, Fault> {
    if text.len() > limits.text_bytes {
        return Err(Fault::Answer {
            found: format!("its text has {}", bytes_words(text.len())),
            expected: format!("at most {}", bytes_words(limits.text_bytes)),
        });
    }
    match hidden_in_text(&text) {
        None => Ok(text),
        Some((c, line)) => Err(Fault::Answer {
            found: format!(
                "line {} of its text has the control character U+{:04X}",
                grouped(line as u64),
                u32::from(c)
            ),
            expected: "text, line breaks and tabs".to_owned(),
        }),
    }
}
