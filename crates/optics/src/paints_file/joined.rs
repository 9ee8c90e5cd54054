//! Several paints files as one: who adds a card of new paints need not copy them into the old file.
//!
//! In: texts in the order of the call. Out: all paints, or every problem of every file. A name belongs to one paint in all files
//! together; a tint may be with a paint of another file.

use std::collections::{HashMap, HashSet};

use velatura_document::{
    Diagnostic, InPart, Problems, SourceText, Warned, either, in_file_order, nearest, word_for,
};

use super::{PaintEntry, PaintsFile, TintEntry, read_one};
use crate::surface::SPECULAR_WORDS;

/// Reads one `paints.toml`.
///
/// # Errors
/// All problems, warnings included, if any of them is an error.
pub fn read_paints_file(source: &SourceText) -> Result<Warned<PaintsFile>, Vec<Diagnostic>> {
    read_paints_files(std::slice::from_ref(source))
}

/// Reads several `paints.toml` as one, in this order.
///
/// A file with another convention (`specular`) than the first is a warning: its paints are read in their own, photo and undercoat in
/// that of the first.
///
/// # Errors
/// All problems, warnings included, if any of them is an error: those of each file, a file or a paint that is there twice, a tint with
/// a paint that no file has, or no file at all.
pub fn read_paints_files(sources: &[SourceText]) -> Result<Warned<PaintsFile>, Vec<Diagnostic>> {
    let mut seen = HashSet::new();
    if let Some(twice) = sources.iter().find(|one| !seen.insert(one.name())) {
        return Err(vec![
            Diagnostic::error(twice.name(), "this file is named twice")
                .expected("each paints file once")
                .help("name it once"),
        ]);
    }
    let mut read: Vec<InPart<PaintsFile>> = sources.iter().map(read_one).collect();
    report_names(sources, &mut read);
    let mut problems = Vec::new();
    let mut joined: Option<PaintsFile> = None;
    for (file, source) in read.into_iter().zip(sources) {
        problems.extend(file.problems);
        let Some(file) = file.value else { continue };
        match &mut joined {
            None => joined = Some(file),
            Some(joined) => {
                problems.extend(other_convention(joined, &file, source, &sources[0]));
                joined.paints.extend(file.paints);
            }
        }
    }
    match joined {
        Some(joined) if !problems.iter().any(Diagnostic::is_error) => {
            Ok(Warned::new(joined, problems))
        }
        _ if problems.is_empty() => {
            let problem = Diagnostic::error("", "no paints file is named");
            Err(vec![problem.expected("at least one paints file")])
        }
        _ => Err(problems),
    }
}

/// Reports names that two paints share, and tints with a paint that is nowhere.
fn report_names(sources: &[SourceText], read: &mut [InPart<PaintsFile>]) {
    let names: Vec<&str> = sources.iter().map(SourceText::name).collect();
    let files = either(&names);
    let mut earlier: HashMap<&str, &PaintEntry> = HashMap::new();
    let mut found = Vec::new();
    // A paint that is missing may be in a file that could not be read.
    let whole = read.iter().all(|file| file.value.is_some());
    let entries = || {
        let values = read.iter().filter_map(|file| file.value.as_ref());
        values.flat_map(|file| &file.paints)
    };
    let all: HashSet<&str> = entries().map(|paint| &*paint.name.value).collect();
    for (file, source) in read.iter().zip(sources) {
        let problems = Problems::default();
        for paint in file.value.iter().flat_map(|file| &file.paints) {
            let name = &*paint.name.value;
            if name.eq_ignore_ascii_case("medium") {
                problems.error(|| called_medium(paint));
            }
            match earlier.get(name) {
                Some(first) => problems.error(|| shared(first, paint)),
                None => drop(earlier.insert(name, paint)),
            }
            for tint in paint.tints.iter().filter(|_| whole) {
                let with = &*tint.with.value;
                if with == name || !all.contains(with) {
                    let others = entries().map(|paint| &*paint.name.value);
                    problems.error(|| {
                        let near = nearest(with, others.filter(|other| *other != name));
                        let files = if names.len() == 1 {
                            "this file"
                        } else {
                            &files
                        };
                        unknown_partner(paint, tint, near, files)
                    });
                }
            }
        }
        found.push(problems.into_sorted(source.name()));
    }
    for (file, found) in read.iter_mut().zip(found) {
        if !found.is_empty() {
            file.problems.extend(found);
            in_file_order(&mut file.problems);
        }
    }
}

fn called_medium(paint: &PaintEntry) -> Diagnostic {
    at_name(paint, "a paint is called \"medium\"".to_owned())
        .expected("another name: `medium` is reserved for clear glaze medium")
        .help("rename or remove this paint")
}

fn shared(first: &PaintEntry, second: &PaintEntry) -> Diagnostic {
    let name = &second.name.value;
    let problem = at_name(second, format!("two paints are called \"{name}\""))
        .expected("a different name for every paint");
    if first.source.name() == second.source.name() {
        return problem.help("rename one of them");
    }
    let line = first.source.place(&first.name.at).line;
    problem.help(format!(
        "the other is in line {line} of {}: remove one of them, or rename it",
        first.source.name()
    ))
}

fn unknown_partner(
    paint: &PaintEntry,
    tint: &TintEntry,
    near: Option<&str>,
    files: &str,
) -> Diagnostic {
    let found = format!("no other paint is called \"{}\"", tint.with.value);
    let help = near.map_or_else(
        || "add that paint, or remove the tint".to_owned(),
        |near| format!("did you mean \"{near}\"?"),
    );
    paint
        .source
        .error_at(&tint.with.at, found)
        .within(within(paint))
        .expected(format!("the name of another paint in {files}"))
        .help(help)
}

fn at_name(paint: &PaintEntry, found: String) -> Diagnostic {
    let problem = paint.source.error_at(&paint.name.at, found);
    problem.within(within(paint))
}

fn within(paint: &PaintEntry) -> String {
    format!("paint \"{}\"", paint.name.value)
}

/// A warning if a file has another convention than the first one.
fn other_convention(
    first: &PaintsFile,
    file: &PaintsFile,
    source: &SourceText,
    first_source: &SourceText,
) -> Option<Diagnostic> {
    let [own, others] = [file, first].map(|file| word_for(&SPECULAR_WORDS, &file.cards.specular));
    (own != others).then(|| {
        let found = format!("`specular` is \"{own}\" here and \"{others}\" in {}", first_source.name());
        Diagnostic::warning(source.name(), found)
            .within("[cards]")
            .expected("one convention in all paints files")
            .help("photo and undercoat are taken as in the first file: name the file that fits your photo first, or write `specular` into both")
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::Specular;

    fn file(name: &str, black: &str, paints: &str) -> SourceText {
        let text = format!(
            "format = \"velatura-paints/1\"\n[cards]\nblack = \"{black}\"\nwhite = \"#f0f0f0\"\n{paints}"
        );
        SourceText::new(name, text)
    }

    fn paint(name: &str) -> String {
        format!(
            "[[paint]]\nname = \"{name}\"\nover_black = \"#202020\"\nover_white = \"#808080\"\n"
        )
    }

    fn tint(with: &str) -> String {
        format!(
            "[[paint.tint]]\nwith = \"{with}\"\nparts = [1, 4]\nover_black = \"#404040\"\nover_white = \"#a0a0a0\"\n"
        )
    }

    fn problems(sources: &[SourceText]) -> String {
        let problems = read_paints_files(sources).unwrap_err();
        let texts: Vec<String> = problems.iter().map(Diagnostic::to_string).collect();
        texts.join("\n")
    }

    #[test]
    fn files_join_in_their_order_and_each_paint_keeps_its_cards() {
        let first = file("a.toml", "#303030", &paint("Eel"));
        let second = file("b.toml", "#383838", &(paint("Fen") + &tint("Eel")));
        let joined = read_paints_files(&[first, second]).unwrap();
        assert!(joined.warnings.is_empty(), "{:?}", joined.warnings);
        let of = |paint: &PaintEntry| (paint.name.value.clone(), paint.cards.black.to_string());
        let paints: Vec<_> = joined.value.paints.iter().map(of).collect();
        let expected = [("Eel", "#303030"), ("Fen", "#383838")];
        assert_eq!(
            paints,
            expected.map(|(name, black)| (name.to_owned(), black.to_owned()))
        );
        assert_eq!(joined.value.cards.black.to_string(), "#303030");
    }

    #[test]
    fn a_name_in_two_files_is_an_error_that_names_both_places() {
        let first = file("a.toml", "#303030", &paint("Eel"));
        let second = file("b.toml", "#303030", &(paint("Fen") + &paint("Eel")));
        let found = problems(&[first.clone(), second]);
        assert_eq!(
            found,
            "error: b.toml:10:8: two paints are called \"Eel\"\n   | name = \"Eel\"\n   |        ^^^^^\n  \
             in: paint \"Eel\"\n  expected: a different name for every paint\n  \
             help: the other is in line 6 of a.toml: remove one of them, or rename it"
        );
        // The same text under another name is no exception; the same name is one problem, not one per paint.
        assert!(
            problems(&[first.clone(), SourceText::new("c.toml", first.text())]).contains("a.toml")
        );
        assert!(problems(&[first.clone(), first]).contains("a.toml: this file is named twice"));
    }

    #[test]
    fn a_tint_with_a_paint_of_no_file_is_only_reported_if_all_could_be_read() {
        let first = file("a.toml", "#303030", &paint("Eel"));
        let second = file("b.toml", "#303030", &(paint("Fen") + &tint("Gull")));
        let found = problems(&[first, second.clone()]);
        assert!(
            found.contains("expected: the name of another paint in a.toml or b.toml"),
            "{found}"
        );
        let broken = SourceText::new("a.toml", "nonsense");
        let found = problems(&[broken, second]);
        assert!(
            !found.contains("Gull") && found.contains("a.toml:1"),
            "{found}"
        );
        assert!(problems(&[]).contains("no paints file"));
    }

    #[test]
    fn another_convention_is_a_warning_and_its_paints_keep_it() {
        let first = file("a.toml", "#303030", &paint("Eel"));
        let second = file("b.toml", "#080808", &paint("Fen"));
        let joined = read_paints_files(&[first, second]).unwrap();
        assert_eq!(joined.warnings.len(), 1);
        let warning = joined.warnings[0].to_string();
        assert!(
            warning.starts_with(
                "warning: b.toml: `specular` is \"excluded\" here and \"included\" in a.toml"
            ),
            "{warning}"
        );
        let specular = |at: usize| joined.value.paints[at].cards.specular;
        assert_eq!(
            [specular(0), specular(1)],
            [Specular::Included, Specular::Excluded]
        );
        assert_eq!(joined.value.cards.specular, Specular::Included);
    }
}
