//! Renders the demo's photo of a drawdown card, and its layout: the Lamplighters' paints and tints, at a window.
//!
//! `cargo run -p velatura-swatch --example demo_card -- demo_images/lamplighter/paints.toml demo_images/card`

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    missing_docs,
    unreachable_pub,
    reason = "the scene is shared with the tests, and a failure may be loud"
)]

use velatura_document::SourceText;
use velatura_optics::paints_file::{Given, Pair, read_paints_file};
use velatura_testkit::cards::{Drawdown, Scene};

fn main() {
    let [paints, folder] = [1, 2].map(|index| std::env::args().nth(index).unwrap());
    let source = SourceText::from_bytes(&*paints, std::fs::read(&paints).unwrap()).unwrap();
    let paints = read_paints_file(&source).unwrap().value.paints;
    let over = |given: &Given| match given {
        Given::Drawdown(Pair {
            over_black,
            over_white,
        }) => [*over_black, *over_white],
        other => panic!("the demo's paints are drawdowns, not {other:?}"),
    };
    let drawdowns = paints
        .iter()
        .flat_map(|paint| {
            let name = &paint.name.value;
            let pure = Drawdown {
                name: name.clone(),
                tint: None,
                over: over(&paint.given),
            };
            let tints = paint.tints.iter().map(|tint| Drawdown {
                name: name.clone(),
                tint: Some((tint.with.value.clone(), tint.parts)),
                over: over(&tint.given),
            });
            std::iter::once(pure).chain(tints)
        })
        .collect();
    let scene = Scene {
        drawdowns,
        ..Scene::at_a_window()
    }
    .larger(1.25);
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(format!("{folder}/card.jpg"), scene.jpeg(92)).unwrap();
    let layout = format!(
        "# The demo's drawdown card: invented paints, a rendered photo.\n{}",
        scene.layout()
    );
    std::fs::write(format!("{folder}/layout.toml"), layout).unwrap();
}
