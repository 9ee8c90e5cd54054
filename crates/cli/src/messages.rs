//! Output: results to standard output, messages to standard error; and the exit status.

use std::io::Write;
use std::process::ExitCode;

use velatura_document::{Diagnostic, SHOWN_AT_MOST, Warned, for_terminal};
use velatura_pipeline::optics::trust::Trust;
use velatura_pipeline::{Error, LeftOut};

use crate::format::Format;
use crate::hints::with_options;

/// Exit status if everything is done except for a stage that failed.
pub(crate) const LEFT_OUT: u8 = 4;

/// Writes a result: text, JSON or TOML. Characters that control a terminal are escaped in a way that JSON and TOML
/// understand. A reader that has gone away (a closed pipe) is not an error.
pub(crate) fn out(text: &str) -> Result<(), Error> {
    out_with_colours(&for_terminal(text))
}

/// Like [`out`], but nothing is escaped, so that coloured chips reach the terminal. Names in the text must have gone through
/// [`for_terminal`].
pub(crate) fn out_with_colours(text: &str) -> Result<(), Error> {
    match std::io::stdout().write_all(text.as_bytes()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            let problem = Diagnostic::error("standard output", error.to_string());
            Err(Error::machine(problem.caused_by(error)))
        }
        _ => Ok(()),
    }
}

pub(crate) use velatura_report::{json_text as json, json_value, rounded};

/// The usual error of such predictions, ΔE; empty if nothing is predicted.
pub(crate) fn usual_error(trust: Trust) -> String {
    if trust == Trust::AS_PHOTOGRAPHED {
        String::new()
    } else {
        format!("{:.1}", trust.delta_e)
    }
}

/// Prints a diagnostic on standard error.
pub(crate) fn warn(problem: &Diagnostic, format: Format) {
    print_message(&message(problem, format));
}

/// A value whose warnings have been printed on standard error.
pub(crate) fn after_warnings<T>(read: Warned<T>, format: Format) -> T {
    read.warnings
        .iter()
        .for_each(|warning| warn(warning, format));
    read.value
}

/// A diagnostic as text with an empty line after it, or as a line of JSON.
fn message(problem: &Diagnostic, format: Format) -> String {
    let problem = with_options(problem);
    match format {
        Format::Text => format!("{problem}\n\n"),
        Format::Json => {
            serde_json::to_string(&problem).unwrap_or_else(|_| problem.to_string()) + "\n"
        }
    }
}

/// Prints why the work stopped and returns the exit status: 1 the input, 2 the call, 3 the machine.
pub(crate) fn report(error: &Error, format: Format) -> ExitCode {
    print_message(&reported(error, format));
    ExitCode::from(status(error))
}

/// Why the work stopped, as text or as one JSON object in each line.
fn reported(error: &Error, format: Format) -> String {
    let problems = error.diagnostics();
    let shown = problems.iter().take(SHOWN_AT_MOST);
    let mut text: String = shown.map(|problem| message(problem, format)).collect();
    if problems.len() > SHOWN_AT_MOST {
        let more = problems.len() - SHOWN_AT_MOST;
        text += &match format {
            Format::Text => format!("… and {more} more; fix these first\n"),
            Format::Json => format!("{{\"more\":{more}}}\n"),
        };
    } else if format == Format::Text {
        // No empty line after the last one.
        text.truncate(text.trim_end_matches('\n').len());
        text += if text.is_empty() { "" } else { "\n" };
    }
    text
}

fn status(error: &Error) -> u8 {
    match error {
        Error::Call(_) => 2,
        Error::Machine(_) => 3,
        Error::Cancelled => 130,
        _ => 1,
    }
}

/// Prints which stages were left out, and returns the exit status: 4 if there is any, else 0.
pub(crate) fn done(left_out: &[LeftOut], format: Format) -> ExitCode {
    for problem in left_out.iter().flat_map(|left_out| &left_out.problems) {
        warn(problem, format);
    }
    if left_out.is_empty() {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(LEFT_OUT)
    }
}

/// Prints something on standard error that is not a diagnostic.
pub(crate) fn print_message(text: &str) {
    // If standard error is gone, nobody reads it.
    let _ = std::io::stderr().write_all(for_terminal(text).as_bytes());
}

#[cfg(test)]
mod tests {
    use velatura_document::{Hint, StageFailure};

    use super::*;

    fn problem() -> Diagnostic {
        Diagnostic::error("a.toml", "wrong").help(Hint::OtherOutput)
    }

    #[test]
    fn every_kind_of_failure_has_a_json_form_and_its_exit_status() {
        let stage = StageFailure {
            stage: "dust".into(),
            problem: problem(),
        };
        for (error, expected) in [
            (Error::input(problem()), 1),
            (Error::call(problem()), 2),
            (Error::machine(problem()), 3),
            (Error::from(stage), 1),
        ] {
            assert_eq!(status(&error), expected, "{error:?}");
            let lines = reported(&error, Format::Json);
            let value: serde_json::Value = serde_json::from_str(&lines).unwrap();
            assert_eq!(value["severity"], "error", "{lines}");
            assert_eq!(value["help"], "choose another --out", "{lines}");
        }
        assert_eq!(status(&Error::Cancelled), 130);
        assert_eq!(reported(&Error::Cancelled, Format::Json), "");
    }

    #[test]
    fn problems_beyond_the_limit_are_counted_in_both_formats() {
        let many = Error::Input(vec![problem(); SHOWN_AT_MOST + 3]);
        let lines = reported(&many, Format::Json);
        let values: Vec<serde_json::Value> = lines
            .lines()
            .map(|line| serde_json::from_str(line).unwrap())
            .collect();
        assert_eq!(values.len(), SHOWN_AT_MOST + 1);
        assert_eq!(values[SHOWN_AT_MOST]["more"], 3);
        let text = reported(&many, Format::Text);
        assert!(text.ends_with("… and 3 more; fix these first\n"), "{text}");
    }
}
