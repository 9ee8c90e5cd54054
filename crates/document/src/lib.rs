//! Text files read key by key, with every problem in them as a value; and the errors that all crates share.

mod choice;
mod control_characters;
mod diagnostic;
mod error;
mod field;
mod field_value;
mod fields;
mod file_page;
mod file_schema;
mod files;
mod hint;
mod kind_words;
mod place;
mod problems;
mod range;
mod read_document;
mod read_lists;
mod read_tables;
mod read_values;
mod room;
mod shown;
mod source_text;
mod stage_table;
mod toml_text;
mod warned;
mod words;

pub use choice::{Choice, word_for, words_of};
pub use control_characters::{shown_escaped, without_control_characters};
pub use diagnostic::{Diagnostic, SHOWN_AT_MOST, Severity};
pub use error::{Error, StageFailure};
pub use field::{Field, FileKind, Kind, Need, Preset, Table};
pub use fields::Fields;
pub use file_page::reference_page;
pub use file_schema::json_schema;
pub use files::{
    Files, LARGEST_PICTURE_BYTES, LARGEST_TEXT_BYTES, MemoryFiles, Unreadable, read_file,
};
pub use hint::Hint;
pub use place::Place;
pub use problems::{At, COLLECTED_AT_MOST, NamedNumbers, Problems, in_file_order};
pub use range::Range;
pub use read_document::{InPart, read_document, read_document_in_part};
pub use room::{filled, reserved, room_for};
pub use shown::for_terminal;
pub use source_text::SourceText;
pub use stage_table::StageTable;
pub use toml_text::{one_line, quoted};
pub use warned::Warned;
pub use words::{counted, either, either_of_many, nearest, with_commas};
