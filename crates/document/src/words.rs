//! Words in messages: the nearest known word, lists and counts.

/// The longest words that are compared, in bytes. A longer one cannot be a slip of the hand.
const COMPARED_BYTES: usize = 100;
/// The most known words that a mistyped one is compared with. More would take longer than the hint is worth.
const COMPARED_WORDS: usize = 2_000;

/// The known word nearest to a mistyped one, if one is near enough to be meant.
///
/// Nearness is the Jaro–Winkler similarity of the lower-case words, which must exceed 0.75. Only words of up to 100 bytes are
/// compared, and only the first 2,000 known ones.
#[must_use]
pub fn nearest<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if typed.len() > COMPARED_BYTES {
        return None;
    }
    let typed = typed.to_lowercase();
    known
        .into_iter()
        .take(COMPARED_WORDS)
        .filter(|word| word.len() <= COMPARED_BYTES)
        .map(|word| (strsim::jaro_winkler(&typed, &word.to_lowercase()), word))
        .filter(|(likeness, _)| *likeness > 0.75)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, word)| word)
}

/// The most words of a list that may be long.
const LISTED_AT_MOST: usize = 20;

/// A list for a sentence that stays one: the first 20 words, and how many more there are.
#[must_use]
pub fn either_of_many<S: AsRef<str>>(words: &[S]) -> String {
    let Some((shown, rest)) = words.split_at_checked(LISTED_AT_MOST) else {
        return either(words);
    };
    if rest.is_empty() {
        return either(words);
    }
    let shown: Vec<&str> = shown.iter().map(AsRef::as_ref).collect();
    let more = with_commas(rest.len());
    format!("{} or one of {more} more", shown.join(", "))
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
        let long = "x".repeat(COMPARED_BYTES);
        let longer = long.clone() + "x";
        assert_eq!(nearest(&long, [&*long]), Some(&*long));
        assert_eq!(nearest(&long, [&*longer]), None);
        assert_eq!(nearest(&longer, [&*long]), None);
        let mut many = vec!["zzz"; COMPARED_WORDS - 1];
        many.push("Oil Amber");
        assert_eq!(nearest("Oil Ambre", many.clone()), Some("Oil Amber"));
        many.insert(0, "zzz");
        assert_eq!(nearest("Oil Ambre", many), None);
    }

    #[test]
    fn lists_and_counts_read_well() {
        assert_eq!(either::<&str>(&[]), "");
        assert_eq!(either(&["a", "b", "c"]), "a, b or c");
        let letters: Vec<String> = ('a'..='u').map(String::from).collect();
        let twenty = "a, b, c, d, e, f, g, h, i, j, k, l, m, n, o, p, q, r, s";
        assert_eq!(either_of_many(&letters[..20]), format!("{twenty} or t"));
        assert_eq!(
            either_of_many(&letters),
            format!("{twenty}, t or one of 1 more")
        );
        assert_eq!(with_commas(204), "204");
        assert_eq!(with_commas(1_204_000), "1,204,000");
        assert_eq!(counted(0, "scheme"), "0 schemes");
        assert_eq!(counted(1, "scheme"), "1 scheme");
        assert_eq!(counted(1204, "pixel"), "1,204 pixels");
    }
}
