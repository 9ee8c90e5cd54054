//! What a TOML file of ours may hold, declared once per key. The reader, the JSON Schema and the reference page all use it.
//!
//! A file is a [`FileKind`], each of its tables a [`Table`], each key a [`Field`]. Not here: reading (`fields.rs`), the
//! schema (`file_schema.rs`), the page (`file_page.rs`).

use crate::range::Range;

/// One kind of file.
#[derive(Debug)]
pub struct FileKind {
    /// What such a file is usually called: `figure.toml`.
    pub name: &'static str,
    /// The keys above all its tables, and the tables. The first is made by [`Field::format`].
    pub top: &'static Table,
    /// A complete small file.
    pub example: &'static str,
}

/// One table of a file.
#[derive(Debug)]
pub struct Table {
    /// What it holds, in one sentence, or in two.
    pub about: &'static str,
    /// Its keys, in the order in which messages and the page list them.
    pub fields: &'static [Field],
}

/// One key of a table.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// The key.
    pub key: &'static str,
    /// What it may hold.
    pub kind: Kind,
    /// Whether it must be there.
    pub need: Need,
    /// What it means, in one sentence that begins with a capital letter and ends with a full stop.
    pub about: &'static str,
    /// A value as it is written in a file; empty for tables.
    pub example: &'static str,
}

/// What a key may hold.
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub enum Kind {
    /// The name and version of the file's format, and nothing else.
    Format(&'static str),
    /// A name: not empty, without control characters.
    Name,
    /// A text that may be empty, without control characters.
    Text,
    /// A path relative to the file: not empty, without control characters.
    Path,
    /// A list of such paths.
    Paths,
    /// A colour of sRGB as "#rrggbb".
    Colour,
    /// One of a closed list of words, each with what it means (see [`crate::words_of`]).
    Word(&'static [(&'static str, &'static str)]),
    /// True or false.
    Flag,
    /// A number.
    Number(Range),
    /// A whole number.
    Whole(Range),
    /// A list of exactly these numbers.
    Numbers(&'static [Range]),
    /// A list of any number of numbers. The reader checks their range, because it may depend on other keys.
    Series(Range),
    /// Exactly so many points, each a list of two numbers.
    Points(usize, Range),
    /// A table of free names, each with a number; at least one.
    NamedNumbers(Range),
    /// A table: `[key]`.
    Table(&'static Table),
    /// So many tables, each under `[[key]]`.
    Tables {
        /// One of them.
        table: &'static Table,
        /// The fewest.
        least: usize,
        /// The most; `None` if any number is right.
        most: Option<usize>,
    },
    /// Free tables for stages: `[stage.NAME]`. Each stage declares what its table may hold.
    Stages,
}

/// Whether a key must be there.
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub enum Need {
    /// It must be there.
    Must,
    /// This value applies where it is missing.
    Default(Preset),
    /// It may be missing. The text says what applies then.
    May(&'static str),
}

/// The value of a key that is missing.
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub enum Preset {
    /// A number.
    Number(f64),
    /// A word.
    Word(&'static str),
    /// True or false.
    Flag(bool),
}

impl FileKind {
    /// The format that the file must name.
    ///
    /// # Panics
    /// If the first key of the file is not its format.
    #[must_use]
    pub fn format(&self) -> &'static str {
        match self.top.fields.first().map(|field| field.kind) {
            Some(Kind::Format(format)) => format,
            _ => panic!("the first key of {} is not its format", self.name),
        }
    }
}

impl Table {
    /// The declaration of a key.
    #[must_use]
    pub fn field(&self, key: &str) -> Option<&'static Field> {
        self.fields.iter().find(|field| field.key == key)
    }

    /// All keys.
    #[must_use]
    pub fn keys(&self) -> Vec<&'static str> {
        self.fields.iter().map(|field| field.key).collect()
    }

    /// The keys that must be there, with their examples: `name = "coat" and mask_colour = "#e6194b"`. Tables are left out.
    pub(crate) fn example_lines(&self) -> String {
        let lines: Vec<String> = self
            .fields
            .iter()
            .filter(|field| matches!(field.need, Need::Must) && !field.example.is_empty())
            .map(|field| format!("{} = {}", field.key, field.example))
            .collect();
        match lines.as_slice() {
            [] => String::new(),
            [one] => one.clone(),
            [first @ .., last] => format!("{} and {last}", first.join(", ")),
        }
    }
}

impl Field {
    /// The first key of a file: `format = "velatura-figure/1"`.
    #[must_use]
    pub const fn format(format: &'static str) -> Self {
        Self {
            key: "format",
            kind: Kind::Format(format),
            need: Need::Must,
            about: "The kind of this file and the version of its format.",
            example: "",
        }
    }

    /// A table under `[key]`.
    #[must_use]
    pub const fn table(key: &'static str, table: &'static Table, need: Need) -> Self {
        Self {
            key,
            kind: Kind::Table(table),
            need,
            about: table.about,
            example: "",
        }
    }

    /// Tables under `[[key]]`: `least` or more, and not more than `most`.
    #[must_use]
    pub const fn tables(
        key: &'static str,
        table: &'static Table,
        least: usize,
        most: Option<usize>,
    ) -> Self {
        Self {
            key,
            kind: Kind::Tables { table, least, most },
            need: if least > 0 {
                Need::Must
            } else {
                Need::May("there are none")
            },
            about: table.about,
            example: "",
        }
    }

    /// The tables `[stage.NAME]`. `reach` says for what they count, in one sentence.
    #[must_use]
    pub const fn stages(reach: &'static str) -> Self {
        Self {
            key: "stage",
            kind: Kind::Stages,
            need: Need::May("every stage works with its defaults"),
            about: reach,
            example: "",
        }
    }

    /// The example, or for the format its only value.
    #[must_use]
    pub fn example(&self) -> String {
        match self.kind {
            Kind::Format(format) => format!("\"{format}\""),
            _ => self.example.to_owned(),
        }
    }

    /// What a message expects: what the key may hold, then what it means.
    #[must_use]
    pub fn expected(&self) -> String {
        if let Kind::Format(format) = self.kind {
            return format!("format = \"{format}\" as the first line");
        }
        match clause(self.about).as_str() {
            "" => self.kind.words(self.example),
            meaning => format!("{}: {meaning}", self.kind.words(self.example)),
        }
    }
}

/// A sentence as a part of another one: without its capital letter and its full stop.
pub(crate) fn clause(sentence: &str) -> String {
    let sentence = sentence.strip_suffix('.').unwrap_or(sentence);
    let mut letters = sentence.chars();
    let (first, second) = (letters.next(), letters.next());
    match (first, second) {
        // A symbol or an abbreviation keeps its capital letter; "A" before a space is neither.
        (Some(first), Some(second)) if second.is_lowercase() || (first == 'A' && second == ' ') => {
            format!("{}{}", first.to_lowercase(), &sentence[first.len_utf8()..])
        }
        _ => sentence.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NAME: Field = Field {
        key: "name",
        kind: Kind::Name,
        need: Need::Must,
        about: "What the paint is called.",
        example: "\"Oil Amber\"",
    };
    const FILM: Field = Field {
        key: "film",
        kind: Kind::Number(Range::new(0.0, 20.0)),
        need: Need::Must,
        about: "How thick the dried coat is; 1 is as thick as the drawdown.",
        example: "0.8",
    };

    #[test]
    fn messages_say_what_a_key_may_hold_and_what_it_means() {
        assert_eq!(
            FILM.expected(),
            "a number from 0 to 20: how thick the dried coat is; 1 is as thick as the drawdown"
        );
        assert_eq!(clause("Y over black."), "Y over black");
        assert_eq!(clause(""), "");
        let table = |fields| Table { about: "", fields };
        assert_eq!(table(&[]).example_lines(), "");
        let two = table(const { &[Field::format("test/1"), NAME, FILM] });
        assert_eq!(two.example_lines(), "name = \"Oil Amber\" and film = 0.8");
    }
}
