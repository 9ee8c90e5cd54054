//! Pieces of a self-contained HTML page: nothing is fetched, no script runs, and the text is well-formed XML as well.
//!
//! In: plain text and pieces made here. Out: text. Every function takes plain text unless its name says `html`.

use std::fmt::Write;

use velatura_pipeline::optics::colour::Encoded;

/// Dark text on white, system faces; chips keep their colour in print. Contrast of all text is above 7 : 1.
const STYLE: &str = "
body { font: 1rem/1.5 system-ui, sans-serif; color: #181818; background: #fff; max-width: 80rem; margin: 0 auto;
  padding: 1rem 1.5rem 3rem; }
h1, h2, h3 { line-height: 1.25; }
h2 { margin-top: 2.5rem; border-top: 1px solid #bbb; padding-top: 1rem; }
.lead { font-size: 1.25rem; }
.quiet { color: #444; }
table { border-collapse: collapse; margin: 1rem 0; }
caption { text-align: left; font-weight: 600; padding: 0.25rem 0; }
th, td { text-align: left; vertical-align: top; padding: 0.2rem 0.9rem 0.2rem 0; border-bottom: 1px solid #ddd; }
td.number, th.number { text-align: right; font-variant-numeric: tabular-nums; }
figure { margin: 0; }
img { max-width: 100%; height: auto; }
.row { display: flex; flex-wrap: wrap; gap: 1rem 1.5rem; align-items: flex-end; }
.strip { overflow-x: auto; }
.strip img, .true-size { max-width: none; }
.ground { background: #a0a0a0; padding: 0.75rem; }
.chip { display: inline-block; width: 1.6em; height: 1.1em; border: 1px solid #505050; vertical-align: -0.15em;
  margin-right: 0.4em; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
code { font-size: 0.95em; }
";

/// A whole page.
pub fn document(title: &str, body_html: &str) -> String {
    let title = escaped(title);
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n<title>{title}</title>\n\
         <style>{STYLE}</style>\n</head>\n<body>\n{body_html}</body>\n</html>\n"
    )
}

/// Escaped text for an element or a quoted attribute. Characters that are not allowed in a page become U+FFFD.
pub fn escaped(text: &str) -> String {
    let mut safe = String::new();
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\n' | '\t' => safe.push(letter),
            '\u{FFFE}' | '\u{FFFF}' => safe.push('\u{FFFD}'),
            letter if letter.is_control() => safe.push('\u{FFFD}'),
            letter => safe.push(letter),
        }
    }
    safe
}

/// A small rectangle of a colour with its code next to it.
pub fn chip(colour: Encoded) -> String {
    format!("<span class=\"chip\" style=\"background:{colour}\"></span><code>{colour}</code>")
}

/// How the cells of a column are aligned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    /// Words, from the left.
    Text(&'static str),
    /// Numbers, to the right.
    Number(&'static str),
}

/// A table with a caption; the first cell of each row is the row's head. Cells are HTML already.
pub fn table(caption: &str, columns: &[Column], rows_html: &[Vec<String>]) -> String {
    let mut table = format!(
        "<table>\n<caption>{}</caption>\n<thead><tr>",
        escaped(caption)
    );
    for column in columns {
        let (class, name) = match column {
            Column::Text(name) => ("", name),
            Column::Number(name) => (" class=\"number\"", name),
        };
        let _ = write!(table, "<th scope=\"col\"{class}>{}</th>", escaped(name));
    }
    table.push_str("</tr></thead>\n<tbody>\n");
    for row in rows_html {
        table.push_str("<tr>");
        for (index, (cell, column)) in row.iter().zip(columns).enumerate() {
            let _ = match (index, column) {
                (0, _) => write!(table, "<th scope=\"row\">{cell}</th>"),
                (_, Column::Text(_)) => write!(table, "<td>{cell}</td>"),
                (_, Column::Number(_)) => write!(table, "<td class=\"number\">{cell}</td>"),
            };
        }
        table.push_str("</tr>\n");
    }
    table + "</tbody>\n</table>\n"
}

/// A list of points, each HTML already.
pub fn list(points_html: &[String]) -> String {
    let points: String = points_html
        .iter()
        .map(|point| format!("<li>{point}</li>\n"))
        .collect();
    format!("<ul>\n{points}</ul>\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_stays_text_whatever_it_holds() {
        let name = "Wick & Ember <x> \"y\" 'z' \u{1}";
        let safe = escaped(name);
        assert_eq!(
            safe,
            "Wick &amp; Ember &lt;x&gt; &quot;y&quot; &#39;z&#39; \u{FFFD}"
        );
        let page = document(name, &format!("<p title=\"{safe}\">{safe}</p>\n"));
        let page = page.strip_prefix("<!DOCTYPE html>\n").unwrap();
        let read = roxmltree::Document::parse(page).unwrap();
        let element = read
            .descendants()
            .find(|node| node.has_tag_name("p"))
            .unwrap();
        assert_eq!(element.text(), element.attribute("title"));
        // Must fail: the same name as it is.
        assert!(roxmltree::Document::parse(&format!("<p>{name}</p>")).is_err());
    }

    #[test]
    fn a_table_names_its_rows_and_columns() {
        let columns = [Column::Text("region"), Column::Number("share")];
        let html = table(
            "A < B",
            &columns,
            &[vec!["coat".to_owned(), "41 %".to_owned()]],
        );
        let read = roxmltree::Document::parse(&html).unwrap();
        let heads = read.descendants().filter(|node| node.has_tag_name("th"));
        let scopes: Vec<_> = heads.map(|node| node.attribute("scope").unwrap()).collect();
        assert_eq!(scopes, ["col", "col", "row"]);
    }
}
