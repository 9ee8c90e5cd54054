//! How well two teams can be distinguished: constructed pairs with a known answer.
//!
//! Twelve invented teams of five parts, each part under shade and light. Every pair is a team against a changed copy of itself, and
//! what was changed decides the answer. The thresholds were chosen on these pairs, and on no person.

mod eyes;
mod teams;

use teams::{TEAMS, Team, changed};
use velatura_optics::colour::Lab;
use velatura_optics::vision::Eye;
use velatura_scheme::apart::{ALIKE, APART, Cue, Grade, Separation};

/// A kind of pair: what is changed, and which grades are right.
struct Kind {
    name: &'static str,
    change: fn(&Team) -> Option<Team>,
    right: &'static [Grade],
}

const KINDS: [Kind; 11] = [
    Kind {
        name: "identical",
        change: |team| Some(team.clone()),
        right: &[Grade::Alike],
    },
    Kind {
        name: "every colour a little lighter and yellower",
        change: |team| Some(changed(team, |_, [l, a, b]| [l + 3.0, a, b + 4.0])),
        right: &[Grade::Alike],
    },
    Kind {
        name: "one small accent turned and mirrored",
        change: |team| {
            Some(changed(
                team,
                |part, lab| if part == 4 { opposite(lab) } else { lab },
            ))
        },
        right: &[Grade::Alike],
    },
    Kind {
        name: "the two largest parts exchanged",
        change: |team| {
            let mut other = team.clone();
            other.colours.swap(0, 1);
            Some(other)
        },
        right: &[Grade::Alike],
    },
    Kind {
        name: "two parts of one size exchanged",
        change: |team| {
            let mut other = team.clone();
            other.shares = [0.33, 0.33, 0.16, 0.11, 0.07];
            other.colours.swap(0, 1);
            Some(other)
        },
        right: &[Grade::Alike],
    },
    Kind {
        name: "the second part alone turned and mirrored",
        change: |team| {
            Some(changed(
                team,
                |part, lab| if part == 1 { opposite(lab) } else { lab },
            ))
        },
        right: &[Grade::Alike, Grade::Close],
    },
    Kind {
        name: "every hue turned to its opposite",
        // Greys have no hue: only teams with chroma in them can be distinguished by it.
        change: |team| {
            (team.mean(|[_, a, b]| a.hypot(b)) >= 25.0)
                .then(|| changed(team, |_, [l, a, b]| [l, -a, -b]))
        },
        right: &[Grade::Apart],
    },
    Kind {
        name: "every lightness mirrored",
        // Mid greys stay what they are.
        change: |team| {
            (team.mean(|[l, _, _]| (100.0 - 2.0 * l).abs()) >= 40.0)
                .then(|| changed(team, |_, [l, a, b]| [100.0 - l, a, b]))
        },
        right: &[Grade::Apart],
    },
    Kind {
        name: "the two largest parts far another colour",
        change: |team| {
            Some(changed(
                team,
                |part, lab| if part < 2 { far_from(lab) } else { lab },
            ))
        },
        right: &[Grade::Apart],
    },
    Kind {
        name: "a grey team a little lighter",
        change: |team| Some(changed(team, |_, [l, _, _]| [l + 6.0, 0.0, 0.0])),
        right: &[Grade::Alike],
    },
    Kind {
        name: "a grey team far lighter or darker",
        change: |team| {
            Some(changed(team, |_, [l, _, _]| {
                [
                    if team.mean(|lab| lab[0]) > 50.0 {
                        l - 40.0
                    } else {
                        l + 40.0
                    },
                    0.0,
                    0.0,
                ]
            }))
        },
        right: &[Grade::Apart],
    },
];

fn opposite([l, a, b]: [f64; 3]) -> [f64; 3] {
    [100.0 - l, -a, -b]
}

/// A colour that nobody confuses with this one: at least 50 units away.
fn far_from([l, a, b]: [f64; 3]) -> [f64; 3] {
    let chroma = a.hypot(b);
    let (a, b) = match chroma {
        small if small < 15.0 => (40.0, 25.0),
        chroma => (-a * 35.0 / chroma, -b * 35.0 / chroma),
    };
    [if l > 50.0 { l - 25.0 } else { l + 25.0 }, a, b]
}

/// The team that a kind's change is made to: grey kinds start from the team's greys, and exchanged parts from parts of one size.
fn original(kind: &Kind, team: &Team) -> Team {
    let mut team = team.clone();
    if kind.name.contains("grey") {
        team = changed(&team, |_, [l, _, _]| [l, 0.0, 0.0]);
    }
    if kind.name.contains("of one size") {
        team.shares = [0.33, 0.33, 0.16, 0.11, 0.07];
    }
    team
}

fn separation(kind: &Kind, team: &Team, eye: &Eye) -> Option<Separation> {
    let original = original(kind, team);
    let other = (kind.change)(&original)?;
    Some(Separation::between(&original.look(eye), &other.look(eye)))
}

#[test]
fn constructed_pairs_get_the_right_grade_and_any_team_left_out_gives_the_same_thresholds() {
    let mut wrong = Vec::new();
    let mut tried = 0;
    let mut judged: Vec<(usize, &[Grade], f64)> = Vec::new();
    for kind in &KINDS {
        let mut all = Vec::new();
        for (index, team) in TEAMS.iter().enumerate() {
            let team = Team::of(team);
            let Some(found) = separation(kind, &team, &Eye::USUAL) else {
                continue;
            };
            tried += 1;
            all.push(found.distance);
            judged.push((index, kind.right, found.distance));
            if !kind.right.contains(&found.grade()) {
                wrong.push(format!("{}, team {index}: {found:?}", kind.name));
            }
        }
        let (least, most) = range(all.iter().copied());
        println!(
            "{}: {} pairs, {least:.1} to {most:.1}",
            kind.name,
            all.len()
        );
    }
    assert!(tried > 110, "{tried} pairs");
    // The threshold half-way between the pairs that must be on one side and on the other, without each team in turn.
    for out in 0..TEAMS.len() {
        let rest = || judged.iter().filter(|(team, ..)| *team != out);
        let of =
            |right: &'static [Grade]| rest().filter(move |one| one.1 == right).map(|one| one.2);
        let (_, alike) = range(of(&[Grade::Alike]));
        let (apart, _) = range(of(&[Grade::Apart]));
        println!("without {out}: alike up to {alike:.1}, apart from {apart:.1}");
        assert!(alike < ALIKE && APART < apart, "{out}: {alike} {apart}");
        // Thresholds a third and two thirds of the way between give every other team the same grades.
        let between = |share: f64| alike + share * (apart - alike);
        let grade = |far: f64| match far {
            far if far >= between(2.0 / 3.0) => Grade::Apart,
            far if far >= between(1.0 / 3.0) => Grade::Close,
            _ => Grade::Alike,
        };
        let own = judged
            .iter()
            .filter(|(team, right, _)| *team == out && right.len() == 1);
        for (_, right, far) in own {
            assert_eq!(right, &[grade(*far)], "team {out} at {far:.1}");
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
}

fn range(of: impl Iterator<Item = f64>) -> (f64, f64) {
    of.fold((f64::INFINITY, 0.0), |(least, most), one| {
        (least.min(one), most.max(one))
    })
}

#[test]
fn hue_alone_and_lightness_alone_are_named() {
    let cues = |name: &str| -> Vec<Vec<Cue>> {
        let kind = KINDS.iter().find(|kind| kind.name == name).unwrap();
        let teams = TEAMS.iter().map(Team::of);
        let found = teams.filter_map(|team| separation(kind, &team, &Eye::USUAL));
        found.map(|found| found.cues()).collect()
    };
    let turned = cues("every hue turned to its opposite");
    let lighter = cues("a grey team far lighter or darker");
    assert!(turned.len() >= 6 && lighter.len() == TEAMS.len());
    assert!(
        turned.iter().all(|cues| cues == &[Cue::Colour]),
        "{turned:?}"
    );
    assert!(
        lighter.iter().all(|cues| cues == &[Cue::Brightness]),
        "{lighter:?}"
    );
}

#[test]
fn one_colour_on_much_of_both_teams_is_confused_whatever_else_differs() {
    let team = Team::of(&TEAMS[0]);
    let other = changed(
        &team,
        |part, lab| if part == 0 { lab } else { far_from(lab) },
    );
    let found = Separation::between(&team.look(&Eye::USUAL), &other.look(&Eye::USUAL));
    assert!(
        found.distance >= APART,
        "must be far without the rule: {found:?}"
    );
    assert_eq!(found.grade(), Grade::Close);
    // Must fail: the largest part differs too.
    let other = changed(&team, |_, lab| far_from(lab));
    let found = Separation::between(&team.look(&Eye::USUAL), &other.look(&Eye::USUAL));
    assert_eq!(found.grade(), Grade::Apart);
}

#[test]
fn the_order_of_the_teams_does_not_matter() {
    for (one, other) in TEAMS.iter().zip(TEAMS.iter().skip(1)) {
        let looks = [
            Team::of(one).look(&Eye::USUAL),
            Team::of(other).look(&Eye::USUAL),
        ];
        let [there, back] = [
            Separation::between(&looks[0], &looks[1]),
            Separation::between(&looks[1], &looks[0]),
        ];
        assert!(
            (there.distance - back.distance).abs() < 0.01,
            "{there:?} {back:?}"
        );
        assert_eq!(there.grade(), back.grade());
    }
}

/// A colour as Lab, for the tests of one part.
pub(super) fn lab(hex: &str) -> Lab {
    hex.parse::<velatura_optics::colour::Encoded>()
        .unwrap()
        .lab()
}
