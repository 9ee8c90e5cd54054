//! A stage's description of itself. In: its words from two calls. Out: checks.

use super::limits::{NAME_CHARS, SENTENCE_CHARS};
use super::report::{Check, Report};
use velatura_pipeline::AnyStage;
use velatura_pipeline::parameters::schema_problem;
use velatura_pipeline::stage::StageInfo;

pub(super) fn check(report: &mut Report, stage: &AnyStage, info: &StageInfo) {
    let again = stage.info();
    report.made(
        Check::SameInfo,
        if again == *info {
            Ok(())
        } else {
            Err("it described itself differently on two calls".to_owned())
        },
    );
    report.made(Check::Name, name(&info.name));
    for (what, text, chars) in [
        ("version", &info.version, NAME_CHARS),
        ("takes", &info.takes, SENTENCE_CHARS),
        ("gives", &info.gives, SENTENCE_CHARS),
    ] {
        report.made(Check::Words, words(what, text, chars));
    }
    report.made(
        Check::Schema,
        schema_problem(&info.parameters).map_or(Ok(()), Err),
    );
}

fn name(name: &str) -> Result<(), String> {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    let fits = name.len() <= NAME_CHARS
        && name.starts_with(|c: char| c.is_ascii_lowercase())
        && name.chars().all(plain);
    if fits {
        return Ok(());
    }
    Err(format!(
        "its name is {name:?}; a name is made of a-z, 0-9 and \"-\", beginning with a letter, at most {NAME_CHARS}"
    ))
}

fn words(what: &str, text: &str, chars: usize) -> Result<(), String> {
    if text.trim().is_empty() {
        return Err(format!("its `{what}` is empty"));
    }
    if text.contains(char::is_control) {
        return Err(format!("its `{what}` contains a control character"));
    }
    if text.chars().count() > chars {
        return Err(format!("its `{what}` has more than {chars} characters"));
    }
    Ok(())
}
