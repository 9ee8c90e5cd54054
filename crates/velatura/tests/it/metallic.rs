//! Metallic paint: its colour is shown, its glint is not, and everything that shows the colour says so.

use velatura::{RenderOptions, render};
use velatura_output::MemoryOutputs;
use velatura_testkit::desk::Figure;

fn paints(metallic: &str) -> String {
    format!(
        "format = \"velatura-paints/1\"\n[cards]\nblack = \"#1c1c1c\"\nwhite = \"#f0f0f0\"\n\
         [[paint]]\nname = \"Lamp Brass\"\nover_black = \"#8c6f3a\"\nover_white = \"#a5894f\"\n{metallic}\
         [[paint]]\nname = \"Oil Amber\"\nover_black = \"#4d3718\"\nover_white = \"#f4a520\"\n"
    )
}

const SCHEMES: &str = r#"format = "velatura-schemes/1"
[[scheme]]
name = "Polished"
[[scheme.coat]]
region = "coat"
mix = { "Lamp Brass" = 2, "Oil Amber" = 1 }
[[scheme]]
name = "Plain"
[[scheme.coat]]
region = "hood"
mix = { "Oil Amber" = 1 }
"#;

#[test]
fn a_glint_that_is_not_shown_is_reported_where_the_colour_is() {
    for (written, expected) in [("metallic = true\n", true), ("", false)] {
        let job = Figure::hooded().with(&paints(written), SCHEMES);
        let warned = job.warnings.iter().any(|warning| {
            warning.file == "schemes.toml" && warning.found.contains("\"Lamp Brass\" is metallic")
        });
        assert_eq!(warned, expected, "{:?}", job.warnings);
        let outputs = MemoryOutputs::new();
        let report = render(&job, &RenderOptions::default(), &outputs).unwrap();
        let without: Vec<&str> = report
            .schemes
            .iter()
            .filter(|scheme| scheme.glint_not_shown == ["Lamp Brass"])
            .map(|scheme| &*scheme.name)
            .collect();
        assert_eq!(without, if expected { vec!["Polished"] } else { vec![] });
        let files = outputs.files();
        let page = String::from_utf8(files["index.html"].clone()).unwrap();
        let phrase = page.matches("metallic: its glint is not shown").count();
        assert_eq!(phrase, usize::from(expected), "one coat has metal in it");
    }
}
