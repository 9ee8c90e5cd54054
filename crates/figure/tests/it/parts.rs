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

#[test]
fn own_ranges_replace_the_usual_ones_of_their_material_alone() {
    let regions = [("face", ""), ("belt", ""), ("coat", ""), ("thing", "")];
    let own = "[[material]]\nis = \"skin\"\nlightness = [30, 80]\nhue = [100, 160]\n\
               [[material]]\nis = \"skin\"\nlightness = [85, 100]\nchroma = [0, 5]\n\
               [[material]]\nis = \"cloth\"\nhue = [340, 40]\n";
    let read = |more: &str| {
        let figure = read_figure_file(&source(&(text(&regions) + more)));
        parts(
            &figure
                .unwrap_or_else(|problems| panic!("{problems:?}"))
                .value,
        )
    };
    let off = |part: &velatura_figure::Part, hex: &str| {
        let code: velatura_optics::colour::Encoded = hex.parse().unwrap();
        part.unnatural(code.lab())
    };
    let (usual, changed) = (read(""), read(own));
    let (pink, green, white, blue) = ("#e8b998", "#6a9a5a", "#f4f4f4", "#3060b0");
    assert!(off(&usual[0], pink) < 1e-9 && off(&usual[0], green) > 3.0);
    assert!(off(&changed[0], pink) > 3.0 && off(&changed[0], green) < 1e-9);
    assert!(off(&changed[0], white) < 1e-9, "either of the two ranges");
    // Cloth may have any colour until the file says which.
    assert_eq!((usual[2].limit(), off(&usual[2], blue)), (None, 0.0));
    assert_eq!(changed[2].limit(), Some(Material::Cloth));
    assert!(off(&changed[2], blue) > 3.0);
    // Must stay: what is of another material, or of none.
    assert_eq!(usual[1], changed[1]);
    assert_eq!(usual[3], changed[3]);
}

#[test]
fn a_wrong_range_says_what_is_right() {
    let refused = |own: &str| {
        let text = text(&[("face", "")]) + own;
        let problems = read_figure_file(&source(&text)).unwrap_err();
        problems
            .iter()
            .map(|one| format!("{one}\n"))
            .collect::<String>()
    };
    let found = refused("[[material]]\nis = \"skn\"\n");
    assert!(found.contains("did you mean \"skin\"?"), "{found}");
    let found = refused("[[material]]\nis = \"skin\"\nlightness = [80, 30]\n");
    assert!(
        found.contains("`lightness` begins with 80 and ends with 30"),
        "{found}"
    );
    assert!(
        found.contains("help: swap them: lightness = [30, 80]"),
        "{found}"
    );
    let found = refused(&"[[material]]\nis = \"skin\"\n".repeat(5));
    assert!(found.contains("more than 4 ranges of \"skin\""), "{found}");
}

#[test]
fn a_mix_that_stays_is_read_with_its_names() {
    let figure = figure(&[
        ("face", "keep = { \"Skin Ochre\" = 2, medium = 3 }"),
        ("coat", ""),
    ]);
    let keep = figure.regions[0].keep.as_ref().unwrap();
    let parts: Vec<(&str, f64)> = keep
        .iter()
        .map(|(name, parts)| (&*name.value, parts.value))
        .collect();
    assert_eq!(parts, [("Skin Ochre", 2.0), ("medium", 3.0)]);
    assert!(figure.regions[1].keep.is_none());
    assert!(problems(&[("face", "keep = {}")])[0].contains("`keep` is empty"));
}
