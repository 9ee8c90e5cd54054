//! The conformance kit rejects broken stages: for every check there is a broken stage that fails only that check, and a valid
//! one that passes.

mod broken;
mod described;
mod figures;
mod frames;
mod schemes;
mod sheets;

use std::collections::BTreeSet;

use broken::Broken;
use velatura_conformance::{Check, check, check_with};

/// Broken stages, each with the check that catches it.
fn cases() -> Vec<Broken> {
    let mut cases = described::cases();
    cases.extend(frames::cases());
    cases.extend(figures::cases());
    cases.extend(schemes::cases());
    cases.extend(sheets::cases());
    cases
}

#[test]
fn every_broken_stage_is_caught_by_its_check_and_by_no_other() {
    for Broken {
        what,
        stage,
        check: expected,
    } in cases()
    {
        let report = check(&stage);
        let caught: BTreeSet<Check> = report.breaches().iter().map(|one| one.check).collect();
        assert_eq!(caught, BTreeSet::from([expected]), "{what}: {report}");
    }
}

#[test]
fn every_check_has_caught_a_stage() {
    let known: BTreeSet<Check> = cases().into_iter().map(|case| case.check).collect();
    assert_eq!(known, BTreeSet::from(Check::ALL));
}

#[test]
fn the_same_stages_pass_when_they_are_sound() {
    let sound = [
        frames::sound(),
        figures::sound(),
        schemes::sound(),
        sheets::sound(),
    ];
    for (what, stage) in sound.into_iter().flatten() {
        let report = check(&stage);
        assert_eq!(report.breaches(), [], "{what}: {report}");
        assert!(report.kept(Check::Works), "{what}");
    }
}

#[test]
fn a_stage_that_says_it_is_not_deterministic_is_not_compared() {
    let stage = frames::not_deterministic();
    let report = check(&stage);
    assert_eq!(report.breaches(), [], "{report}");
    assert!(!report.checks().contains(&Check::SameAgain), "{report}");
    assert!(
        report
            .notes()
            .iter()
            .any(|note| note.contains("not deterministic"))
    );
}

#[test]
fn parameters_that_have_no_default_can_be_given() {
    let (stage, parameters) = described::with_parameter();
    let report = check_with(&stage, &parameters);
    assert_eq!(report.breaches(), [], "{report}");
    assert!(report.kept(Check::PlainText), "{report}");
}
