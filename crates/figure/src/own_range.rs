//! `[[material]]` of a figure file: the painter's own natural colours of a material.
//!
//! The tables of one material replace its built-in ranges; any of them is right.

use velatura_document::Fields;

use crate::material::{ColourRange, EVERY_HUE, MATERIALS, Material};

/// The most ranges of one material.
pub const MOST_RANGES: usize = 4;

/// One `[[material]]`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnRange {
    /// The material.
    pub material: Material,
    /// Colours that it has on this figure.
    pub range: ColourRange,
}

/// All tables in the order written; `None` after a mistake.
pub(crate) fn read(fields: &Fields<'_>) -> Option<Vec<OwnRange>> {
    let tables = fields.tables("material");
    let mut all = Vec::new();
    let mut right = true;
    // Those beyond the limit are a problem already.
    for table in tables.iter().take(MOST_RANGES * Material::ALL.len()) {
        let Some(own) = read_one(table) else {
            right = false;
            continue;
        };
        all.push(own);
        let count = all
            .iter()
            .filter(|one| one.material == own.material)
            .count();
        if count == MOST_RANGES + 1 {
            let word = own.material.word();
            table.problem(
                &table.at(),
                format!("there are more than {MOST_RANGES} ranges of \"{word}\""),
                &format!("at most {MOST_RANGES} tables for one material"),
                "remove some, or join ranges that touch",
            );
            right = false;
        }
    }
    right.then_some(all)
}

fn read_one(table: &Fields<'_>) -> Option<OwnRange> {
    let material = table.word("is", &MATERIALS);
    let lightness = read_range(table, "lightness", [0.0, 100.0]);
    let chroma = read_range(table, "chroma", [0.0, f64::INFINITY]);
    let hue = match table.has("hue") {
        true => table.numbers("hue").map(|hue| hue.value),
        false => Some(EVERY_HUE),
    };
    Some(OwnRange {
        material: material?.value,
        range: ColourRange {
            lightness: lightness?,
            chroma: chroma?,
            hue: hue?,
        },
    })
}

/// Least and most; `whole` if the key is missing.
fn read_range(table: &Fields<'_>, key: &str, whole: [f64; 2]) -> Option<[f64; 2]> {
    if !table.has(key) {
        return Some(whole);
    }
    let range = table.numbers::<2>(key)?;
    let [least, most] = range.value;
    if least > most {
        table.problem(
            &range.at,
            format!("`{key}` begins with {least} and ends with {most}"),
            "the least value first",
            format!("swap them: {key} = [{most}, {least}]"),
        );
        return None;
    }
    Some(range.value)
}
