//! Report → a text file next to the sheet by a component.

use velatura_document::Diagnostic;
use velatura_pipeline::Parameters;
use velatura_pipeline::stage::{SheetText, Stage, StageInfo, TextKind};

use super::Said;
use crate::calls::sheet_text::{Ending, SheetTextCalls};

pub(super) struct ComponentText {
    pub(super) said: Said,
    pub(super) calls: SheetTextCalls,
}

impl Stage for ComponentText {
    fn info(&self) -> StageInfo {
        self.said.info.clone()
    }
}

impl SheetText for ComponentText {
    fn kind(&self) -> TextKind {
        match self.calls.ending() {
            Ending::Txt => TextKind::Txt,
            Ending::Csv => TextKind::Csv,
            Ending::Json => TextKind::Json,
            Ending::Md => TextKind::Md,
        }
    }

    fn text(&self, report: &str, parameters: &Parameters) -> Result<String, Diagnostic> {
        self.calls
            .text(report, &parameters.to_json())
            .map_err(|fault| self.said.source.diagnostic(&fault))
    }
}
