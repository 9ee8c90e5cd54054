//! Pairs for simulated colour-blind vision: what it cannot distinguish looks alike, what it can stands apart.

use super::teams::{Team, changed};
use velatura_optics::colour::{Encoded, Lab, Linear, delta_e};
use velatura_optics::vision::{Deficiency, Eye};
use velatura_scheme::apart::{Grade, Separation};

/// Pairs of colours that this eye confuses, and normal vision does not: all colours on a grid are compared.
fn confused(eye: &Eye) -> Vec<[Lab; 2]> {
    let steps = [0x20, 0x58, 0x90, 0xc8];
    let mut colours = Vec::new();
    for red in steps {
        for green in steps {
            for blue in steps {
                colours.push(Encoded([red, green, blue]).linear());
            }
        }
    }
    let seen =
        |colour: Linear| Linear(eye.sees(colour).0.map(|channel| channel.clamp(0.0, 1.0))).lab();
    let mut pairs = Vec::new();
    for (at, one) in colours.iter().enumerate() {
        for other in &colours[at + 1..] {
            let apart = |a: Lab, b: Lab| {
                let steps = a.0.iter().zip(b.0).map(|(a, b)| (a - b).powi(2));
                steps.sum::<f64>().sqrt()
            };
            let normal = apart(one.lab(), other.lab());
            if apart(seen(*one), seen(*other)) < 7.0
                && normal > 45.0
                && delta_e(one.lab(), other.lab()) > 25.0
            {
                pairs.push([one.lab(), other.lab()]);
            }
        }
    }
    pairs
}

/// Two teams in these two colours, with the same small parts.
fn two_teams([one, other]: [Lab; 2]) -> [Team; 2] {
    let base = Team::of(&["#808080", "#808080", "#4a4038", "#5e4128", "#3f6f9a"]);
    [one, other].map(|colour| changed(&base, |part, own| if part < 2 { colour.0 } else { own }))
}

fn grade(pair: [Lab; 2], eye: &Eye) -> (Grade, Separation) {
    let [one, other] = two_teams(pair).map(|team| team.look(eye));
    let found = Separation::between(&one, &other);
    (found.grade(), found)
}

#[test]
fn what_a_kind_of_eye_confuses_looks_alike_to_it_and_stands_apart_for_normal_vision() {
    // The model of 2009 leaves tritan vision enough of every difference on this grid.
    for kind in [Deficiency::Protan, Deficiency::Deutan] {
        let eye = Eye::machado(kind, 1.0);
        let pairs = confused(&eye);
        println!("{kind}: {} pairs", pairs.len());
        assert!(pairs.len() >= 3, "{kind}: {} pairs", pairs.len());
        for pair in pairs {
            let (own, found) = grade(pair, &eye);
            assert_eq!(own, Grade::Alike, "{kind} {pair:?} {found:?}");
            let (normal, found) = grade(pair, &Eye::USUAL);
            assert_eq!(normal, Grade::Apart, "{kind} {pair:?} {found:?}");
            // Must fail: at severity 0 it is normal vision.
            assert_eq!(grade(pair, &Eye::machado(kind, 0.0)).0, Grade::Apart);
        }
    }
}

#[test]
fn what_every_kind_of_eye_distinguishes_stands_apart_for_all() {
    let [blue, yellow, dark, light] = ["#2a4a9a", "#d8b040", "#24282c", "#d8d4c8"].map(super::lab);
    for kind in Deficiency::ALL {
        let eye = Eye::machado(kind, 1.0);
        for pair in [[blue, yellow], [dark, light]] {
            let (own, found) = grade(pair, &eye);
            assert_eq!(own, Grade::Apart, "{kind} {pair:?} {found:?}");
        }
    }
}
