//! What must hold whatever the input is.
//!
//! Every failure is a diagnostic that names its file and says what was expected; nothing is written then. Every result has
//! finite numbers, well-formed pages and pictures, and a bounded size.

use std::collections::BTreeMap;

use velatura::MemoryOutputs;
use velatura_document::{COLLECTED_AT_MOST, Diagnostic, Error, Warned};

use super::Verdict;

/// No message is longer, in bytes: it has five parts of at most 1000 characters, and a line of the file.
const LONGEST_MESSAGE: usize = 24_000;
/// Problems of one reading: those that are kept of each of three files and of the pictures.
const MOST_PROBLEMS: usize = 4 * (COLLECTED_AT_MOST + 1);
/// The output of a small job.
const MOST_BYTES: usize = 64 << 20;

/// Fails with words unless `holds`.
pub(crate) fn must(holds: bool, words: impl FnOnce() -> String) -> Verdict {
    if holds { Ok(()) } else { Err(words()) }
}

/// Diagnostics, warnings included.
pub(crate) fn diagnostics(all: &[Diagnostic]) -> Verdict {
    must(all.len() <= MOST_PROBLEMS, || {
        format!("{} problems", all.len())
    })?;
    for one in all {
        let text = one.to_string();
        let words = |what: &str| format!("{what}: {text}");
        must(!one.file.is_empty(), || words("names no file"))?;
        call_problem(one)?;
    }
    Ok(())
}

/// Problems of a call, which has no file.
pub(crate) fn call_problem(one: &Diagnostic) -> Verdict {
    let text = one.to_string();
    let words = |what: &str| format!("{what}: {text}");
    let filled = |part: &Option<String>| part.as_ref().is_some_and(|part| !part.trim().is_empty());
    must(!one.found.trim().is_empty(), || words("says nothing"))?;
    let helps = filled(&one.expected) || one.help.is_some();
    must(!one.is_error() || helps, || {
        words("neither expects nor helps")
    })?;
    must(text.len() <= LONGEST_MESSAGE, || words("is too long"))?;
    must(
        text.chars()
            .all(|c| c == '\n' || c == '\t' || !c.is_control()),
        || words("commands a terminal"),
    )?;
    let computed = [&one.expected, &one.help.as_ref().map(ToString::to_string)];
    for part in computed.into_iter().flatten() {
        must(!odd_number(part), || words("has an odd number"))?;
    }
    // What a file or a call says is quoted.
    let quoted = one.place.is_some() || one.found.contains('"');
    must(!odd_number(&one.found) || quoted, || {
        words("has an odd number")
    })
}

/// Whether a text holds a number that is not finite.
fn odd_number(text: &str) -> bool {
    let words = text.split(|c: char| !c.is_alphanumeric());
    words.into_iter().any(|word| word == "NaN" || word == "inf")
}

/// Why work stopped.
pub(crate) fn error(error: &Error) -> Verdict {
    match error {
        Error::Input(problems) => {
            must(problems.iter().any(Diagnostic::is_error), || {
                format!("stopped without an error: {problems:?}")
            })?;
            diagnostics(problems)
        }
        Error::Call(problems) => {
            must(!problems.is_empty(), || "refused without a word".to_owned())?;
            problems.iter().try_for_each(call_problem)
        }
        other => Err(format!("no such end is expected here: {other:?}")),
    }
}

/// The value of something that was read, if it is right; its warnings or problems hold.
pub(crate) fn read<T>(result: Result<Warned<T>, Vec<Diagnostic>>) -> Result<Option<T>, String> {
    match result {
        Ok(Warned { value, warnings }) => {
            must(!warnings.iter().any(Diagnostic::is_error), || {
                format!("read in spite of errors: {warnings:?}")
            })?;
            diagnostics(&warnings).map(|()| Some(value))
        }
        Err(problems) => error(&Error::Input(problems)).map(|()| None),
    }
}

/// As [`read`], for what has one problem.
pub(crate) fn read_one<T>(result: Result<Warned<T>, Diagnostic>) -> Result<Option<T>, String> {
    read(result.map_err(|problem| vec![problem]))
}

/// Numbers of a result.
pub(crate) fn finite(what: &str, numbers: impl IntoIterator<Item = f64>) -> Verdict {
    for number in numbers {
        must(number.is_finite(), || format!("{what} is {number}"))?;
    }
    Ok(())
}

/// A page or a drawing: well-formed XML.
pub(crate) fn page(text: &str) -> Verdict {
    let text = match text.starts_with("<!DOCTYPE") {
        true => velatura_testkit::pages::xml(text),
        false => text.to_owned(),
    };
    roxmltree::Document::parse(&text)
        .map(drop)
        .map_err(|why| format!("the page is not well-formed: {why}"))
}

/// JSON text in which only these keys may be `null`.
pub(crate) fn json(text: &str, empty: &[&str]) -> Verdict {
    let value: serde_json::Value =
        serde_json::from_str(text).map_err(|why| format!("this is no JSON: {why}"))?;
    nulls("", &value, empty)
}

fn nulls(key: &str, value: &serde_json::Value, empty: &[&str]) -> Verdict {
    match value {
        serde_json::Value::Null => must(empty.contains(&key), || format!("`{key}` is null")),
        serde_json::Value::Array(parts) => {
            parts.iter().try_for_each(|part| nulls(key, part, empty))
        }
        serde_json::Value::Object(parts) => parts
            .iter()
            .try_for_each(|(key, part)| nulls(key, part, empty)),
        _ => Ok(()),
    }
}

/// The files of a render or a pair.
pub(crate) fn outputs(files: &BTreeMap<String, Vec<u8>>) -> Verdict {
    must(files.contains_key("report.json"), || {
        "there is no report".to_owned()
    })?;
    let bytes: usize = files.values().map(Vec::len).sum();
    must(bytes <= MOST_BYTES, || format!("{bytes} bytes of output"))?;
    for (name, bytes) in files {
        let text = || std::str::from_utf8(bytes).map_err(|why| format!("{name}: {why}"));
        let found = match name.rsplit_once('.').map(|(_, kind)| kind) {
            Some("json") => json(text()?, &EMPTY),
            Some("html") => page(text()?),
            Some("png") => image::load_from_memory(bytes)
                .map(drop)
                .map_err(|why| why.to_string()),
            _ => Err("a file of no known kind".to_owned()),
        };
        found.map_err(|why| format!("{name}: {why}"))?;
    }
    Ok(())
}

/// Keys of reports that may have no value.
const EMPTY: [&str; 8] = [
    "place",
    "in",
    "expected",
    "help",
    "preview",
    "distance_mm",
    "blur_mm",
    "true_size_share",
];

/// A result into memory: good files, or an error and no file.
pub(crate) fn written<T>(result: &Result<T, Error>, outputs_of: &MemoryOutputs) -> Verdict {
    let files: BTreeMap<String, Vec<u8>> = outputs_of.files().into_iter().collect();
    match result {
        Ok(_) => outputs(&files),
        Err(why) => {
            must(files.is_empty(), || {
                format!("{} files in spite of {why}", files.len())
            })?;
            error(why)
        }
    }
}
