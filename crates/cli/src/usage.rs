//! Reading the arguments. Wrong arguments get a message in the requested output format.

use std::any::TypeId;
use std::ffi::OsString;
use std::process::ExitCode;

use clap::{Arg, Command, Parser};
use velatura_document::{Diagnostic, for_terminal};

use crate::format::Format;
use crate::messages::{print_message, warn};

/// Exit status of a wrong call.
const WRONG_CALL: u8 = 2;

/// The arguments of a call.
///
/// # Errors
/// The exit status, after printing help, version or the problem.
pub(crate) fn parse<A: Parser>(arguments: impl Iterator<Item = OsString>) -> Result<A, ExitCode> {
    let arguments: Vec<OsString> = arguments.collect();
    read(&arguments).map_err(|error| {
        if error.use_stderr() && wants_json(&arguments) {
            warn(&in_parts(&error), Format::Json);
            return ExitCode::from(WRONG_CALL);
        }
        print(&error);
        ExitCode::from(u8::try_from(error.exit_code()).unwrap_or(WRONG_CALL))
    })
}

/// Prints help, version or an error. Colours are left out where an argument holds characters that a terminal obeys.
fn print(error: &clap::Error) {
    let text = error.to_string();
    if for_terminal(&text) == text {
        // A reader that has gone away (a closed pipe) is not an error.
        let _ = error.print();
    } else {
        print_message(&text);
    }
}

fn read<A: Parser>(arguments: &[OsString]) -> Result<A, clap::Error> {
    let matches = with_negative_numbers(A::command()).try_get_matches_from(arguments)?;
    A::from_arg_matches(&matches)
}

/// The same command, with negative numbers accepted by every option for a number: `--columns -3` is then out of range and not
/// an unknown option `-3`.
fn with_negative_numbers(command: Command) -> Command {
    command
        .mut_args(|argument| {
            let numeric = is_numeric(&argument);
            argument.allow_negative_numbers(numeric)
        })
        .mut_subcommands(with_negative_numbers)
}

fn is_numeric(argument: &Arg) -> bool {
    let parsed = argument.get_value_parser().type_id();
    [
        TypeId::of::<f64>(),
        TypeId::of::<u8>(),
        TypeId::of::<u16>(),
        TypeId::of::<u32>(),
        TypeId::of::<u64>(),
        TypeId::of::<usize>(),
    ]
    .iter()
    .any(|number| parsed == *number)
}

/// Whether the arguments request JSON. They could not be parsed, so this checks them one by one.
fn wants_json(arguments: &[OsString]) -> bool {
    let words = arguments.iter().skip(1).take_while(|word| *word != "--");
    let words: Vec<&OsString> = words.collect();
    words.iter().any(|word| *word == "--format=json")
        || words
            .windows(2)
            .any(|pair| pair[0] == "--format" && pair[1] == "json")
}

/// A wrong call as a diagnostic: `found` is the problem, `expected` the usage, `help` the advice.
fn in_parts(error: &clap::Error) -> Diagnostic {
    let text = error.to_string();
    let mut found = Vec::new();
    let mut usage = Vec::new();
    let mut advice = Vec::new();
    let mut part = &mut found;
    for line in text.lines().map(str::trim).filter(|line| !line.is_empty()) {
        let mut line = line.strip_prefix("error: ").unwrap_or(line);
        if let Some(rest) = line.strip_prefix("Usage:") {
            part = &mut usage;
            line = rest.trim();
        } else if let Some(rest) = line.strip_prefix("tip: ") {
            part = &mut advice;
            line = rest;
        } else if line.starts_with("For more information") {
            part = &mut advice;
        }
        part.push(line.to_owned());
    }
    Diagnostic::error("", found.join(" "))
        .expected(usage.join(" "))
        .help(advice.join("; "))
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    use super::*;
    use crate::Arguments;

    /// Every option for a number, with the name of its command.
    fn numeric_options(command: &Command) -> Vec<(String, String)> {
        command
            .get_subcommands()
            .flat_map(|sub| {
                let numeric = sub.get_arguments().filter(|argument| is_numeric(argument));
                let option = |argument: &Arg| {
                    let long = argument.get_long().expect("numbers are options");
                    (sub.get_name().to_owned(), format!("--{long}"))
                };
                numeric.map(option)
            })
            .collect()
    }

    #[test]
    fn every_negative_number_is_out_of_range_and_not_an_unknown_option() {
        let command = Arguments::command();
        let options = numeric_options(&command);
        assert!(options.len() >= 15, "{options:?}");
        let answer = |command: &Command, (sub, option): &(String, String)| {
            let call = ["velatura", sub, option, "-3"];
            command
                .clone()
                .try_get_matches_from(call)
                .unwrap_err()
                .to_string()
        };
        for one in &options {
            let text = answer(&with_negative_numbers(command.clone()), one);
            let found = format!("error: invalid value '-3' for '{} <", one.1);
            assert!(text.starts_with(&found), "{one:?}: {text}");
            let reason = text.split_once(">': ").map_or("", |(_, reason)| reason);
            let reason = reason.lines().next().unwrap_or_default();
            assert!(
                reason.chars().filter(char::is_ascii_digit).count() >= 2,
                "{one:?} gives no range: {reason}"
            );
            // Must fail: the unmodified command reads -3 as an option.
            let text = answer(&command, one);
            assert!(text.contains("unexpected argument '-3'"), "{one:?}: {text}");
        }
    }

    #[test]
    fn json_is_recognised_however_it_is_asked_for() {
        let wants = |call: &[&str]| {
            let call: Vec<OsString> = call.iter().map(OsString::from).collect();
            wants_json(&call)
        };
        assert!(wants(&[
            "velatura",
            "render",
            "--format",
            "json",
            "--columns",
            "x"
        ]));
        assert!(wants(&["velatura", "render", "--format=json"]));
        for other in [
            &["velatura", "render", "--format", "text"][..],
            &["velatura", "check", "--", "--format", "json"],
            &["velatura", "json", "--format"],
        ] {
            assert!(!wants(other), "{other:?}");
        }
    }

    #[test]
    fn a_wrong_call_has_the_parts_of_a_message() {
        let call = [
            "velatura", "render", "a.toml", "--out", "o", "--colums", "3",
        ];
        let error = Arguments::command().try_get_matches_from(call).unwrap_err();
        let problem = in_parts(&error);
        assert_eq!(problem.found, "unexpected argument '--colums' found");
        let expected = problem.expected.unwrap();
        assert!(expected.starts_with("velatura render"), "{expected}");
        let help = problem.help.unwrap().to_string();
        assert!(help.contains("'--columns'"), "{help}");
    }
}
