//! Sheet text: report → a text beside the sheet.

use serde::Serialize;
use velatura_optics::diagnostic::Diagnostic;

use super::Stage;
use crate::parameters::Parameters;

/// How a text is to be read. None of them can run anything when it is opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum TextKind {
    /// Plain text.
    Txt,
    /// Comma-separated values (RFC 4180).
    Csv,
    /// JSON (RFC 8259).
    Json,
    /// Markdown.
    Md,
}

impl TextKind {
    /// How such a file ends, without the dot.
    #[must_use]
    pub fn ending(self) -> &'static str {
        match self {
            Self::Txt => "txt",
            Self::Csv => "csv",
            Self::Json => "json",
            Self::Md => "md",
        }
    }
}

/// Writes one text about a whole render: a shopping list, notes for the table. All in use are asked; each one's file is
/// `texts/<stage name>.<ending>` in the output folder.
pub trait SheetText: Stage {
    /// How the text is to be read.
    fn kind(&self) -> TextKind;

    /// The text. `report` is the text of `report.json`, but for what is left out because of sheet texts.
    ///
    /// # Errors
    /// Why it gives none; nothing else is missing then.
    fn text(&self, report: &str, parameters: &Parameters) -> Result<String, Diagnostic>;
}
