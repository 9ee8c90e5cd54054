//! The overlap of masks from strokes with exact masks. In: names of strokes, such as `full,half`, then folders, each a case
//! (`case.rs`). Out: per case the figure's overlap, the parts' mean and the time; then the means. `SAVE=DIR` keeps the masks.

mod case;

use std::path::Path;
use std::time::Instant;

use case::Case;

fn main() {
    let mut arguments = std::env::args().skip(1);
    let sets = arguments.next().expect("names of strokes, as full,half");
    let save = std::env::var("SAVE").ok();
    let folders: Vec<String> = arguments.collect();
    for set in sets.split(',') {
        let mut all = Vec::new();
        for folder in folders.iter().map(Path::new) {
            let case = Case::read(folder);
            let strokes = case.strokes(folder, set);
            let start = Instant::now();
            let found = case.from(&strokes);
            let seconds = start.elapsed().as_secs_f64();
            let name = folder.file_name().expect("a name").display();
            println!(
                "{set} {:.3} {:.3} {seconds:.2} {name}",
                found.figure, found.parts
            );
            assert!(found.obeyed, "strokes are always obeyed");
            if let Some(save) = &save {
                let path = Path::new(save).join(format!("{name}_{set}.png"));
                let (width, height) = (case.photo.width, case.photo.height);
                let grey = image::ExtendedColorType::L8;
                image::save_buffer(path, &found.labels, width, height, grey).expect("written");
            }
            all.push([found.figure, found.parts, seconds]);
        }
        #[allow(clippy::cast_precision_loss, reason = "a few cases")]
        let mean = |of: usize| all.iter().map(|case| case[of]).sum::<f64>() / all.len() as f64;
        println!(
            "MEAN {set} figure {:.4} parts {:.4} seconds {:.3} of {} cases",
            mean(0),
            mean(1),
            mean(2),
            all.len()
        );
    }
}
