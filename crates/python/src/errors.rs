//! Errors as exceptions that carry their diagnostics, and warnings.

use pyo3::exceptions::PyUserWarning;
use pyo3::prelude::*;
use pyo3::types::PyList;
use serde::Serialize;
use velatura_document::{Diagnostic, Error, Hint, SHOWN_AT_MOST};
use velatura_report::json_text;

/// The exception for an error. Its class is in `_errors.py`.
pub(crate) fn raised(py: Python<'_>, error: &Error) -> PyErr {
    let class = match error {
        Error::Input(_) | Error::Stage(_) => "InputError",
        Error::Call(_) => "CallError",
        Error::Machine(_) => "MachineError",
        Error::Cancelled => "Cancelled",
        _ => "VelaturaError",
    };
    let made = || -> PyResult<PyErr> {
        let class = py.import("velatura._errors")?.getattr(class)?;
        let problems = error.diagnostics();
        let exception = class.call1((message(error), diagnostics(py, problems)?))?;
        Ok(PyErr::from_value(exception))
    };
    made().unwrap_or_else(|failure| failure)
}

/// Every problem as text, as long as they fit on a screen or two.
fn message(error: &Error) -> String {
    let problems = error.diagnostics();
    if problems.is_empty() {
        return error.to_string();
    }
    let shown = problems.iter().take(SHOWN_AT_MOST).map(in_words);
    let mut text = shown
        .map(|problem| problem.to_string())
        .collect::<Vec<_>>()
        .join("\n\n");
    if problems.len() > SHOWN_AT_MOST {
        let more = problems.len() - SHOWN_AT_MOST;
        text += &format!("\n\n… and {more} more; fix these first");
    }
    text
}

/// Diagnostics as dicts with the keys of their JSON form.
pub(crate) fn diagnostics<'py>(
    py: Python<'py>,
    problems: &[Diagnostic],
) -> PyResult<Bound<'py, PyList>> {
    let problems: Vec<Diagnostic> = problems.iter().map(in_words).collect();
    Ok(from_json(py, &problems)?.cast_into()?)
}

/// A result as Python's own dicts, lists, numbers and texts: what its JSON form would be read as.
fn from_json<'py>(py: Python<'py>, result: &impl Serialize) -> PyResult<Bound<'py, PyAny>> {
    let text = json_text(result).map_err(|error| raised(py, &error))?;
    from_text(py, &text)
}

/// A result as Python's own values, from its JSON text.
pub(crate) fn from_text<'py>(py: Python<'py>, text: &str) -> PyResult<Bound<'py, PyAny>> {
    py.import("json")?.call_method1("loads", (text,))
}

/// Gives warnings to Python's own warnings filter.
pub(crate) fn warn(py: Python<'_>, problems: &[Diagnostic]) -> PyResult<()> {
    let category = py.get_type::<PyUserWarning>();
    for problem in problems {
        py.import("warnings")?
            .call_method1("warn", (in_words(problem).to_string(), &category))?;
    }
    Ok(())
}

/// The same problem with its help in the words of this module.
fn in_words(problem: &Diagnostic) -> Diagnostic {
    let mut problem = problem.clone();
    let words = |hint: Hint| Hint::from(hint.to_text(&own_words));
    problem.help = problem.help.map(words);
    problem
}

fn own_words(hint: &Hint) -> String {
    match hint {
        Hint::AutomaticBackend => {
            "use Session(backend=\"auto\"), which uses the processor if there is no device".into()
        }
        Hint::OtherAdapter => {
            "set VELATURA_ADAPTER to part of an adapter's name, or remove it".into()
        }
        Hint::OtherOutput => "choose another folder for out".into(),
        Hint::AttachPlugin => {
            "render this figure with the command, which attaches plugins; this module does not"
                .into()
        }
        // Words that fit every program.
        hint => hint.neutral_words(),
    }
}
