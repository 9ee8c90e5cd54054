//! What a key may hold, in words for messages and the reference page: "a number from 0 to 20".

use crate::field::Kind;
use crate::range::Range;
use crate::words::either;

impl Kind {
    /// What the key may hold, for a message; `example` shows it where that says more than words.
    pub(crate) fn words(&self, example: &str) -> String {
        match self {
            Self::Colour | Self::Numbers(_) | Self::NamedNumbers(_) => {
                format!("{}, such as {example}", self.form())
            }
            _ => self.form(),
        }
    }

    /// What the key may hold.
    pub(crate) fn form(&self) -> String {
        match self {
            Self::Format(format) => format!("\"{format}\""),
            Self::Name => "a text".to_owned(),
            Self::Text => "a text, which may be empty".to_owned(),
            Self::Path => "a path".to_owned(),
            Self::Paths => "a list of paths".to_owned(),
            Self::Colour => "a colour".to_owned(),
            Self::Word(words) => {
                let quoted: Vec<String> = words
                    .iter()
                    .map(|(word, _)| format!("\"{word}\""))
                    .collect();
                either(&quoted)
            }
            Self::Flag => "true or false".to_owned(),
            Self::Number(range) => format!("a number {}", range.words()),
            Self::Whole(range) => format!("a whole number {}", range.words()),
            Self::Numbers(ranges) => {
                let count = ranges.len();
                let each: Vec<String> = ranges.iter().map(Range::words).collect();
                if each.windows(2).all(|two| two[0] == two[1]) {
                    format!("{count} numbers {}", each[0])
                } else {
                    format!("{count} numbers, {}", each.join("; "))
                }
            }
            Self::Series(range) => format!("a list of numbers {}", range.words()),
            Self::Points(count, range) => {
                format!("{count} points [x, y], each number {}", range.words())
            }
            Self::NamedNumbers(range) => format!("names with numbers {}", range.words()),
            Self::Table(_) => "a table".to_owned(),
            Self::Tables { least, most, .. } => match (least, most) {
                (0, None) => "any number of tables".to_owned(),
                (0, Some(most)) => format!("at most {most} tables"),
                (1, None) => "one table or more".to_owned(),
                (least, None) => format!("{least} tables or more"),
                (least, Some(most)) => format!("{least} to {most} tables"),
            },
            Self::Stages => "tables with names of stages".to_owned(),
        }
    }
}
