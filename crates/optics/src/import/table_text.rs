//! CSV and similar text: a head line and a row per sample, or a column per sample with the wavelengths down the first.
//!
//! In: text separated by tab, `;` or `,`, whichever the head line has. Unless that is `,`, numbers may have a decimal
//! comma. Lines that begin with `#` are comments. Out: a [`Table`].

use std::ops::Range;

use super::columns::{Columns, is_name_head, wavelength_nm};
use super::found::Found;
use super::row::{Table, fault};
use velatura_document::{At, SourceText};

/// The place of a row, and its cells.
type Record = (Range<usize>, Vec<At<String>>);

/// Reads a file. Problems go into `problems`, and reading goes on.
pub(super) fn read<'a>(source: &'a SourceText, problems: &Found<'_>) -> Table<'a> {
    let mut table = Table {
        source,
        rows: Vec::new(),
        specular: None,
    };
    let mut records = records(source, problems);
    if records.is_empty() {
        problems.in_file(source, || {
            fault(
                "this file is empty",
                "a header line with name and wavelengths, and a row for every sample",
                "",
            )
        });
        return table;
    }
    if wavelengths_run_down(&records) {
        records = transposed(&records);
    }
    let (heads_at, heads) = records.remove(0);
    let mut heads: Vec<&str> = heads.iter().map(|head| head.value.as_str()).collect();
    // Spreadsheets often leave the corner empty: the first column then holds the names.
    if !heads.iter().any(|head| is_name_head(head)) && wavelength_nm(heads[0]).is_none() {
        heads[0] = "name";
    }
    match Columns::of(&heads) {
        Err(wrong) => problems.at(source, &heads_at, || wrong),
        Ok(columns) => {
            for (at, cells) in &records {
                match columns.row(source, at, cells) {
                    Ok(row) => table.rows.push(row),
                    Err((at, wrong)) => problems.at(source, &at, || wrong),
                }
            }
        }
    }
    table
}

/// All records with at least one filled cell.
fn records(source: &SourceText, problems: &Found<'_>) -> Vec<Record> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .delimiter(delimiter(source.text()))
        .from_reader(source.text().as_bytes());
    let mut found: Vec<Record> = Vec::new();
    let mut record = csv::StringRecord::new();
    loop {
        let start = byte(reader.position());
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => break,
            Err(error) => {
                problems.at(source, &(start..start), || {
                    fault(format!("this row cannot be read: {error}"), "", "")
                });
                break;
            }
        }
        if record.iter().any(|cell| !cell.trim().is_empty()) {
            let start = record.position().map_or(start, byte);
            found.push(with_places(source, start..byte(reader.position()), &record));
        }
    }
    found
}

fn byte(position: &csv::Position) -> usize {
    usize::try_from(position.byte()).unwrap_or(usize::MAX)
}

/// Finds every cell in the text of its record; a cell with doubled quotation marks is placed at its record's start.
fn with_places(source: &SourceText, at: Range<usize>, record: &csv::StringRecord) -> Record {
    let end = at.end.min(source.text().len());
    let whole = source.text().get(at.start..end).unwrap_or_default();
    // The reader's position may be before line ends and comments that it skips.
    let skipped = whole
        .split_inclusive('\n')
        .take_while(|line| line.trim().is_empty() || line.starts_with('#'))
        .map(str::len)
        .sum::<usize>();
    let start = at.start + skipped;
    let text = whole[skipped..].trim_end_matches(['\r', '\n']);
    let mut from = 0;
    let cells = record
        .iter()
        .map(|cell| {
            let place = text[from..].find(cell).map(|place| from + place);
            if let Some(place) = place {
                from = place + cell.len();
            }
            let place = start + place.unwrap_or(0);
            At {
                value: cell.to_owned(),
                at: place..place + cell.len(),
            }
        })
        .collect();
    (start..start + text.len(), cells)
}

/// The separator in the first line that is not a comment.
fn delimiter(text: &str) -> u8 {
    let head = text
        .lines()
        .find(|line| !line.trim().is_empty() && !line.starts_with('#'))
        .unwrap_or_default();
    *[b'\t', b';']
        .iter()
        .find(|one| head.contains(char::from(**one)))
        .unwrap_or(&b',')
}

/// Whether the first column, below its head, has wavelengths, and no head is one.
fn wavelengths_run_down(records: &[Record]) -> bool {
    let names_none = records[0]
        .1
        .iter()
        .all(|head| wavelength_nm(&head.value).is_none());
    let first = |(_, cells): &Record| {
        cells
            .first()
            .is_some_and(|cell| wavelength_nm(&cell.value).is_some())
    };
    names_none && records.len() > 2 && records[1..].iter().all(first)
}

/// Columns become rows. A short record leaves short rows, which are reported later.
fn transposed(records: &[Record]) -> Vec<Record> {
    let heads: Vec<At<String>> = records
        .iter()
        .enumerate()
        .map(|(index, (_, cells))| {
            let mut head = cells[0].clone();
            if index == 0 {
                head.value = "name".to_owned();
            }
            head
        })
        .collect();
    let mut turned = vec![(records[1].0.clone(), heads)];
    for (column, name) in records[0].1.iter().enumerate().skip(1) {
        let cells = records
            .iter()
            .filter_map(|(_, cells)| cells.get(column).cloned())
            .collect();
        turned.push((name.at.clone(), cells));
    }
    turned
}
