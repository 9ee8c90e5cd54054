//! Words that a file may choose from: each with what it means to a person and to the program.

/// One word of a closed list.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice<T> {
    /// The word in the file.
    pub word: &'static str,
    /// What it means, as a part of a sentence.
    pub about: &'static str,
    /// What the program takes it for.
    pub value: T,
}

/// The words of a list with what they mean, for [`crate::Kind::Word`].
#[must_use]
pub const fn words_of<T, const N: usize>(
    choices: &[Choice<T>; N],
) -> [(&'static str, &'static str); N] {
    let mut words = [("", ""); N];
    let mut index = 0;
    while index < N {
        words[index] = (choices[index].word, choices[index].about);
        index += 1;
    }
    words
}

/// The word for a value.
///
/// # Panics
/// If no choice has the value.
#[must_use]
pub fn word_for<T: PartialEq>(choices: &[Choice<T>], value: &T) -> &'static str {
    choices
        .iter()
        .find_map(|choice| (choice.value == *value).then_some(choice.word))
        .expect("every value has a word")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_is_found_again_by_what_it_means() {
        const CHOICES: [Choice<u8>; 2] = [
            Choice {
                word: "low",
                about: "in the hollows",
                value: 1,
            },
            Choice {
                word: "high",
                about: "on the edges",
                value: 2,
            },
        ];
        assert_eq!(
            words_of(&CHOICES),
            [("low", "in the hollows"), ("high", "on the edges")]
        );
        assert_eq!(word_for(&CHOICES, &2), "high");
    }
}
