//! The chip of a part: its paint alone.

use velatura_optics::coat::{Coat, Where};
use velatura_optics::colour::{Encoded, Linear, delta_e};
use velatura_optics::mixture::Mix;
use velatura_optics::trust::Trust;
use velatura_scheme::RegionStack;

use crate::teams::stage::paints;

const RED: usize = 1;
const WHITE: usize = 6;

fn chip(coats: &[(usize, Where)]) -> Option<Encoded> {
    let paints = paints();
    let mixes: Vec<Mix> = coats
        .iter()
        .map(|(paint, _)| Mix {
            paints: vec![(*paint, 1.0)],
            medium: 0.0,
        })
        .collect();
    let stack = RegionStack {
        region: "cloak".to_owned(),
        coats: coats
            .iter()
            .zip(&mixes)
            .map(|((_, place), mix)| Coat {
                place: *place,
                ..Coat::even(paints.mixed(mix), 1.0)
            })
            .collect(),
        mixes,
        trust: Trust::AS_PHOTOGRAPHED,
    };
    stack.chip(&paints).map(Linear::encoded)
}

#[test]
fn a_highlight_does_not_stand_for_the_whole_part() {
    let red = chip(&[(RED, Where::All)]);
    assert_eq!(chip(&[(RED, Where::All), (WHITE, Where::Raised)]), red);
    assert_eq!(chip(&[(RED, Where::All), (WHITE, Where::Recesses)]), red);
    // Must fail: what is nearly everywhere counts.
    assert_ne!(chip(&[(RED, Where::All), (WHITE, Where::Upper)]), red);
}

#[test]
fn a_part_with_a_highlight_alone_has_its_colour() {
    let white = chip(&[(WHITE, Where::All)]).unwrap();
    let alone = chip(&[(WHITE, Where::Raised)]).unwrap();
    assert!(delta_e(white.lab(), alone.lab()) < 1e-9);
    assert_eq!(chip(&[]), None);
}
