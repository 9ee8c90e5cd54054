//! How to fix a problem, as data. A library says what should change; the program on top says how its user changes it.
//!
//! A hint has neutral words for readers of a library's messages. A program with options replaces them with the names of
//! its options, so no library needs to know those names.

use std::fmt;

use serde::{Serialize, Serializer};

/// What to do about a problem.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Hint {
    /// Words that fit every program.
    Words(String),
    /// One of several ways, the easiest first.
    Either(Vec<Hint>),
    /// Let the program choose between device and processor.
    AutomaticBackend,
    /// Look which devices there are.
    ListDevices,
    /// Ask for another adapter.
    OtherAdapter,
    /// Write to another folder or file.
    OtherOutput,
    /// Give the colours of the bare black and white cards.
    CardColours,
    /// Do not give the colours of the bare cards.
    NoCardColours,
    /// Say whether measured values include the reflection of the surface.
    SpecularSetting,
    /// Say that the measured values are percentages.
    UnitPercent,
    /// Say how well the chips hide that do not say so, for example with this word.
    Opacity(String),
    /// Write a colour code.
    ColourCode,
    /// Correct the resolution of the screen or its distance.
    Screen,
    /// Attach the plugin that has the stage.
    AttachPlugin,
    /// Build the program with support for plugins.
    BuildWithPlugins,
}

impl Hint {
    /// Adds another way. An empty hint adds nothing.
    #[must_use]
    pub fn or(self, other: impl Into<Self>) -> Self {
        let mut ways = match self {
            Self::Either(ways) => ways,
            one => vec![one],
        };
        match other.into() {
            Self::Either(more) => ways.extend(more),
            one => ways.push(one),
        }
        ways.retain(|way| !way.is_empty());
        if ways.len() == 1 {
            ways.remove(0)
        } else {
            Self::Either(ways)
        }
    }

    /// Whether it says nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        match self {
            Self::Words(words) => words.is_empty(),
            Self::Either(ways) => ways.iter().all(Self::is_empty),
            _ => false,
        }
    }

    /// The hint as text. `in_words` gives the words of one way; it never gets a [`Hint::Either`].
    #[must_use]
    pub fn to_text(&self, in_words: &impl Fn(&Self) -> String) -> String {
        let Self::Either(ways) = self else {
            return in_words(self);
        };
        let mut text = String::new();
        for way in ways {
            text += match text.chars().last() {
                None => "",
                Some('?' | '.') => " Or ",
                Some(_) => ", or ",
            };
            text += &way.to_text(in_words);
        }
        text
    }

    /// The words of one way that fit every program.
    #[must_use]
    pub fn neutral_words(&self) -> String {
        match self {
            Self::Words(words) => words.clone(),
            Self::Either(_) => self.to_text(&Self::neutral_words),
            Self::AutomaticBackend => "let the program choose between device and processor".into(),
            Self::ListDevices => "list the devices".into(),
            Self::OtherAdapter => "ask for an adapter by part of its name".into(),
            Self::OtherOutput => "choose another output folder or file".into(),
            Self::CardColours => {
                "give the colours of the bare black card and the bare white card".into()
            }
            Self::NoCardColours => "do not pass card colours to the import".into(),
            Self::SpecularSetting => {
                "say whether the surface's own reflection is included or excluded".into()
            }
            Self::UnitPercent => "if all values are percentages, set the unit to percent".into(),
            Self::Opacity(word) => {
                format!("set one opacity, such as {word}, for all paints that do not state theirs")
            }
            Self::ColourCode => "write # and six hexadecimal digits, in quotes".into(),
            Self::Screen => "correct the screen's pixels per inch or its distance".into(),
            Self::AttachPlugin => {
                "attach its plugin, or name it in `plugins` of figure.toml".into()
            }
            Self::BuildWithPlugins => "build it with the feature `plugins`".into(),
        }
    }
}

impl fmt::Display for Hint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.neutral_words())
    }
}

/// In JSON a hint is its text.
impl Serialize for Hint {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl From<String> for Hint {
    fn from(words: String) -> Self {
        Self::Words(words)
    }
}

impl From<&str> for Hint {
    fn from(words: &str) -> Self {
        Self::Words(words.to_owned())
    }
}

impl From<&String> for Hint {
    fn from(words: &String) -> Self {
        Self::Words(words.clone())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ways_are_joined_into_one_sentence_and_empty_ones_vanish() {
        let two = Hint::from("rename the folder").or(Hint::OtherOutput);
        assert_eq!(
            two.to_string(),
            "rename the folder, or choose another output folder or file"
        );
        let asked = Hint::from("did you mean \"a\"?").or(Hint::ListDevices);
        assert_eq!(asked.to_string(), "did you mean \"a\"? Or list the devices");
        assert_eq!(Hint::from("").or(Hint::Screen), Hint::Screen);
        assert!(Hint::from("").or("").is_empty());
        // A program's own words reach every way, nested ones included.
        let own = |way: &Hint| match way {
            Hint::OtherOutput => "write elsewhere".to_owned(),
            way => way.neutral_words(),
        };
        assert_eq!(two.to_text(&own), "rename the folder, or write elsewhere");
        assert_eq!(serde_json::to_string(&two).unwrap(), format!("\"{two}\""));
    }
}
