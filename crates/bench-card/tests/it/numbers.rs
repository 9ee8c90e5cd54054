//! Amounts, order and colours of a card.

use velatura_bench_card::{Bench, BenchCard, PaintingOrder, bench_cards};
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::{Cancel, Job};
use velatura_testkit::desk::Figure;

fn card(job: &Job, order: PaintingOrder) -> BenchCard {
    card_with(job, order, &Bench::default())
}

fn card_with(job: &Job, order: PaintingOrder, bench: &Bench) -> BenchCard {
    let mut cards = bench_cards(job, &[0], order, bench, &Cancel::default()).unwrap();
    assert_eq!(cards.len(), 1);
    cards.remove(0)
}

fn names(card: &BenchCard) -> Vec<&str> {
    card.coats.iter().map(|coat| coat.name.as_str()).collect()
}

#[test]
fn an_amount_is_area_times_film_times_figures() {
    let job = Figure::hooded().painted("Test", &[("hood", "#f0c040"), ("coat", "#204a80")]);
    let card = card(&job, PaintingOrder::File);
    assert_eq!(card.count, 3);
    // By hand: the figure is 160 pixels and 32 mm tall, so a pixel is 0.2 mm. The hood is 40 × 40 pixels, so 64 mm². Film 4 of
    // 0.1 mm on 3.5 times that area, for 3 figures, and half as much again on palette and brush: 403.2 mm³.
    let hood = &card.coats[0];
    assert!((hood.needed_ml - 0.4032).abs() < 1e-9, "{}", hood.needed_ml);
    // A drop is 0.05 ml, so 9 drops are enough and 8 are not.
    assert_eq!(hood.mix.len(), 1);
    assert_eq!(hood.mix[0].drops, 9);
    assert!((hood.made_ml - 0.45).abs() < 1e-12);
    assert_eq!(card.needs.len(), 2);
    assert_eq!(card.needs[0].drops, 9);

    // Must differ: one figure, and a bottle with drops of half the size.
    let one = Figure {
        count: 1,
        ..Figure::hooded()
    };
    let one = one.painted("Test", &[("hood", "#f0c040")]);
    let mut bench = Bench::default();
    bench.drop_ml /= 2.0;
    let one = card_with(&one, PaintingOrder::File, &bench);
    assert!((one.coats[0].needed_ml - 0.1344).abs() < 1e-9);
    assert_eq!(one.coats[0].mix[0].drops, 6);
}

#[test]
fn light_parts_come_first_unless_the_file_decides() {
    let job = Figure::hooded().painted("Test", &[("hood", "#204a80"), ("coat", "#f0c040")]);
    assert_eq!(
        names(&card(&job, PaintingOrder::LightFirst)),
        ["coat", "hood"]
    );
    assert_eq!(names(&card(&job, PaintingOrder::File)), ["hood", "coat"]);
    let inside_out = card(&job, PaintingOrder::InsideOut);
    let mut parts = names(&inside_out);
    parts.sort_unstable();
    assert_eq!(parts, ["coat", "hood"]);
}

#[test]
fn an_opaque_coat_dries_to_its_drawdown_over_every_undercoat() {
    let job = Figure::hooded().painted("Test", &[("hood", "#f0c040")]);
    let card = card(&job, PaintingOrder::File);
    let paint = Encoded([0xf0, 0xc0, 0x40]);
    for colour in card.coats[0].dried {
        let apart = (0..3).map(|i| colour.0[i].abs_diff(paint.0[i])).max();
        assert!(apart <= Some(1), "{colour}");
    }
    let bare: Vec<&str> = card
        .parts
        .iter()
        .filter(|part| !part.painted)
        .map(|part| part.name.as_str())
        .collect();
    assert_eq!(bare, ["coat"]);
}

#[test]
fn a_glaze_dries_brighter_over_a_brighter_undercoat() {
    let paints = r##"format = "velatura-paints/1"
[cards]
black = "#1c1c1c"
white = "#f0f0f0"
[[paint]]
name = "Oil Amber"
over_black = "#3a2207"
over_white = "#c98318"
owned = false
metallic = true
"##;
    let schemes = r#"format = "velatura-schemes/1"
[[scheme]]
name = "Foglight"
undercoat = "black-to-white"
[[scheme.coat]]
region = "coat"
mix = { "Oil Amber" = 3, medium = 7 }
film = 0.5
where = "raised"
pooling = 0.25
"#;
    let card = card(
        &Figure::hooded().with(paints, schemes),
        PaintingOrder::LightFirst,
    );
    let [coat] = card.coats.as_slice() else {
        panic!("{} coats", card.coats.len())
    };
    assert_eq!(coat.coats, "one thin coat");
    assert_eq!(coat.place.paint, "raised parts");
    assert_eq!(coat.place.leave_bare, "leave the recesses bare");
    assert_eq!(coat.pooling, "", "the recesses stay bare");
    let drops: Vec<u32> = coat.mix.iter().map(|measure| measure.drops).collect();
    assert_eq!(drops[0] * 7, drops[1] * 3, "{drops:?}");
    assert!(coat.made_ml >= coat.needed_ml);
    let needs: Vec<(&str, bool)> = card
        .needs
        .iter()
        .map(|need| (need.paint.as_str(), need.owned))
        .collect();
    assert_eq!(needs, [("Oil Amber", false), ("medium", true)]);
    let glint = card
        .basis
        .iter()
        .filter(|line| line.starts_with("Oil Amber: expect the glint"));
    assert_eq!(glint.count(), 1, "{:?}", card.basis);
}

#[test]
fn parts_of_one_mix_are_mixed_once() {
    let schemes = r##"format = "velatura-schemes/1"
[[scheme]]
name = "Foglight"
undercoat = "black-to-white"
[[scheme.coat]]
region = "coat"
mix = { "Oil Amber" = 3, medium = 6 }
[[scheme.coat]]
region = "hood"
mix = { "Oil Amber" = 1, medium = 2 }
[[scheme.coat]]
region = "hood"
mix = { "Oil Amber" = 2, medium = 1 }
"##;
    let paints = r##"format = "velatura-paints/1"
[cards]
black = "#1c1c1c"
white = "#f0f0f0"
[[paint]]
name = "Oil Amber"
over_black = "#4d3718"
over_white = "#f4a520"
"##;
    let card = card(&Figure::hooded().with(paints, schemes), PaintingOrder::File);
    let steps: Vec<(&str, Option<usize>, &[usize])> = card
        .coats
        .iter()
        .map(|coat| {
            (
                coat.name.as_str(),
                coat.mix_of_step,
                coat.also_for_steps.as_slice(),
            )
        })
        .collect();
    // 3 : 6 is 1 : 2. Another ratio of the same paints is another mix. The figure file lists the hood first.
    assert_eq!(
        steps,
        [
            ("hood", None, &[3][..]),
            ("hood", None, &[]),
            ("coat", Some(1), &[])
        ]
    );
    let [first, own, again] = card.coats.as_slice() else {
        panic!("{} coats", card.coats.len())
    };
    assert!(first.made_ml >= first.needed_ml + again.needed_ml);
    assert_eq!(again.made_ml.to_bits(), 0.0_f64.to_bits());
    assert!(again.mix.iter().all(|measure| measure.drops == 0));
    let amber: u32 = [first, own].iter().map(|coat| coat.mix[0].drops).sum();
    assert_eq!(
        card.needs[0].drops, amber,
        "what was mixed once counts once"
    );
    let text = velatura_bench_card::text_pages(&[card]);
    assert!(text.contains("also for step 3"), "{text}");
    assert!(text.contains("the mix of step 1, kept covered"), "{text}");
}
