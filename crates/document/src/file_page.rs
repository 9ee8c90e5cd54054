//! The reference page of our files, as Markdown: what each key means, what it may hold, and what applies without it.
//!
//! In: declarations. Out: one page. A test keeps the checked-in page the same as this.

use std::fmt::Write as _;

use crate::field::{Field, FileKind, Kind, Need, Preset, Table};

/// The page: an introduction, then every file with a complete example and all its tables.
///
/// # Panics
/// Never: a text can always be added to.
#[must_use]
pub fn reference_page(introduction: &str, files: &[&FileKind]) -> String {
    let mut page = format!("{}\n", introduction.trim_end());
    for file in files {
        let FileKind { name, top, example } = file;
        let example = example.trim_end();
        write!(
            page,
            "\n## {name}\n\n{}\n\n```toml\n{example}\n```\n",
            top.about
        )
        .expect(ADDED);
        let mut tables = vec![Placed {
            header: String::new(),
            heading: "Above all tables".to_owned(),
            table: top,
        }];
        let mut next = 0;
        while next < tables.len() {
            let placed = &tables[next];
            let earlier = tables[..next]
                .iter()
                .find(|earlier| std::ptr::eq(earlier.table, placed.table));
            write!(page, "\n### {}\n\n", placed.heading).expect(ADDED);
            match earlier {
                Some(earlier) => {
                    writeln!(page, "The same keys as {}.", earlier.heading).expect(ADDED);
                }
                None => table(&mut page, placed, next > 0),
            }
            // The tables inside come directly after the one that they are in.
            let inner = if earlier.is_none() {
                placed.inner()
            } else {
                Vec::new()
            };
            next += 1;
            tables.splice(next..next, inner);
        }
    }
    page
}

const ADDED: &str = "a text can always be added to";

/// A table with the place that it has in its file.
struct Placed {
    /// What its header holds between the brackets; empty for the whole file.
    header: String,
    heading: String,
    table: &'static Table,
}

impl Placed {
    /// What the header of a table inside this one holds between the brackets.
    fn inside(&self, key: &str) -> String {
        match self.header.as_str() {
            "" => key.to_owned(),
            outer => format!("{outer}.{key}"),
        }
    }

    /// The tables inside this one.
    fn inner(&self) -> Vec<Self> {
        let placed = |field: &Field| {
            let header = self.inside(field.key);
            let (heading, table) = match field.kind {
                Kind::Table(table) => (format!("`[{header}]`"), table),
                Kind::Tables { table, .. } => (format!("`[[{header}]]`"), table),
                _ => return None,
            };
            Some(Self {
                header,
                heading,
                table,
            })
        };
        self.table.fields.iter().filter_map(placed).collect()
    }
}

fn table(page: &mut String, placed: &Placed, with_about: bool) {
    if with_about {
        write!(page, "{}\n\n", placed.table.about).expect(ADDED);
    }
    page.push_str("| key | meaning | value | without it |\n| --- | --- | --- | --- |\n");
    for field in placed.table.fields {
        writeln!(
            page,
            "| `{}` | {} | {} | {} |",
            field.key,
            in_cell(&meaning(field)),
            in_cell(&value(field, placed)),
            in_cell(&without(field)),
        )
        .expect(ADDED);
    }
}

fn meaning(field: &Field) -> String {
    let Kind::Word(words) = field.kind else {
        return field.about.to_owned();
    };
    let words: Vec<String> = words
        .iter()
        .map(|(word, about)| format!("`\"{word}\"`: {about}."))
        .collect();
    format!("{}<br>{}", field.about, words.join("<br>"))
}

fn value(field: &Field, placed: &Placed) -> String {
    let header = placed.inside(field.key);
    let form = field.kind.form();
    match field.kind {
        Kind::Table(_) => format!("{form}, `[{header}]`"),
        Kind::Tables { .. } => format!("{form}, each under `[[{header}]]`"),
        Kind::Stages => format!("{form}, `[{header}.NAME]`, see [stages](#tables-for-stages)"),
        Kind::Word(_) => format!("one of these words; `{} = {}`", field.key, field.example),
        Kind::Format(_) => format!("`{} = {}`", field.key, field.example()),
        _ => format!("{form}; `{} = {}`", field.key, field.example),
    }
}

fn without(field: &Field) -> String {
    match field.need {
        Need::Must => "**must be there**".to_owned(),
        Need::Default(Preset::Number(number)) => format!("`{number}`"),
        Need::Default(Preset::Word(word)) => format!("`\"{word}\"`"),
        Need::Default(Preset::Flag(flag)) => format!("`{flag}`"),
        Need::May(without) => without.to_owned(),
    }
}

/// A bar would end a cell of the table.
fn in_cell(text: &str) -> String {
    text.replace('|', "\\|")
}
