//! Regions of real photographed objects against masks traced by hand; sources and licences in `real_photos/README.md`.

#![allow(
    clippy::missing_assert_message,
    clippy::print_stdout,
    reason = "everything here is a test: it may fail loudly and prints its figures"
)]

#[path = "../examples/regions_overlap/case.rs"]
#[allow(dead_code, reason = "the example uses more of it")]
mod case;

use std::path::{Path, PathBuf};

use case::Case;

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/real_photos")
        .join(name)
}

/// Least overlap (intersection over union) of figure and parts: a little below what is reached, so that a change that loses is seen.
/// None of these is the goal, which is 0.97 and 0.76.
const LEAST: [(&str, &str, f64, f64); 6] = [
    ("coffee", "full", 0.97, 0.84),
    ("coffee", "half", 0.84, 0.68),
    ("coins", "full", 0.93, 0.93),
    ("coins", "half", 0.93, 0.93),
    ("tulips", "full", 0.85, 0.82),
    ("tulips", "half", 0.74, 0.68),
];

#[test]
fn strokes_on_real_photos_give_the_masks_that_they_gave_before_or_better() {
    for (name, strokes, figure, parts) in LEAST {
        let folder = folder(name);
        let case = Case::read(&folder);
        let found = case.from(&case.strokes(&folder, strokes));
        println!(
            "{name} {strokes}: figure {:.3}, parts {:.3}",
            found.figure, found.parts
        );
        assert!(found.obeyed, "{name} {strokes}");
        assert!(
            found.figure >= figure,
            "{name} {strokes}: {:.3}",
            found.figure
        );
        assert!(found.parts >= parts, "{name} {strokes}: {:.3}", found.parts);
    }
}
