//! Renders the demo's photo of a drawdown card. `cargo run -p velatura-figure --example demo_card -- FILE.jpg`

#![allow(
    clippy::unwrap_used,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    missing_docs,
    unreachable_pub,
    reason = "shared with the tests"
)]

#[path = "../tests/cards/mod.rs"]
mod cards;

fn main() {
    let to = std::env::args().nth(1).unwrap();
    std::fs::write(to, cards::Scene::at_a_window().jpeg(85)).unwrap();
}
