//! Text files read key by key, with every problem in them as a value; and the errors that all crates share.

mod diagnostic;
mod error;
mod field_value;
mod fields;
mod files;
mod hint;
mod place;
mod problems;
mod read_document;
mod shown;
mod source_text;
mod stage_table;
mod warned;
mod words;

pub use diagnostic::{Diagnostic, SHOWN_AT_MOST, Severity};
pub use error::{Error, StageFailure};
pub use fields::Fields;
pub use files::{
    Files, LARGEST_PICTURE_BYTES, LARGEST_TEXT_BYTES, MemoryFiles, Unreadable, read_file,
};
pub use hint::Hint;
pub use place::Place;
pub use problems::{At, COLLECTED_AT_MOST, NamedNumbers, Problems};
pub use read_document::{FormatLine, read_document, read_document_with};
pub use shown::for_terminal;
pub use source_text::SourceText;
pub use stage_table::StageTable;
pub use warned::Warned;
pub use words::{counted, either, either_of_many, nearest, with_commas};
