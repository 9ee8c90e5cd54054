//! Everything is drawn where the layout says, and names of any length and script stay inside.

use image::{Rgb, RgbImage};
use velatura_conformance::{self, Check};
use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::{AnyStage, Parameters, SheetChip, SheetPicture, SheetRequest, SheetScheme};
use velatura_sheet::{ContactSheet, Layout, Rect, SheetOptions, contact_sheet, layout};

const GROUND: [u8; 3] = [0xa0; 3];
const SEEN: [u8; 3] = [250, 40, 10];
const DRIED: [u8; 3] = [11, 41, 251];

/// The same scheme as often as the layout has places.
fn request(plan: &Layout, name: &str, region: &str, chips: usize) -> SheetRequest {
    let scheme = SheetScheme {
        name: name.to_owned(),
        team: "Reedwardens".to_owned(),
        undercoat: "white with wash, simulated".to_owned(),
        finish: "satin".to_owned(),
        chips: vec![
            SheetChip {
                region: region.to_owned(),
                seen: Encoded(SEEN),
                dried: Encoded(DRIED),
            };
            chips
        ],
    };
    SheetRequest {
        heading: name.to_owned(),
        sub_heading: name.to_owned(),
        crop: plan.picture_size,
        columns: None,
        long_edge: None,
        schemes: vec![scheme; plan.cells.len()],
        parameters: Parameters::default(),
    }
}

/// A picture of another colour for each place of the layout.
fn pictures(plan: &Layout) -> Vec<SheetPicture> {
    let (width, height) = plan.picture_size;
    let colour = |index| [u8::try_from(index).expect("few pictures"), 9, 200];
    (0..plan.cells.len())
        .map(|index| SheetPicture {
            width,
            height,
            pixels: vec![colour(index); (width * height) as usize],
        })
        .collect()
}

fn sheet(plan: &Layout, name: &str, region: &str, chips: usize) -> RgbImage {
    contact_sheet(&request(plan, name, region, chips), &pictures(plan), plan)
}

fn inside(place: &Rect, x: u32, y: u32) -> bool {
    (place.x..place.right()).contains(&x) && (place.y..place.bottom()).contains(&y)
}

/// Pixels that are neither ground nor in any place of the layout.
fn strays(sheet: &RgbImage, plan: &Layout) -> usize {
    let mut places = vec![plan.header, plan.footer];
    for cell in &plan.cells {
        places.extend([cell.picture, cell.title, cell.chips]);
    }
    let drawn = sheet
        .enumerate_pixels()
        .filter(|(_, _, pixel)| pixel.0 != GROUND);
    drawn
        .filter(|&(x, y, _)| !places.iter().any(|place| inside(place, x, y)))
        .count()
}

#[test]
fn everything_drawn_stays_in_its_place() {
    let long = "Harbour bell at the turning of the tide, seen from the long pier in fog";
    for (name, region) in [
        ("Fog", "coat"),
        (long, long),
        ("Ёжик Щука Ångström", "плащ"),
        ("", ""),
    ] {
        for (count, crop, edge, chips) in [
            (1, (300, 900), 900, 3),
            (7, (900, 600), 1400, 9),
            (12, (400, 400), 500, 2),
        ] {
            let options = SheetOptions {
                columns: None,
                long_edge: Some(edge),
            };
            let plan = layout(count, crop, &options, chips);
            let sheet = sheet(&plan, name, region, chips);
            assert_eq!(sheet.dimensions(), (plan.width, plan.height));
            assert_eq!(strays(&sheet, &plan), 0, "{name}, {count}");
            for (index, cell) in plan.cells.iter().enumerate() {
                let middle = (
                    cell.picture.x + cell.picture.width / 2,
                    cell.picture.bottom() - 1,
                );
                let own = [u8::try_from(index).unwrap(), 9, 200];
                assert_eq!(sheet.get_pixel(middle.0, middle.1).0, own);
                let of = |colour: [u8; 3]| {
                    let pixels = sheet.enumerate_pixels();
                    pixels
                        .filter(|(x, y, pixel)| inside(&cell.chips, *x, *y) && pixel.0 == colour)
                        .count()
                };
                let small = usize::try_from(plan.text.small_cap_px).unwrap();
                let (width, height) = (small * 2 - 2, small * 3 / 2 - 2);
                let flat = width * 2 / 5;
                assert_eq!(of(DRIED), chips * flat * height);
                assert_eq!(of(SEEN), chips * (width - flat) * height);
            }
        }
    }
}

#[test]
fn the_stray_finder_says_no() {
    let plan = layout(2, (300, 300), &SheetOptions::default(), 1);
    let mut sheet = sheet(&plan, "Fog", "coat", 1);
    sheet.put_pixel(plan.width - 1, plan.height / 2, Rgb([0; 3]));
    assert_eq!(strays(&sheet, &plan), 1);
}

#[test]
fn the_same_cells_give_the_same_sheet_and_another_name_another() {
    let plan = layout(3, (300, 300), &SheetOptions::default(), 2);
    let draw = |name: &str| sheet(&plan, name, "coat", 2);
    assert_eq!(draw("Foglight"), draw("Foglight"));
    assert_ne!(draw("Foglight"), draw("Foglighs"));
}

#[test]
#[should_panic(expected = "another size than the layout")]
fn a_picture_of_another_size_is_a_mistake_of_the_caller() {
    let plan = layout(1, (300, 300), &SheetOptions::default(), 0);
    let mut wrong = pictures(&plan);
    wrong[0] = SheetPicture {
        width: 10,
        height: 10,
        pixels: vec![[0; 3]; 100],
    };
    let _ = contact_sheet(&request(&plan, "Fog", "coat", 0), &wrong, &plan);
}

#[test]
fn the_contact_sheet_keeps_every_check_of_the_conformance_kit() {
    let report = velatura_conformance::check(&AnyStage::Sheet(Box::new(ContactSheet)));
    assert_eq!(report.breaches(), [], "{report}");
    assert!(report.kept(Check::Paths), "{report}");
}
