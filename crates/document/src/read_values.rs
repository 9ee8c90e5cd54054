//! Single values of a table: texts, words, colours, numbers. Each is held against the declaration of its key.
//!
//! Every function panics if the key is declared as something else, so that a file and its documentation cannot differ.

#![allow(clippy::missing_panics_doc, reason = "the head of this file says when")]

use std::str::FromStr;

use crate::choice::Choice;
use crate::control_characters::{shown_escaped, without_control_characters};
use crate::field::{Kind, Need, Preset};
use crate::field_value::number;
use crate::fields::Fields;
use crate::problems::At;
use crate::words::nearest;

impl Fields<'_> {
    /// A name, text or path. A name and a path are not empty, and none holds a control character.
    #[must_use]
    pub fn text(&self, key: &str) -> Option<At<String>> {
        let kind = self.field(key).kind;
        assert!(
            matches!(kind, Kind::Name | Kind::Text | Kind::Path),
            "`{key}` is declared as {kind:?}"
        );
        let text = self.typed(key, |value| value.as_str().map(str::to_owned))?;
        if text.value.trim().is_empty() && !matches!(kind, Kind::Text) {
            let help = match self.field(key).need {
                Need::Must => "",
                _ => "remove the line if there is none",
            };
            let expected = self.field(key).expected();
            self.problem(&text.at, format!("`{key}` is empty"), &expected, help);
            return None;
        }
        self.is_printable(&format!("`{key}`"), &text)
            .then_some(text)
    }

    /// Whether a text from the file is free of control characters. Adds an error if it is not.
    pub(crate) fn is_printable(&self, what: &str, text: &At<String>) -> bool {
        let clean = without_control_characters(&text.value);
        if clean == text.value {
            return true;
        }
        self.problem(
            &text.at,
            format!("{what} is \"{}\"", shown_escaped(&text.value)),
            "a text without control characters, line breaks and marks that turn the writing direction",
            format!("write \"{clean}\""),
        );
        false
    }

    /// One of a closed list of words.
    #[must_use]
    pub fn word<T: Copy>(&self, key: &str, choices: &[Choice<T>]) -> Option<At<T>> {
        let field = self.field(key);
        let Kind::Word(words) = field.kind else {
            panic!("`{key}` is declared as {:?}", field.kind)
        };
        debug_assert!(
            words
                .iter()
                .map(|(word, _)| *word)
                .eq(choices.iter().map(|choice| choice.word)),
            "`{key}` is read with other words than declared"
        );
        let typed = self.typed(key, |value| value.as_str().map(str::to_owned))?;
        if let Some(choice) = choices.iter().find(|choice| choice.word == typed.value) {
            return Some(At {
                value: choice.value,
                at: typed.at,
            });
        }
        let near = nearest(&typed.value, choices.iter().map(|choice| choice.word));
        let help = near.map_or(String::new(), |near| format!("did you mean \"{near}\"?"));
        self.problem(
            &typed.at,
            format!("`{key}` is \"{}\"", typed.value),
            &field.expected(),
            help,
        );
        None
    }

    /// One of a closed list of words. The declared word applies if the key is missing, and also after an error.
    ///
    /// # Panics
    /// If no word of the list is declared as default.
    #[must_use]
    pub fn word_or_default<T: Copy>(&self, key: &str, choices: &[Choice<T>]) -> T {
        let Need::Default(Preset::Word(default)) = self.field(key).need else {
            panic!("no word is declared as the default of `{key}`")
        };
        let preset = choices.iter().find(|choice| choice.word == default);
        let preset = preset.expect("the default is one of the words").value;
        self.word(key, choices).map_or(preset, |word| word.value)
    }

    /// A colour of sRGB, "#rrggbb".
    #[must_use]
    pub fn colour<T: FromStr>(&self, key: &str) -> Option<At<T>> {
        let field = self.field(key);
        assert!(
            matches!(field.kind, Kind::Colour),
            "`{key}` is declared as {:?}",
            field.kind
        );
        let text = self.typed(key, |value| value.as_str().map(str::to_owned))?;
        if let Ok(value) = text.value.parse() {
            return Some(At { value, at: text.at });
        }
        let bare = text.value.len() == 6 && text.value.bytes().all(|b| b.is_ascii_hexdigit());
        let help = if bare {
            format!("add a #: \"#{}\"", text.value)
        } else {
            "write # and six hexadecimal digits, two each for red, green and blue".to_owned()
        };
        let found = if text.value.trim().is_empty() {
            format!("`{key}` is empty")
        } else {
            format!("`{key}` is \"{}\"", text.value)
        };
        self.problem(&text.at, found, &field.expected(), help);
        None
    }

    /// A number in the declared range.
    #[must_use]
    pub fn number(&self, key: &str) -> Option<At<f64>> {
        let (Kind::Number(range) | Kind::Whole(range)) = self.field(key).kind else {
            panic!("`{key}` is declared as {:?}", self.field(key).kind)
        };
        let typed = self.typed(key, number)?;
        if range.contains(typed.value) {
            return Some(typed);
        }
        self.unfit(key, &typed.at, typed.value);
        None
    }

    /// A number in the declared range. The declared number applies if the key is missing, and also after an error.
    #[must_use]
    pub fn number_or_default(&self, key: &str) -> f64 {
        self.number(key)
            .map_or(self.preset_number(key), |number| number.value)
    }

    /// A whole number in the declared range, which ends below 2^32.
    #[must_use]
    pub fn whole(&self, key: &str) -> Option<At<u32>> {
        let number = self.number(key)?;
        if number.value.fract() != 0.0 {
            self.unfit(key, &number.at, number.value);
            return None;
        }
        Some(At {
            value: as_u32(number.value),
            at: number.at,
        })
    }

    /// A whole number in the declared range. The declared number applies if the key is missing, and also after an error.
    #[must_use]
    pub fn whole_or_default(&self, key: &str) -> u32 {
        self.whole(key)
            .map_or(as_u32(self.preset_number(key)), |number| number.value)
    }

    fn preset_number(&self, key: &str) -> f64 {
        let Need::Default(Preset::Number(preset)) = self.field(key).need else {
            panic!("no number is declared as the default of `{key}`")
        };
        preset
    }

    /// True or false. The declared value applies if the key is missing, and also after an error.
    ///
    /// # Panics
    /// If neither is declared as default.
    #[must_use]
    pub fn flag_or_default(&self, key: &str) -> bool {
        let Need::Default(Preset::Flag(preset)) = self.field(key).need else {
            panic!("neither true nor false is declared as the default of `{key}`")
        };
        self.typed(key, |value| value.as_bool())
            .map_or(preset, |flag| flag.value)
    }
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "ranges of whole numbers begin at 0 or above and end below 2^32"
)]
fn as_u32(number: f64) -> u32 {
    number as u32
}
