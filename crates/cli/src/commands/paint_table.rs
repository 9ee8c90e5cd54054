//! A table of all paints, and what data each of them lacks.

use velatura_pipeline::optics::hiding::UNDERTONE_FILM;
use velatura_pipeline::optics::paint_report::{PaintReport, RatioFrom};

const HEADS: [&str; 7] = [
    "paint",
    "basis",
    "masstone",
    "undertone",
    "contrast ratio",
    "opacity",
    "owned",
];

/// The table, indented, with a line of explanation; empty if there are no paints.
pub(super) fn paint_table(paints: &[PaintReport]) -> String {
    if paints.is_empty() {
        return String::new();
    }
    let mut rows = vec![HEADS.map(str::to_owned)];
    rows.extend(paints.iter().map(row));
    let widths: [usize; 7] = std::array::from_fn(|column| {
        let wide = |row: &[String; 7]| row[column].chars().count();
        rows.iter().map(wide).max().unwrap_or(0)
    });
    let mut text = String::new();
    for row in &rows {
        let mut line = String::from(" ");
        for (cell, width) in row.iter().zip(widths) {
            line += &format!(" {cell:width$} ");
        }
        text += line.trim_end();
        text += "\n";
    }
    text += &format!(
        "  undertone: a film of {UNDERTONE_FILM} (drawdown = 1) over the white card; \
         contrast ratio: Y over black / Y over white (ISO 6504-3); * = stated, not measured\n"
    );
    text += &lacks(paints);
    text
}

/// What the paints lack, one line for all paints that lack the same.
fn lacks(paints: &[PaintReport]) -> String {
    let mut by_lack: Vec<(&str, Vec<String>)> = Vec::new();
    for paint in paints {
        for lack in &paint.lacks {
            let name = format!("\"{}\"", paint.name);
            match by_lack.iter_mut().find(|(other, _)| other == lack) {
                Some((_, names)) => names.push(name),
                None => by_lack.push((lack, vec![name])),
            }
        }
    }
    let lines = by_lack.iter().map(|(lack, names)| match names.as_slice() {
        [one] => format!("  {one} {lack}\n"),
        [first @ .., last] => format!("  each of {} and {last} {lack}\n", first.join(", ")),
        [] => String::new(),
    });
    lines.collect()
}

fn row(paint: &PaintReport) -> [String; 7] {
    let mark = match paint.contrast_ratio_from {
        RatioFrom::Stated => "*",
        RatioFrom::Codes | RatioFrom::Spectra => "",
    };
    [
        paint.name.clone(),
        paint.basis.to_string(),
        paint.masstone.srgb.to_string(),
        paint.undertone.srgb.to_string(),
        format!("{:.3}{mark}", paint.contrast_ratio),
        paint.opacity.to_owned(),
        if paint.owned { "yes" } else { "no" }.to_owned(),
    ]
}
