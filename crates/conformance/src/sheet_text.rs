//! Checks of a text file next to the sheet. In: the stage. Out: checks, on the small job's report.

use super::calls::{answer, repeated};
use super::limits::TEXT_BYTES;
use super::report::{Check, Report};
use super::small::small_report;
use velatura_pipeline::Parameters;
use velatura_pipeline::stage::{SheetText, StageInfo, TextKind};

pub(super) fn check(
    report: &mut Report,
    info: &StageInfo,
    stage: &dyn SheetText,
    parameters: &Parameters,
) {
    let write = || {
        let text = answer(|| stage.text(small_report(), parameters))?;
        Ok((stage.kind(), text))
    };
    let Some((kind, text)) = repeated(report, info, write, |one, other| one == other) else {
        return;
    };
    let length = text.len();
    report.made(
        Check::TextLength,
        if length <= TEXT_BYTES {
            Ok(())
        } else {
            Err(format!("{length} bytes; at most {TEXT_BYTES}"))
        },
    );
    report.made(Check::PlainText, plain(&text));
    if kind == TextKind::Json {
        let read = serde_json::from_str::<serde::de::IgnoredAny>(&text);
        report.made(
            Check::ValidJson,
            read.map(|_| ()).map_err(|problem| problem.to_string()),
        );
    }
}

/// Control characters move a terminal's cursor; marks that change the direction of writing hide text.
fn plain(text: &str) -> Result<(), String> {
    let is_hidden = |c: char| {
        c.is_control() && !matches!(c, '\n' | '\r' | '\t')
            || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
    };
    match text.find(is_hidden) {
        None => Ok(()),
        Some(at) => Err(format!("{:?} at byte {at}", &text[at..].chars().next())),
    }
}
