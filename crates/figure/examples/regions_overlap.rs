//! How near masks from strokes come to exact ones. In: folders, each with `photo.png`, `truth.png` (grey: 0 background, else a part's
//! number) and pictures of strokes in the same numbers (255 where nothing is marked), whose names follow a colon in the first argument.
//! Out: per case the figure's overlap, the parts' mean and the time; then the means.

#![allow(clippy::print_stdout, reason = "an example tells what it found")]

use std::path::Path;
use std::time::Instant;

use velatura_figure::{DecodeLimits, Marks, decode_photo, regions};
use velatura_optics::colour::Encoded;

fn grey(path: &Path) -> Vec<u8> {
    image::open(path).expect("a picture").to_luma8().into_raw()
}

fn overlap(a: impl Fn(usize) -> bool, b: impl Fn(usize) -> bool, count: usize) -> f64 {
    let (mut both, mut any) = (0_u32, 0_u32);
    for at in 0..count {
        both += u32::from(a(at) && b(at));
        any += u32::from(a(at) || b(at));
    }
    f64::from(both) / f64::from(any.max(1))
}

fn main() {
    let mut arguments = std::env::args().skip(1);
    let sets = arguments.next().expect("names of strokes, as a,b");
    let save = std::env::var("SAVE").ok();
    let cases: Vec<String> = arguments.collect();
    for set in sets.split(',') {
        let mut all = Vec::new();
        for case in &cases {
            let folder = Path::new(case);
            let bytes = std::fs::read(folder.join("photo.png")).expect("photo.png");
            let (photo, _) =
                decode_photo("photo.png", &bytes, &DecodeLimits::default()).expect("a photo");
            let truth = grey(&folder.join("truth.png"));
            let marks = grey(&folder.join(format!("{set}.png")));
            let parts = *truth.iter().max().expect("pixels");
            let strokes = Marks {
                colours: (1..=parts).map(|part| Encoded([part; 3])).collect(),
                marks,
            };
            let start = Instant::now();
            let found = regions(&photo, &strokes).labels;
            let seconds = start.elapsed().as_secs_f64();
            let figure = overlap(|at| found[at] != 0, |at| truth[at] != 0, truth.len());
            let each: f64 = (1..=parts)
                .map(|part| overlap(|at| found[at] == part, |at| truth[at] == part, truth.len()))
                .sum();
            let mean = each / f64::from(parts);
            println!(
                "{set} {figure:.3} {mean:.3} {seconds:.2} {}",
                folder.file_name().expect("a name").display()
            );
            if let Some(save) = &save {
                image::save_buffer(
                    Path::new(save).join(format!(
                        "{}_{set}.png",
                        folder.file_name().expect("a name").display()
                    )),
                    &found,
                    photo.width,
                    photo.height,
                    image::ExtendedColorType::L8,
                )
                .expect("written");
            }
            all.push((figure, mean, seconds));
        }
        #[allow(clippy::cast_precision_loss, reason = "a few cases")]
        let mean =
            |of: fn(&(f64, f64, f64)) -> f64| all.iter().map(of).sum::<f64>() / all.len() as f64;
        println!(
            "MEAN {set} figure {:.4} parts {:.4} seconds {:.3} of {} cases",
            mean(|c| c.0),
            mean(|c| c.1),
            mean(|c| c.2),
            all.len()
        );
    }
}
