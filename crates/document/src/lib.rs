//! Text files read key by key, with every problem in them as a value; and the errors that all crates share.

mod diagnostic;
mod error;
mod field_value;
mod fields;
mod source_text;
mod stage_table;

pub use diagnostic::{Diagnostic, Place, SHOWN_AT_MOST, Severity, either, nearest, with_commas};
pub use error::{Error, StageFailure};
pub use fields::Fields;
pub use source_text::{
    At, FormatLine, NamedNumbers, Problems, SourceText, read_document, read_document_with,
};
pub use stage_table::StageTable;
