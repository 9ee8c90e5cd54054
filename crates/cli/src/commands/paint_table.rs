//! A table of all paints, in text and as a chart, and what data each of them lacks.

use velatura_document::for_terminal;
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::optics::hiding::UNDERTONE_FILM;
use velatura_pipeline::optics::paint_report::{PaintReport, RatioFrom};
use velatura_sheet::ChartRow;

use crate::chips::Chips;

const HEADS: [&str; 7] = [
    "paint",
    "basis",
    "masstone",
    "undertone",
    "contrast ratio",
    "opacity",
    "owned",
];

/// Rows of a chart: masstone and undertone of each paint.
pub(super) fn chart_rows(paints: &[PaintReport]) -> Vec<ChartRow> {
    paints
        .iter()
        .map(|paint| ChartRow {
            title: paint.name.clone(),
            note: format!("{}; known from its {}", paint.opacity, paint.basis),
            chips: [("masstone", paint.masstone), ("undertone", paint.undertone)]
                .map(|(what, swatch)| (swatch.srgb, format!("{what} {}", swatch.srgb)))
                .to_vec(),
        })
        .collect()
}

/// The table, indented, with a line of explanation; empty if there are no paints. Names are already safe for a terminal.
pub(super) fn paint_table(paints: &[PaintReport], chips: Chips) -> String {
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
    let heads = std::iter::once([None; 7]);
    let coloured = heads.chain(paints.iter().map(colours));
    for (row, colours) in rows.iter().zip(coloured) {
        let mut line = String::from(" ");
        for (column, ((cell, width), colour)) in row.iter().zip(widths).zip(colours).enumerate() {
            let chip = match colour {
                Some(colour) => chips.chip(colour),
                None if COLOURED.contains(&column) => chips.blank().to_owned(),
                None => String::new(),
            };
            line += &format!(" {chip}{cell:width$} ");
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
            let name = format!("\"{}\"", for_terminal(&paint.name));
            match by_lack.iter_mut().find(|(other, _)| other == lack) {
                Some((_, names)) => names.push(name),
                None => by_lack.push((lack, vec![name])),
            }
        }
    }
    let lines = by_lack.iter().map(|(lack, names)| match names.as_slice() {
        [one] => format!("  {one} {}\n", for_terminal(lack)),
        [first @ .., last] => {
            let first = first.join(", ");
            format!("  each of {first} and {last} {}\n", for_terminal(lack))
        }
        [] => String::new(),
    });
    lines.collect()
}

/// The columns with colours.
const COLOURED: [usize; 2] = [2, 3];

fn colours(paint: &PaintReport) -> [Option<Encoded>; 7] {
    let (masstone, undertone) = (Some(paint.masstone.srgb), Some(paint.undertone.srgb));
    [None, None, masstone, undertone, None, None, None]
}

fn row(paint: &PaintReport) -> [String; 7] {
    let mark = match paint.contrast_ratio_from {
        RatioFrom::Stated => "*",
        RatioFrom::Codes | RatioFrom::Spectra => "",
    };
    [
        for_terminal(&paint.name).into_owned(),
        paint.basis.to_string(),
        paint.masstone.srgb.to_string(),
        paint.undertone.srgb.to_string(),
        format!("{:.3}{mark}", paint.contrast_ratio),
        paint.opacity.to_owned(),
        if paint.owned { "yes" } else { "no" }.to_owned(),
    ]
}
