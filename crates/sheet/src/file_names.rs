//! File names of previews, from the names of schemes.
//!
//! In: names in any script. Out: one file name each, in the same order, of a–z, 0–9 and "-" only, no two alike on any
//! file system. Not here: folders (`velatura-output`).

use std::collections::HashSet;

use crate::preview_format::PreviewFormat;

/// Longest stem in letters: file systems allow names of 255 bytes (choice, with room to spare).
const LONGEST_STEM: usize = 100;
/// The stem of a numbered name if a scheme's name leaves nothing.
const NAMELESS: &str = "scheme";

/// The preview's file name of each scheme: lower case, runs of other characters as one "-", none at the ends.
///
/// The first scheme of a name keeps it, wherever it is. Later ones, and names that leave nothing, get the first free
/// of `-2`, `-3` … in the order of the schemes; the latter on the word `scheme`.
///
/// ```
/// use velatura_sheet::{PreviewFormat, preview_names};
/// let names = preview_names(&["Wick & Ember", "Туман", "wick ember"], PreviewFormat::Png);
/// assert_eq!(names, ["wick-ember.png", "scheme-2.png", "wick-ember-2.png"]);
/// ```
///
/// # Panics
/// Never: there are more numbers than schemes.
#[must_use]
pub fn preview_names(names: &[&str], format: PreviewFormat) -> Vec<String> {
    let extension = format.extension();
    let stems = distinct_names(names, NAMELESS).into_iter();
    stems.map(|stem| format!("{stem}.{extension}")).collect()
}

/// The same without an extension, for folders: `nameless` is the word for names that leave nothing.
///
/// # Panics
/// Never, as [`preview_names`].
#[must_use]
pub fn distinct_names(names: &[&str], nameless: &str) -> Vec<String> {
    let stems: Vec<String> = names.iter().map(|name| stem(name)).collect();
    let mut taken = HashSet::new();
    let own: Vec<bool> = stems
        .iter()
        .map(|stem| !stem.is_empty() && taken.insert(stem.clone()))
        .collect();
    stems
        .into_iter()
        .zip(own)
        .map(|(stem, own)| {
            if own {
                return stem;
            }
            let base = if stem.is_empty() { nameless } else { &stem };
            (2_u64..)
                .map(|number| format!("{base}-{number}"))
                .find(|name| taken.insert(name.clone()))
                .expect("there are more numbers than schemes")
        })
        .collect()
}

fn stem(name: &str) -> String {
    let mut stem = String::new();
    for letter in name.to_lowercase().chars() {
        match letter {
            'a'..='z' | '0'..='9' => stem.push(letter),
            _ if stem.is_empty() || stem.ends_with('-') => {}
            _ => stem.push('-'),
        }
    }
    stem.truncate(LONGEST_STEM);
    stem.trim_end_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_follow_the_contract() {
        let cases: [(&[&str], &[&str]); 8] = [
            (&["Wick & Ember"], &["wick-ember.png"]),
            (&["  --Foglight!  "], &["foglight.png"]),
            (
                &["FOG", "fog", "Fog."],
                &["fog.png", "fog-2.png", "fog-3.png"],
            ),
            (
                &["", "!!", "scheme"],
                &["scheme-2.png", "scheme-3.png", "scheme.png"],
            ),
            (&["Scheme 2", "…"], &["scheme-2.png", "scheme-3.png"]),
            (&["a", "a", "a 2"], &["a.png", "a-3.png", "a-2.png"]),
            (&["../../etc", "a/b\\c"], &["etc.png", "a-b-c.png"]),
            (&["Öl 3000", "\u{212A}elp"], &["l-3000.png", "kelp.png"]),
        ];
        for (names, expected) in cases {
            assert_eq!(
                preview_names(names, PreviewFormat::Png),
                expected,
                "{names:?}"
            );
        }
    }

    #[test]
    fn any_names_give_distinct_plain_file_names() {
        let letters = ["A", "a", "b", "2", " ", "-", "é", "/", ".", "Ж", "\n", "日"];
        let mut seed = 7_usize;
        let mut next = |below: usize| {
            seed = (seed * 1_103_515_245 + 12_345) % 2_147_483_648;
            (seed >> 8) % below
        };
        for _ in 0..500 {
            let names: Vec<String> = (0..12)
                .map(|_| (0..next(6)).map(|_| letters[next(letters.len())]).collect())
                .collect();
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            let files = preview_names(&names, PreviewFormat::Png);
            assert_eq!(files, preview_names(&names, PreviewFormat::Png));
            let distinct: HashSet<&String> = files.iter().collect();
            assert_eq!(distinct.len(), 12, "{names:?} gave {files:?}");
            for file in &files {
                let stem = file.strip_suffix(".png").unwrap();
                let plain = stem
                    .bytes()
                    .all(|b| matches!(b, b'a'..=b'z' | b'0'..=b'9' | b'-'));
                let ends = stem.starts_with('-') || stem.ends_with('-') || stem.contains("--");
                assert!(plain && !ends && !stem.is_empty(), "{names:?} gave {file}");
            }
        }
    }

    #[test]
    fn an_endless_name_fits_a_file_system() {
        let long = "Long ".repeat(200);
        let files = preview_names(&[&long, &long], PreviewFormat::Png);
        assert!(files.iter().all(|file| file.len() < 120), "{files:?}");
        assert_ne!(files[0], files[1]);
    }
}
