//! What the parts of a figure are: from the file, and from their names.

use velatura_figure::{FigureFile, Material, guesses, parts, read_figure_file};
use velatura_testkit::pictures::{figure_text, source};

/// A figure of regions with these names and more lines each.
fn text(regions: &[(&str, &str)]) -> String {
    let head = figure_text("kind = \"plain\"");
    let head = &head[..head.find("[[region]]").unwrap()];
    let each = regions.iter().enumerate().map(|(index, (name, more))| {
        format!(
            "[[region]]\nname = \"{name}\"\nmask_colour = \"#{:02x}8040\"\n{more}\n",
            index * 20
        )
    });
    head.to_owned() + &each.collect::<String>()
}

fn figure(regions: &[(&str, &str)]) -> FigureFile {
    let read = read_figure_file(&source(&text(regions)));
    read.unwrap_or_else(|problems| panic!("{problems:?}")).value
}

fn problems(regions: &[(&str, &str)]) -> Vec<String> {
    let problems = read_figure_file(&source(&text(regions))).unwrap_err();
    problems.iter().map(|one| format!("{one}")).collect()
}

#[test]
fn the_file_wins_over_the_name_and_skin_shares_one_mix() {
    let figure = figure(&[
        ("coat", ""),
        ("face", ""),
        ("mask of bone", "is = \"skin\"\nnatural = false"),
        ("hands", ""),
        ("ears", "same_as = \"mask of bone\""),
        ("thing", ""),
        ("belt", "same_as = \"coat\""),
    ]);
    let parts = parts(&figure);
    let materials: Vec<Option<Material>> = parts.iter().map(|part| part.material).collect();
    assert_eq!(
        materials,
        [
            Some(Material::Cloth),
            Some(Material::Skin),
            Some(Material::Skin),
            Some(Material::Skin),
            Some(Material::Skin),
            None,
            Some(Material::Leather),
        ]
    );
    let shared: Vec<Option<usize>> = parts.iter().map(|part| part.same_as).collect();
    assert_eq!(shared, [None, None, None, Some(1), Some(2), None, Some(0)]);
    let limits: Vec<Option<Material>> = parts.iter().map(|part| part.limit()).collect();
    let (skin, leather) = (Some(Material::Skin), Some(Material::Leather));
    assert_eq!(limits, [None, skin, None, skin, skin, None, leather]);
    assert_eq!(
        guesses(&figure).unwrap(),
        "guessed from the names of the regions: face, hands, ears (skin); coat (cloth); belt (leather); thing (not known: any colour)"
    );
}

#[test]
fn a_chain_ends_at_its_first_region() {
    let figure = figure(&[
        ("cuffs", "same_as = \"sleeves\""),
        ("sleeves", "same_as = \"coat\""),
        ("coat", "is = \"cloth\""),
    ]);
    let shared: Vec<Option<usize>> = parts(&figure).iter().map(|part| part.same_as).collect();
    assert_eq!(shared, [Some(2), Some(2), None]);
}

#[test]
fn what_is_no_material_no_region_or_a_circle_is_refused() {
    let found = problems(&[("coat", "is = \"lether\""), ("hood", "same_as = \"cota\"")]);
    assert!(
        found[0].contains("lether") && found[0].contains("leather"),
        "{found:?}"
    );
    assert!(
        found[1].contains("no region is called \"cota\"")
            && found[1].contains("did you mean \"coat\"?"),
        "{found:?}"
    );
    let found = problems(&[
        ("coat", "same_as = \"hood\""),
        ("hood", "same_as = \"coat\""),
    ]);
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(
        found[0].contains("\"coat\" shares the mix of itself"),
        "{found:?}"
    );
    let found = problems(&[("coat", "same_as = \"coat\"")]);
    assert_eq!(found.len(), 1, "{found:?}");
}
