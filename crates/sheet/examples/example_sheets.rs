//! Draws invented contact sheets for viewing: `cargo run -p velatura-sheet --example example_sheets` writes under
//! `target/example-sheets/`. Names and colours are invented.

use std::fs::File;
use std::path::Path;

use velatura_pipeline::optics::colour::Encoded;
use velatura_pipeline::{Parameters, SheetChip, SheetPicture, SheetRequest, SheetScheme};
use velatura_sheet::{Layout, SheetOptions, contact_sheet, layout, write_picture};

const NAMES: [&str; 10] = [
    "Foglight",
    "Wick & Ember",
    "Harbour bell at the turning of the tide, seen from the long pier",
    "Туман над гаванью",
    "Λυχνάρι του βάλτου",
    "Salt Lantern",
    "Reed smoke",
    "Eel Market, Early",
    "Quiet Weir",
    "Tar & Tallow",
];
const REGIONS: [&str; 7] = [
    "coat",
    "hood",
    "lantern glass",
    "pole",
    "skin",
    "satchel",
    "boots",
];

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = Path::new("target/example-sheets");
    std::fs::create_dir_all(folder)?;
    let wide = SheetOptions::default();
    let small = SheetOptions {
        long_edge: Some(1200),
        ..wide
    };
    let four = SheetOptions {
        columns: Some(4),
        ..wide
    };
    for (name, count, crop, options, chips) in [
        ("1-portrait", 1, (2000, 3000), &wide, 5),
        ("10-portrait", 10, (2000, 3000), &wide, 5),
        ("10-landscape", 10, (3600, 2700), &wide, 7),
        ("10-small", 10, (2000, 3000), &small, 5),
        ("10-tiny-photo", 10, (120, 160), &wide, 4),
        ("7-square-4-columns", 7, (2500, 2500), &four, 6),
        ("40-portrait", 40, (2000, 3000), &wide, 5),
        ("40-landscape", 40, (3600, 2700), &wide, 7),
    ] {
        let plan = layout(count, crop, options, chips);
        let request = SheetRequest {
            heading: "Lamplighter with a pole".to_owned(),
            sub_heading: "black to white, light share 0.20 · made-up pictures".to_owned(),
            crop,
            columns: options.columns,
            long_edge: options.long_edge,
            schemes: (0..count).map(|index| scheme(index, chips)).collect(),
            parameters: Parameters::default(),
        };
        let pictures: Vec<SheetPicture> = (0..count).map(|index| picture(index, &plan)).collect();
        let sheet = contact_sheet(&request, &pictures, &plan);
        write_picture(File::create(folder.join(format!("{name}.png")))?, &sheet)?;
    }
    Ok(())
}

fn tint(index: usize) -> u8 {
    u8::try_from(index * 23 % 200).unwrap_or(0)
}

fn picture(index: usize, plan: &Layout) -> SheetPicture {
    let (width, height) = plan.picture_size;
    let tint = tint(index);
    let pixel = |at: u32| {
        let across = u8::try_from(at % width * 255 / width).unwrap_or(0);
        let down = u8::try_from(at / width * 255 / height).unwrap_or(0);
        [
            across / 2 + tint / 2,
            down / 2 + 60,
            200 - tint / 2 - across / 4,
        ]
    };
    SheetPicture {
        width,
        height,
        pixels: (0..width * height).map(pixel).collect(),
    }
}

fn scheme(index: usize, chips: usize) -> SheetScheme {
    let undercoats = [
        "black to white, as photographed",
        "white with wash, simulated",
    ];
    let tint = tint(index);
    SheetScheme {
        name: NAMES[index % NAMES.len()].to_owned(),
        team: ["Lamplighters", "Reedwardens"][index % 2].to_owned(),
        undercoat: undercoats[index / 2 % 2].to_owned(),
        finish: ["matte", "satin", "gloss"][index % 3].to_owned(),
        chips: (0..chips)
            .map(|region| {
                let blue = u8::try_from(region * 30).unwrap_or(0);
                let dried = Encoded([tint, 160 - tint / 2, blue]);
                SheetChip {
                    region: REGIONS[region].to_owned(),
                    seen: Encoded(dried.0.map(|code| code / 4 * 3)),
                    dried,
                }
            })
            .collect(),
    }
}
