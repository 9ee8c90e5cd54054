//! A layout as the text of a `layout.toml`: made from a plain list of names.

use velatura_document::quoted;

/// A mix that every listed paint is also brushed as.
#[derive(Debug, Clone, PartialEq)]
pub struct ListedTint {
    /// The other paint.
    pub with: String,
    /// Parts by volume: the listed paint, the other.
    pub parts: [f64; 2],
}

/// The text of a `layout.toml` for the printed card. Each paint is followed by its tints, so that a brush goes from the pure paint to its
/// mixes. A paint is not mixed with itself, and two paints are not mixed twice in the same ratio.
#[must_use]
pub fn layout_text(names: &[String], tints: &[ListedTint]) -> String {
    let mut text = "# Made by Velatura from a list of names. The first field is in the upper left place of the card.\n\
                    format = \"velatura-layout/1\"\n"
        .to_owned();
    for (name, tint) in listed_fields(names, tints) {
        text += &format!("\n[[field]]\nname = {}\n", quoted(name));
        if let Some(ListedTint { with, parts }) = tint {
            let [this, other] = parts;
            text += &format!("with = {}\nparts = [{this}, {other}]\n", quoted(with));
        }
    }
    text
}

/// The fields of such a layout in their order on the card: a paint alone, or with its tint.
#[must_use]
pub fn listed_fields<'a>(
    names: &'a [String],
    tints: &'a [ListedTint],
) -> Vec<(&'a str, Option<&'a ListedTint>)> {
    let mut fields: Vec<(&str, Option<&ListedTint>)> = Vec::new();
    for name in names {
        fields.push((name, None));
        for tint in tints.iter().filter(|tint| tint.with != *name) {
            let [this, other] = tint.parts;
            // The same mix seen from the other paint.
            let is_there = fields.iter().any(|(earlier, mixed)| {
                *earlier == tint.with
                    && mixed.is_some_and(|mixed| {
                        mixed.with == *name && is_turned(mixed.parts, [this, other])
                    })
            });
            if !is_there {
                fields.push((name, Some(tint)));
            }
        }
    }
    fields
}

/// Whether two ratios are the same one seen from either paint.
fn is_turned(one: [f64; 2], other: [f64; 2]) -> bool {
    (one[0] * other[0] / (one[1] * other[1]) - 1.0).abs() < 1e-9
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read_layout_file;
    use velatura_document::SourceText;

    fn titles(names: &[&str], tints: &[(&str, [f64; 2])]) -> Vec<String> {
        let names: Vec<String> = names.iter().map(|&name| name.to_owned()).collect();
        let tint = |&(with, parts): &(&str, [f64; 2])| ListedTint {
            with: with.to_owned(),
            parts,
        };
        let tints: Vec<ListedTint> = tints.iter().map(tint).collect();
        let source = SourceText::new("layout.toml", layout_text(&names, &tints));
        let layout = read_layout_file(&source).unwrap().value;
        let places: Vec<usize> = layout.fields.iter().map(|field| field.place).collect();
        assert_eq!(places, (0..layout.fields.len()).collect::<Vec<_>>());
        layout.fields.iter().map(crate::FieldEntry::title).collect()
    }

    #[test]
    fn each_paint_is_followed_by_its_tints_but_never_mixed_with_itself() {
        let made = titles(
            &["Eel \"deep\"", "Gull, White"],
            &[("Gull, White", [1.0, 4.0]), ("Gull, White", [1.0, 0.5])],
        );
        let expected = [
            "Eel \"deep\"",
            "Eel \"deep\" + Gull, White 1:4",
            "Eel \"deep\" + Gull, White 1:0.5",
            "Gull, White",
        ];
        assert_eq!(made, expected);
    }

    #[test]
    fn one_mix_of_two_paints_has_one_place() {
        let equal = titles(&["A", "B"], &[("A", [1.0, 1.0]), ("B", [1.0, 1.0])]);
        assert_eq!(equal, ["A", "A + B 1:1", "B"]);
        // Must stay: one part of A in four of B is not four of A in one of B.
        let unequal = titles(&["A", "B"], &[("A", [1.0, 4.0]), ("B", [1.0, 4.0])]);
        assert_eq!(unequal, ["A", "A + B 1:4", "B", "B + A 1:4"]);
    }
}
