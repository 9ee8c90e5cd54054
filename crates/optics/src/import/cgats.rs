//! CGATS.17 text, as instruments' programs export it (ISO 28178; the format is from memory of both).
//!
//! In: keywords with values, a data format between `BEGIN_DATA_FORMAT` and `END_DATA_FORMAT`, rows between `BEGIN_DATA`
//! and `END_DATA`; several tables may follow each other. `#` begins a comment, quoted strings hold spaces and `""`.
//! Out: a [`Table`]. Only the keywords that change the meaning of the rows are read.

use std::ops::Range;

use super::columns::Columns;
use super::found::Found;
use super::row::{Row, Table, error_at, fault};
use crate::surface::Specular;
use velatura_document::{At, SourceText};

/// Whether a text is of this kind.
pub(super) fn is_cgats(text: &str) -> bool {
    text.lines().any(|line| {
        let line = line.trim_start();
        line.starts_with("BEGIN_DATA") || line.starts_with("CGATS")
    })
}

/// Reads a file. Problems go into `problems`, and reading goes on.
pub(super) fn read<'a>(source: &'a SourceText, problems: &Found<'_>) -> Table<'a> {
    let mut reader = Reader {
        source,
        problems,
        part: Part::Header,
        heads: Vec::new(),
        columns: None,
        fields: None,
        sets: None,
        open: Vec::new(),
        begun: 0,
        specular: None,
        rows: Vec::new(),
        any_data: false,
    };
    let mut at = 0;
    for line in source.text().split_inclusive('\n') {
        match tokens(line, at) {
            Ok(tokens) => reader.line(tokens),
            Err(quote) => reader.report(
                &quote,
                "a quotation mark is not closed on its line",
                "\"…\"; a quotation mark inside is written twice",
                "close it, or remove it",
            ),
        }
        at += line.len();
    }
    reader.finish();
    let Reader { rows, specular, .. } = reader;
    Table {
        source,
        rows,
        specular,
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Header,
    Format,
    Data,
}

struct Reader<'a, 'p> {
    source: &'a SourceText,
    problems: &'p Found<'p>,
    part: Part,
    /// The data format, with places.
    heads: Vec<At<String>>,
    /// Its meaning; `None` if it has none, which was reported.
    columns: Option<Columns>,
    /// `NUMBER_OF_FIELDS` and `NUMBER_OF_SETS` of the current table.
    fields: Option<At<usize>>,
    sets: Option<At<usize>>,
    /// Cells of a row that goes on in the next line.
    open: Vec<At<String>>,
    /// Rows of this table so far, wrong ones too.
    begun: usize,
    specular: Option<Specular>,
    rows: Vec<Row<'a>>,
    any_data: bool,
}

impl Reader<'_, '_> {
    fn report(&mut self, at: &Range<usize>, found: impl Into<String>, expected: &str, help: &str) {
        self.problems
            .at(self.source, at, || fault(found, expected, help));
    }

    fn line(&mut self, tokens: Vec<At<String>>) {
        let Some(first) = tokens.first() else {
            return;
        };
        match (self.part, first.value.as_str()) {
            (_, "BEGIN_DATA_FORMAT") => {
                self.part = Part::Format;
                self.heads.clear();
                self.heads.extend(tokens.into_iter().skip(1));
            }
            (Part::Format, "END_DATA_FORMAT") => self.end_format(&first.at.clone()),
            (Part::Format, _) => self.heads.extend(tokens),
            (_, "BEGIN_DATA") => self.begin_data(&first.at.clone()),
            (Part::Data, "END_DATA") => self.end_data(&first.at.clone()),
            (Part::Data, _) => self.data(tokens),
            (Part::Header, "NUMBER_OF_FIELDS") => self.fields = self.count(&tokens),
            (Part::Header, "NUMBER_OF_SETS") => self.sets = self.count(&tokens),
            (Part::Header, "MEASUREMENT_GEOMETRY") => {
                if let Some(geometry) = tokens.get(1) {
                    self.specular = specular_of(&geometry.value);
                }
            }
            (Part::Header, _) => {}
        }
    }

    fn count(&mut self, tokens: &[At<String>]) -> Option<At<usize>> {
        let given = tokens.get(1).unwrap_or(&tokens[0]);
        let read = given.value.parse().ok();
        if read.is_none() {
            let found = format!("`{}` is not a whole number", tokens[0].value);
            self.report(&given.at, found, "a number such as 36", "");
        }
        read.map(|value| At {
            value,
            at: given.at.clone(),
        })
    }

    fn end_format(&mut self, at: &Range<usize>) {
        self.part = Part::Header;
        let heads: Vec<&str> = self.heads.iter().map(|head| head.value.as_str()).collect();
        self.columns = match Columns::of(&heads) {
            Ok(columns) => Some(columns),
            Err(wrong) => {
                let from = self.heads.first().map_or(at, |head| &head.at).clone();
                self.problems.at(self.source, &from, || wrong);
                None
            }
        };
        if let Some(stated) = self.fields.take()
            && stated.value != self.heads.len()
        {
            let found = format!(
                "NUMBER_OF_FIELDS is {}, but the data format has {}",
                stated.value,
                self.heads.len()
            );
            let expected = "the number of names between BEGIN_DATA_FORMAT and END_DATA_FORMAT";
            self.report(
                &stated.at,
                found,
                expected,
                "was the file cut off or edited? export it again",
            );
        }
    }

    fn begin_data(&mut self, at: &Range<usize>) {
        self.part = Part::Data;
        self.begun = 0;
        self.any_data = true;
        if self.heads.is_empty() {
            let expected = "BEGIN_DATA_FORMAT … END_DATA_FORMAT with the names of the columns";
            self.report(
                at,
                "there is no data format before the data",
                expected,
                "export the file again",
            );
        }
    }

    fn data(&mut self, tokens: Vec<At<String>>) {
        let count = self.heads.len();
        // A row may go on in the next line. If that line is a complete row, this one was too short.
        if !self.open.is_empty() && self.open.len() + tokens.len() > count {
            self.end_row();
        }
        self.open.extend(tokens);
        if self.open.len() >= count {
            self.end_row();
        }
    }

    fn end_row(&mut self) {
        let cells = std::mem::take(&mut self.open);
        self.begun += 1;
        let (Some(columns), Some(first), Some(last)) = (&self.columns, cells.first(), cells.last())
        else {
            return;
        };
        let at = first.at.start..last.at.end;
        match columns.row(self.source, &at, &cells) {
            Ok(row) => self.rows.push(row),
            Err((at, wrong)) => {
                let row = self.begun;
                self.problems.add(self.source, || {
                    error_at(self.source, &at, wrong).within(format!("row {row} of the data"))
                });
            }
        }
    }

    fn end_data(&mut self, at: &Range<usize>) {
        if !self.open.is_empty() {
            self.end_row();
        }
        self.part = Part::Header;
        if let Some(stated) = self.sets.take()
            && stated.value != self.begun
        {
            let found = format!(
                "NUMBER_OF_SETS is {}, but {} rows end here",
                stated.value, self.begun
            );
            self.report(
                at,
                found,
                "as many rows as NUMBER_OF_SETS states",
                "was the file cut off or edited? export it again",
            );
        }
    }

    fn finish(&mut self) {
        let end = self.source.text().len();
        let (missing, begun) = match self.part {
            Part::Data => ("END_DATA", "BEGIN_DATA"),
            Part::Format => ("END_DATA_FORMAT", "BEGIN_DATA_FORMAT"),
            Part::Header if self.any_data => return,
            Part::Header => {
                self.problems.in_file(self.source, || {
                    fault("there is no data in this file", "BEGIN_DATA … END_DATA", "")
                });
                return;
            }
        };
        let found = format!("the file ends before {missing}");
        let expected = format!("{missing} to close {begun}");
        self.report(
            &(end..end),
            found,
            &expected,
            "the file was cut off: export it again",
        );
    }
}

/// Whether a geometry leaves the surface's reflection out (CIE 15, from memory: 45°:0° and 0°:45° never see it, a sphere
/// is written di:8° with it and de:8° without). A plain d/8 may be either.
fn specular_of(geometry: &str) -> Option<Specular> {
    let plain: String = geometry
        .to_lowercase()
        .chars()
        .filter(|c| c.is_ascii_alphanumeric())
        .collect();
    let has = |any: &[&str]| any.iter().any(|part| plain.contains(part));
    if has(&["450", "45a0", "45c0", "45x0", "045", "de8", "8de", "sce"]) {
        Some(Specular::Excluded)
    } else if has(&["di8", "8di", "sci"]) {
        Some(Specular::Included)
    } else {
        None
    }
}

/// The words of one line that begins `at` bytes into the file.
///
/// # Errors
/// The place of a quotation mark that is not closed.
fn tokens(line: &str, at: usize) -> Result<Vec<At<String>>, Range<usize>> {
    let mut found = Vec::new();
    let mut rest = line.char_indices().peekable();
    while let Some(&(start, first)) = rest.peek() {
        if first == '#' {
            break;
        }
        if first.is_whitespace() {
            rest.next();
            continue;
        }
        let mut value = String::new();
        let mut end = line.len();
        if first == '"' {
            rest.next();
            let mut closed = false;
            while let Some((place, c)) = rest.next() {
                let doubled = c == '"' && rest.peek().is_some_and(|(_, next)| *next == '"');
                if c == '"' && !doubled {
                    (closed, end) = (true, place + 1);
                    break;
                }
                if doubled {
                    rest.next();
                }
                value.push(c);
            }
            if !closed {
                return Err(at + start..at + line.trim_end().len());
            }
        } else {
            while let Some(&(place, c)) = rest.peek() {
                if c.is_whitespace() {
                    end = place;
                    break;
                }
                value.push(c);
                rest.next();
            }
        }
        found.push(At {
            value,
            at: at + start..at + end,
        });
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_keep_their_places_quotes_and_comments() {
        let line = "1\t\"Oil \"\"A\"\" mber\"  0.5 # \"end\r\n";
        let found = tokens(line, 100).unwrap();
        let values: Vec<&str> = found.iter().map(|one| one.value.as_str()).collect();
        assert_eq!(values, ["1", "Oil \"A\" mber", "0.5"]);
        assert_eq!(&line[found[2].at.start - 100..found[2].at.end - 100], "0.5");
        assert_eq!(tokens("a \"b\r\n", 0), Err(2..4));
    }

    #[test]
    fn a_geometry_says_whether_the_surface_is_seen() {
        for (written, meant) in [
            ("45/0", Some(Specular::Excluded)),
            ("0°:45°a", Some(Specular::Excluded)),
            ("de:8°", Some(Specular::Excluded)),
            ("di:8°", Some(Specular::Included)),
            ("d/8", None),
        ] {
            assert_eq!(specular_of(written), meant, "{written}");
        }
    }
}
