//! Words in messages: the nearest known word, lists and counts.

/// The known word nearest to a mistyped one, if one is near enough to be meant.
///
/// Nearness is the Jaro–Winkler similarity of the lower-case words, which must exceed 0.75.
#[must_use]
pub fn nearest<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    known
        .into_iter()
        .map(|word| {
            (
                strsim::jaro_winkler(&typed.to_lowercase(), &word.to_lowercase()),
                word,
            )
        })
        .filter(|(likeness, _)| *likeness > 0.75)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, word)| word)
}

/// A list for a sentence: `a, b or c`.
#[must_use]
pub fn either<S: AsRef<str>>(words: &[S]) -> String {
    match words {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} or {}", first.join(", "), last.as_ref())
        }
    }
}

/// A count with a comma between thousands: 1,204.
#[must_use]
pub fn with_commas(count: usize) -> String {
    let digits = count.to_string();
    let mut out = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// A count with its noun: `1 scheme`, `1,204 pixels`. The plural is the noun and an s.
#[must_use]
pub fn counted(count: usize, noun: &str) -> String {
    let ending = if count == 1 { "" } else { "s" };
    format!("{} {noun}{ending}", with_commas(count))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_far_word_is_not_offered() {
        assert_eq!(
            nearest("Oil Ambre", ["Deep Eel", "Oil Amber"]),
            Some("Oil Amber")
        );
        assert_eq!(nearest("zzz", ["Deep Eel", "Oil Amber"]), None);
    }

    #[test]
    fn lists_and_counts_read_well() {
        assert_eq!(either::<&str>(&[]), "");
        assert_eq!(either(&["a", "b", "c"]), "a, b or c");
        assert_eq!(with_commas(204), "204");
        assert_eq!(with_commas(1_204_000), "1,204,000");
        assert_eq!(counted(0, "scheme"), "0 schemes");
        assert_eq!(counted(1, "scheme"), "1 scheme");
        assert_eq!(counted(1204, "pixel"), "1,204 pixels");
    }
}
