use velatura_scheme::{Proposed, schemes_text};

use crate::teams::stage::{paints, read, schemes};

#[test]
fn what_is_written_is_read_again_as_the_same_scheme() {
    let paints = paints();
    let text = r##"
[[scheme]]
name = "Fog \"&\" # bell"
team = "Lamp\\lighters"
undercoat = "plain-white"
finish = "satin"
[[scheme.coat]]
region = "cloak"
mix = { Amber = 3, medium = 7 }
film = 1.25
[[scheme.coat]]
region = "cloak"
mix = { 'Rose "quoted"' = 1.5, White = 1 }
where = "raised"
pooling = 0.3
[[scheme.coat]]
region = "boots"
mix = { Black = 1 }
where = "recesses"
[scheme.stage.dust]
amount = 0.25
"a \"b\"\nc\u007f" = ["x\ny", { from = 1, to = [true, 2.5] }]
"##;
    let first = schemes(text, &paints);
    let proposed = Proposed {
        scheme: first[0].clone(),
        remarks: vec!["one line\nname = \"not this\"".to_owned()],
        order: vec![2],
    };
    let written = schemes_text(&[proposed], &paints, &["head".to_owned()]);
    let again = read(&written, &paints);
    println!("{written}");
    assert_eq!(again.len(), 1);
    let (first, again) = (&first[0], &again[0]);
    assert_eq!(
        (&again.name, &again.team, again.undercoat, again.finish),
        (&first.name, &first.team, first.undercoat, first.finish)
    );
    for (again, first) in again.regions.iter().zip(&first.regions) {
        assert_eq!(again.region, first.region);
        assert_eq!(again.mixes, first.mixes, "{}", again.region);
        assert_eq!(again.coats, first.coats, "{}", again.region);
    }
    let (first_table, again_table) = (&first.stages, &again.stages);
    assert_eq!((first_table.len(), again_table.len()), (1, 1));
    assert_eq!(again_table[0].name.value, "dust");
    assert_eq!(again_table[0].values, first_table[0].values);
    assert_eq!(again_table[0].values.len(), 2);
    // The requested order.
    assert!(written.find("\"boots\"").unwrap() < written.find("\"cloak\"").unwrap());
}

#[test]
fn a_coat_with_film_0_is_reported() {
    let text = "format = \"velatura-schemes/1\"\n[[scheme]]\nname = \"one\"\n\
                [[scheme.coat]]\nregion = \"hood\"\nmix = { Amber = 1 }\nfilm = 0\n";
    let warnings = |text: &str| {
        let source = velatura_document::SourceText::new("schemes.toml", text);
        velatura_scheme::read_schemes_file(&source)
            .unwrap()
            .warnings
    };
    let found = warnings(text);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].found, "a coat with film 0 does nothing");
    // Must pass: the thinnest coat, and the default.
    assert_eq!(warnings(&text.replace("film = 0", "film = 0.01")), []);
    assert_eq!(warnings(&text.replace("film = 0\n", "")), []);
}
