//! Pages of HTML, read strictly.

/// Elements without content and end tag (HTML standard, void elements), as far as pages here use them.
const VOID: [&str; 4] = ["br", "img", "input", "meta"];

/// A page as XML, for a reader that accepts no tag without its end. The text of scripts is left out: to HTML it is no markup.
///
/// # Panics
/// If the page does not say that it is HTML.
pub fn xml(page: &str) -> String {
    let page = page
        .strip_prefix("<!DOCTYPE html>")
        .expect("a page of HTML");
    without_scripts(page)
        .split_inclusive('>')
        .map(|piece| {
            let tag = piece.rsplit('<').next().expect("splitting gives a piece");
            let name = tag
                .split(|c: char| !c.is_alphanumeric())
                .next()
                .expect("splitting gives a piece");
            match piece.strip_suffix('>') {
                Some(open) if VOID.contains(&name) => format!("{open}/>"),
                _ => piece.to_owned(),
            }
        })
        .collect()
}

fn without_scripts(page: &str) -> String {
    let mut rest = page;
    let mut out = String::new();
    while let Some((before, script)) = rest.split_once("<script>") {
        let (_, after) = script.split_once("</script>").expect("a script ends");
        out += before;
        out += "<script></script>";
        rest = after;
    }
    out + rest
}
