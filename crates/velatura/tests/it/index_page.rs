//! `index.html` is a well-formed page that holds every scheme, links the files next to it, and escapes names.

use std::path::Path;

use roxmltree::Document;
use velatura::{Extent, Job, OutputFolder, RenderOptions, planned_files, render};
use velatura_testkit::desk::Figure;
use velatura_testkit::pages::xml;

const PAINTS: &str = r##"format = "velatura-paints/1"
[cards]
black = "#1c1c1c"
white = "#f0f0f0"
[[paint]]
name = "Oil <Amber> & Rust"
over_black = "#3a2207"
over_white = "#c98318"
"##;

const SCHEMES: &str = r#"format = "velatura-schemes/1"
[[scheme]]
name = "Wick & Ember <x>"
team = "Lamplighters"
[[scheme.coat]]
region = "coat"
mix = { "Oil <Amber> & Rust" = 3, medium = 7 }
film = 0.5
where = "raised"
pooling = 0.25
[[scheme]]
name = "Foglight \"at\" dusk"
undercoat = "white-with-wash"
finish = "gloss"
[[scheme.coat]]
region = "hood"
mix = { "Oil <Amber> & Rust" = 1 }
"#;

fn rendered(job: &Job, folder: &Path, extent: Extent) -> Option<String> {
    let options = RenderOptions::default().extent(extent);
    render(job, &options, &OutputFolder::new(folder)).unwrap();
    let planned = planned_files(job, &options).unwrap();
    let mut missing = planned.iter().filter(|file| !folder.join(file).is_file());
    assert_eq!(missing.next(), None, "planned and not written");
    std::fs::read_to_string(folder.join("index.html")).ok()
}

#[test]
fn the_page_holds_every_scheme_and_links_only_what_is_there() {
    let scratch = tempfile::tempdir().unwrap();
    let job = Figure::hooded().with(PAINTS, SCHEMES);
    let page = rendered(&job, scratch.path(), Extent::Everything).unwrap();
    let strict = xml(&page);
    let read = Document::parse(&strict).unwrap();
    let texts = |tag: &str| -> Vec<String> {
        let found = read.descendants().filter(|node| node.has_tag_name(tag));
        found
            .map(|node| {
                node.descendants()
                    .filter_map(|part| part.text().filter(|_| part.is_text()))
                    .collect()
            })
            .collect()
    };
    assert_eq!(texts("title"), ["Made <up> & plain: schemes"]);
    let headings = texts("h2");
    assert_eq!(
        headings,
        [
            "Compare",
            "The photo",
            "Wick & Ember <x>",
            "Foglight \"at\" dusk",
            "With care"
        ]
    );
    let cells = texts("td");
    for reported in [
        "3 Oil <Amber> & Rust + 7 medium",
        "film 0.5",
        "only raised parts",
        "runs into the recesses (0.25)",
        "drawdown",
        "as-photographed",
    ] {
        assert!(
            cells.iter().any(|cell| cell.contains(reported)),
            "{reported} in {cells:?}"
        );
    }
    // The figure's file gives `white`, and the plain undercoat makes the photo all light.
    assert!(cells.iter().any(|cell| cell == "set in the figure file"));

    let links: Vec<&str> = read
        .descendants()
        .filter_map(|node| node.attribute("href").or(node.attribute("src")))
        .collect();
    assert!(links.contains(&"previews/wick-ember-x.png"), "{links:?}");
    let (inside, links): (Vec<&str>, Vec<&str>) = links
        .into_iter()
        .partition(|link| link.starts_with("data:image/jpeg;base64,"));
    // Each scheme twice: among the others, and with its coats; and the photo.
    assert_eq!(inside.len(), 5);
    for link in links {
        match link.strip_prefix('#') {
            Some(id) => assert!(
                read.descendants()
                    .any(|node| node.attribute("id") == Some(id)),
                "{link}"
            ),
            None => assert!(
                scratch.path().join(link).is_file(),
                "{link} is not next to the page"
            ),
        }
    }
    for picture in read.descendants().filter(|node| node.has_tag_name("img")) {
        assert!(picture.attribute("alt").is_some_and(|alt| alt.len() > 10));
    }
    assert!(
        page.matches("<script").count() == 1 && page.contains("default-src 'none'; img-src data:;"),
        "its own script alone may run, and its policy lets nothing be fetched"
    );
    assert!(
        !page.contains("http:") && !page.contains("https:"),
        "nothing is fetched"
    );
}

#[test]
fn a_sheet_alone_has_no_page() {
    let scratch = tempfile::tempdir().unwrap();
    let job = Figure::hooded().with(PAINTS, SCHEMES);
    assert_eq!(rendered(&job, scratch.path(), Extent::SheetOnly), None);
}

#[test]
fn the_warnings_of_the_files_stand_on_the_page() {
    let scratch = tempfile::tempdir().unwrap();
    let coatless = SCHEMES.replace(
        "[[scheme.coat]]\nregion = \"hood\"\nmix = { \"Oil <Amber> & Rust\" = 1 }\n",
        "",
    );
    let job = Figure::hooded().with(PAINTS, &coatless);
    let reported =
        |page: &str| page.contains("scheme &quot;Foglight &quot;at&quot; dusk&quot; has no coat");
    let page = rendered(&job, scratch.path(), Extent::Everything).unwrap();
    Document::parse(&xml(&page)).unwrap();
    assert!(reported(&page), "{page}");
    // Must fail: the file that is right.
    let job = Figure::hooded().with(PAINTS, SCHEMES);
    let page = rendered(&job, scratch.path(), Extent::Everything).unwrap();
    assert!(!reported(&page));
}

#[test]
fn the_cautions_are_those_of_the_readme() {
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../README.md");
    let readme = std::fs::read_to_string(readme).unwrap();
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let scratch = tempfile::tempdir().unwrap();
    let job = Figure::hooded().with(PAINTS, SCHEMES);
    let page = rendered(&job, scratch.path(), Extent::Everything).unwrap();
    let strict = xml(&page);
    let read = Document::parse(&strict).unwrap();
    let care = read
        .descendants()
        .find(|node| node.attribute("id") == Some("care"))
        .unwrap();
    let reported: Vec<String> = care
        .descendants()
        .filter(|node| node.has_tag_name("li"))
        .map(|node| words(node.text().unwrap()))
        .collect();
    assert_eq!(reported.len(), 2);
    assert!(words(&readme).contains(&reported.join(" ")), "{reported:?}");
}
