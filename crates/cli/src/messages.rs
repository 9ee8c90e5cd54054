//! What is said where: results to standard output, messages to standard error, and the exit status.

use std::io::Write;
use std::process::ExitCode;

use serde::Serialize;
use velatura_document::{Diagnostic, SHOWN_AT_MOST};
use velatura_pipeline::optics::trust::Trust;
use velatura_pipeline::{Error, Registry};

use crate::commands::Format;

/// Exit status where the work is done but for a stage that failed.
const LEFT_OUT: u8 = 4;

/// Writes a result. A reader that has gone away (a closed pipe) is no error.
pub(crate) fn out(text: &str) -> Result<(), Error> {
    match std::io::stdout().write_all(text.as_bytes()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Error::machine_text(format!("standard output: {error}")))
        }
        _ => Ok(()),
    }
}

/// A result in its JSON form, with a newline at the end.
pub(crate) fn json(result: &impl Serialize) -> Result<String, Error> {
    serde_json::to_string_pretty(result)
        .map(|text| text + "\n")
        .map_err(|error| Error::machine_text(error.to_string()))
}

/// How far off predictions of this kind usually were, ΔE; nothing where nothing is predicted.
pub(crate) fn usual_error(trust: Trust) -> String {
    if trust == Trust::AS_PHOTOGRAPHED {
        String::new()
    } else {
        format!("{:.1}", trust.delta_e)
    }
}

/// A number with so many decimals; never a negative zero.
pub(crate) fn rounded(number: f64, decimals: i32) -> f64 {
    let scale = 10_f64.powi(decimals);
    (number * scale).round() / scale + 0.0
}

/// Tells a diagnostic on standard error.
pub(crate) fn warn(problem: &Diagnostic, format: Format) {
    let text = match format {
        Format::Text => format!("{problem}\n\n"),
        Format::Json => {
            serde_json::to_string(problem).unwrap_or_else(|_| problem.to_string()) + "\n"
        }
    };
    tell(&text);
}

/// Prints why the work stopped and gives the exit status: 1 the input, 2 the call, 3 the machine.
pub(crate) fn report(error: &Error, format: Format) -> ExitCode {
    let problems = error.diagnostics();
    for problem in problems.iter().take(SHOWN_AT_MOST) {
        warn(problem, format);
    }
    if problems.len() > SHOWN_AT_MOST {
        let more = problems.len() - SHOWN_AT_MOST;
        tell(&match format {
            Format::Text => format!("… and {more} more; fix these first\n"),
            Format::Json => format!("{{\"more\":{more}}}\n"),
        });
    }
    ExitCode::from(match error {
        Error::Call(_) => 2,
        Error::Machine(_) => 3,
        Error::Cancelled => 130,
        _ => 1,
    })
}

/// Tells which stages had no part in what was written, and gives the exit status: 4 if there is any, else 0.
pub(crate) fn done(registry: &Registry, format: Format) -> ExitCode {
    let left_out = registry.left_out();
    for problem in left_out.iter().flat_map(|left_out| &left_out.problems) {
        warn(problem, format);
    }
    if left_out.is_empty() {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(LEFT_OUT)
    }
}

/// Says something on standard error that is no diagnostic.
pub(crate) fn tell(text: &str) {
    // Where standard error is gone there is nobody left to tell.
    let _ = std::io::stderr().write_all(text.as_bytes());
}
