//! Changes of text files by chance: small ones, so that many files stay nearly right and reach the code behind the reader.

use rand::RngExt;
use rand::seq::IndexedRandom;

use super::Chance;

/// Numbers at and beyond the edges of what a file may say.
const NUMBERS: [&str; 34] = [
    "0",
    "-0.0",
    "1",
    "-1",
    "0.5",
    "1.0000001",
    "2",
    "3",
    "7",
    "10",
    "31",
    "60",
    "100",
    "250",
    "255",
    "256",
    "380",
    "400",
    "780",
    "1000",
    "65535",
    "65536",
    "2147483648",
    "4294967296",
    "9223372036854775807",
    "-9223372036854775808",
    "1e-300",
    "1e-9",
    "1e6",
    "1e18",
    "1e308",
    "-1e308",
    "inf",
    "nan",
];

/// Values of other kinds.
const VALUES: [&str; 26] = [
    "true",
    "false",
    "\"\"",
    "\" \"",
    "\"x\"",
    "[]",
    "[[]]",
    "{}",
    "[1, 2]",
    "[-1, 1e308]",
    "[[0, 0], [1, 0], [1, 1], [0, 1]]",
    "{ medium = 1 }",
    "{ \"Oil Amber\" = 1 }",
    "\"#000000\"",
    "\"#ffffff\"",
    "\"#808080\"",
    "\"#FFF\"",
    "\"808080\"",
    "\"medium\"",
    "\"black-to-white\"",
    "\"plain\"",
    "\"over-white\"",
    "\"gloss\"",
    "1979-05-27T07:32:00Z",
    "\"../../etc/passwd\"",
    "\"a\\u0000b\"",
];

/// Text of other scripts, of no script, and what a terminal, a page or a format obeys.
const SNIPPETS: [&str; 26] = [
    "Größe",
    "漆",
    "\u{202e}",
    "👩‍🎨",
    "\\u001b[2J",
    "\u{1b}[31m",
    "\u{0}",
    "\u{feff}",
    "\r",
    "\r\n",
    "\u{2028}",
    "\u{85}",
    "\"",
    "'",
    "\\",
    "\"\"\"",
    "<b>&amp;</b>",
    "]]>",
    "--",
    "#",
    "=",
    ".",
    "[",
    "]]",
    "a\u{301}\u{301}\u{301}",
    "\u{10ffff}",
];

/// Changes a text once to six times, or now and then not at all. `others` are texts to take parts from.
pub(crate) fn changed(text: &str, others: &[&str], chance: &mut Chance) -> Vec<u8> {
    let times = *[0, 1, 1, 1, 1, 2, 2, 3, 6].choose(chance).unwrap_or(&1);
    let mut text = text.to_owned();
    for _ in 0..times {
        text = once(&text, others, chance);
    }
    let mut bytes = text.into_bytes();
    // Seldom, since most such files are no text at all.
    if chance.random_ratio(1, 16) {
        for _ in 0..chance.random_range(1..4) {
            flip(&mut bytes, chance);
        }
    }
    bytes
}

/// Changes one byte to any other.
pub(crate) fn flip(bytes: &mut [u8], chance: &mut Chance) {
    if !bytes.is_empty() {
        let at = chance.random_range(0..bytes.len());
        bytes[at] ^= chance.random_range(1..=255_u8);
    }
}

fn once(text: &str, others: &[&str], chance: &mut Chance) -> String {
    match chance.random_range(0..19) {
        0..=3 => number(text, chance),
        4 | 5 => value(text, chance),
        6 => key(text, chance),
        7 => truncated(text, chance),
        8 | 9 => without_line(text, chance),
        10 => lines_again(text, chance),
        11 | 12 => section_again(text, chance),
        13 => swapped(text, chance),
        14 | 15 => inserted(text, chance),
        16 => word_for_word(text, chance),
        17 => from_another(text, others, chance),
        _ => long(text, chance),
    }
}

/// Byte ranges of the text for which `belongs` holds character by character.
fn runs(text: &str, belongs: impl Fn(char) -> bool) -> Vec<std::ops::Range<usize>> {
    let mut runs: Vec<std::ops::Range<usize>> = Vec::new();
    for (at, c) in text.char_indices().filter(|(_, c)| belongs(*c)) {
        match runs.last_mut() {
            Some(run) if run.end == at => run.end += c.len_utf8(),
            _ => runs.push(at..at + c.len_utf8()),
        }
    }
    runs
}

fn with(text: &str, range: std::ops::Range<usize>, new: &str) -> String {
    format!("{}{new}{}", &text[..range.start], &text[range.end..])
}

fn number(text: &str, chance: &mut Chance) -> String {
    let all = runs(text, |c| c.is_ascii_digit() || c == '.');
    let Some(run) = all.choose(chance) else {
        return text.to_owned();
    };
    let new = if chance.random_bool(0.3) {
        // Near the old one, so that the file may stay right.
        let old: f64 = text[run.clone()].parse().unwrap_or(1.0);
        format!("{:?}", old * chance.random_range(0.0..2.0))
    } else {
        (*NUMBERS.choose(chance).unwrap_or(&"0")).to_owned()
    };
    with(text, run.clone(), &new)
}

/// Another value after a "=" (or a "," in a table of another kind).
fn value(text: &str, chance: &mut Chance) -> String {
    let ends: Vec<usize> = text
        .match_indices(['=', ','])
        .map(|(at, _)| at + 1)
        .collect();
    let Some(start) = ends.choose(chance).copied() else {
        return text.to_owned();
    };
    let end = text[start..]
        .find(['\n', '#'])
        .map_or(text.len(), |end| start + end);
    with(
        text,
        start..end,
        &format!(" {}", VALUES.choose(chance).unwrap_or(&"0")),
    )
}

fn key(text: &str, chance: &mut Chance) -> String {
    let all = runs(text, |c| c.is_alphanumeric() || c == '_');
    let Some(run) = all.choose(chance) else {
        return text.to_owned();
    };
    let old = &text[run.clone()];
    let new = match chance.random_range(0..4) {
        0 => old.to_uppercase(),
        1 => format!("{old}s"),
        2 => old.chars().skip(1).collect(),
        _ => old.chars().rev().collect(),
    };
    with(text, run.clone(), &new)
}

/// A place between two characters.
fn place(text: &str, chance: &mut Chance) -> usize {
    let at = chance.random_range(0..=text.len());
    (at..=text.len())
        .find(|at| text.is_char_boundary(*at))
        .unwrap_or(text.len())
}

fn truncated(text: &str, chance: &mut Chance) -> String {
    text[..place(text, chance)].to_owned()
}

fn joined(lines: &[&str]) -> String {
    lines.concat()
}

fn without_line(text: &str, chance: &mut Chance) -> String {
    let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
    if !lines.is_empty() {
        let from = chance.random_range(0..lines.len());
        let to = (from + *[1, 1, 1, 2, 5, 40].choose(chance).unwrap_or(&1)).min(lines.len());
        lines.drain(from..to);
    }
    joined(&lines)
}

fn lines_again(text: &str, chance: &mut Chance) -> String {
    let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
    if let Some(line) = lines.choose(chance).copied() {
        let at = chance.random_range(0..=lines.len());
        let times = *[1, 1, 2, 7, 300].choose(chance).unwrap_or(&1);
        lines.splice(at..at, std::iter::repeat_n(line, times));
    }
    joined(&lines)
}

/// A run of lines that begins with a table's head comes again, in place or at the end.
fn section_again(text: &str, chance: &mut Chance) -> String {
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let heads: Vec<usize> = (0..lines.len())
        .filter(|at| lines[*at].starts_with('['))
        .collect();
    let Some(from) = heads.choose(chance).copied() else {
        return lines_again(text, chance);
    };
    let to = heads
        .iter()
        .find(|at| **at > from)
        .copied()
        .unwrap_or(lines.len());
    let times = *[1, 1, 1, 2, 12].choose(chance).unwrap_or(&1);
    let again = joined(&lines[from..to]).repeat(times);
    format!("{text}\n{again}")
}

fn swapped(text: &str, chance: &mut Chance) -> String {
    let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
    if lines.len() > 1 {
        let [one, other] = [0; 2].map(|_: usize| chance.random_range(0..lines.len()));
        lines.swap(one, other);
    }
    joined(&lines)
}

fn inserted(text: &str, chance: &mut Chance) -> String {
    let at = place(text, chance);
    with(text, at..at, SNIPPETS.choose(chance).unwrap_or(&""))
}

/// One quoted text in the place of another, so that names meet names.
fn word_for_word(text: &str, chance: &mut Chance) -> String {
    let quotes: Vec<usize> = text.match_indices('"').map(|(at, _)| at).collect();
    let pairs: Vec<&[usize]> = quotes.chunks_exact(2).collect();
    let (Some(one), Some(other)) = (pairs.choose(chance), pairs.choose(chance)) else {
        return text.to_owned();
    };
    with(text, one[0]..one[1], &text[other[0]..other[1]])
}

fn from_another(text: &str, others: &[&str], chance: &mut Chance) -> String {
    let Some(other) = others.choose(chance) else {
        return text.to_owned();
    };
    let lines: Vec<&str> = other.split_inclusive('\n').collect();
    if lines.is_empty() {
        return text.to_owned();
    }
    let from = chance.random_range(0..lines.len());
    let to = (from + chance.random_range(1..30)).min(lines.len());
    let at = place(text, chance);
    let at = text[..at].rfind('\n').map_or(0, |at| at + 1);
    with(text, at..at, &joined(&lines[from..to]))
}

fn long(text: &str, chance: &mut Chance) -> String {
    let at = place(text, chance);
    let piece = *["x", "9", "[", "{a=", "漆", "\\", "0,", "\n", " "]
        .choose(chance)
        .unwrap_or(&"x");
    let times = *[40, 300, 5000].choose(chance).unwrap_or(&40);
    with(text, at..at, &piece.repeat(times))
}
