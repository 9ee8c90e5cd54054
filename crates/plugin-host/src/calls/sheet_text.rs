//! Report → a text file next to the sheet. In: the text of `report.json`. Out: a text and how its file ends.

use crate::calls::checked_text;
use crate::engine::{Machine, typed};
use crate::fault::Fault;
use crate::limits::Handed;
use crate::meter::Meter;
use crate::words::one_line;

mod bindings {
    wasmtime::component::bindgen!({
        path: "wit",
        inline: "package velatura:host; world writing { export velatura:stage/sheet-text@0.1.0; }",
        world: "velatura:host/writing",
        ownership: Borrowing { duplicate_if_necessary: true },
    });
}
pub(crate) use bindings::exports::velatura::stage::sheet_text::Ending;
use bindings::{Writing, WritingPre};

typed!(WritingPre, Writing);

/// A sheet text that can be called.
pub(crate) struct SheetTextCalls {
    machine: Machine,
    pre: WritingPre<Meter>,
    ending: Ending,
}

impl SheetTextCalls {
    /// Looks its functions up and calls the one for the file's ending.
    ///
    /// # Errors
    /// One is missing or of another type; it fails.
    pub(crate) fn new(machine: &Machine) -> Result<Self, Fault> {
        let pre: WritingPre<_> = machine.typed()?;
        let ending = machine.call(&pre, Handed::Nothing, |instance, store| {
            instance.velatura_stage_sheet_text().call_written_as(store)
        })?;
        Ok(Self {
            machine: machine.clone(),
            pre,
            ending,
        })
    }

    /// How its file ends.
    pub(crate) fn ending(&self) -> Ending {
        self.ending
    }

    /// The text.
    ///
    /// # Errors
    /// Whatever stopped it, or an unusable answer.
    pub(crate) fn text(&self, report: &str, parameters: &str) -> Result<String, Fault> {
        let handed = Handed::Text {
            bytes: report.len() + parameters.len(),
        };
        let text = self
            .machine
            .call_that_may_refuse(&self.pre, handed, |instance, store| {
                instance
                    .velatura_stage_sheet_text()
                    .call_text(store, report, parameters)
            })?;
        let text = checked_text(text, self.machine.limits())?;
        if self.ending == Ending::Json {
            let read: Result<serde::de::IgnoredAny, _> = serde_json::from_str(&text);
            if let Err(error) = read {
                return Err(Fault::Answer {
                    found: format!(
                        "its text is not JSON: {}",
                        one_line(&error.to_string(), 120)
                    ),
                    expected: "JSON, because its file ends in `json`".to_owned(),
                });
            }
        }
        Ok(text)
    }
}
