//! What the numbers of a pair mean, in one plain line.
//!
//! In: the numbers of every view and kind of colour vision. Out: a grade, the reasons for it, and a sentence.

use super::figures::{Difference, Sight};
use super::grade::{ALIKE, APART, Cue, Grade, NearestPair, Verdict};
use super::report::{EyeReport, ViewReport};

/// The grade of a difference and the reasons for it.
pub(crate) fn grade(difference: &Difference) -> (Grade, Vec<Cue>) {
    let lightness = difference.lightness.abs();
    let mut by = Vec::new();
    if difference.hue_and_chroma >= APART {
        by.push(Cue::Colour);
    }
    if lightness >= APART {
        by.push(Cue::Brightness);
    }
    let most = difference.delta_e.max(lightness);
    let grade = if most >= APART || !by.is_empty() {
        Grade::Apart
    } else if most >= ALIKE {
        Grade::Close
    } else {
        Grade::Alike
    };
    (grade, by)
}

/// The verdict on a pair; `views` begin with the close-up, then from near to far.
///
/// # Panics
/// If there is no view, or one without normal vision.
pub(crate) fn verdict(views: &[ViewReport]) -> Verdict {
    let close_up = usual(&views[0]);
    let counting = || {
        let eyes = views.iter().flat_map(|view| &view.eyes);
        eyes.filter(|eye| eye.sight.counts())
    };
    let nearest = nearest_pair(&views[0]);
    let mut line = opening(close_up);
    let mut weaker: Vec<String> = from_the_table(views, close_up.grade).into_iter().collect();
    weaker.extend(for_other_eyes(views));
    if !weaker.is_empty() {
        // "But" only if the pair is distinct close up.
        let joined = if close_up.grade == Grade::Apart {
            "but"
        } else {
            "and"
        };
        line += &format!(", {joined} {}", listed(&weaker));
    }
    if let Some(pair) = &nearest {
        line += &format!(
            "; closest regions: {} / {}, ΔE {:.1}",
            pair.first, pair.second, pair.delta_e.0
        );
        if pair.eye != Sight::Usual.label() {
            line += &format!(" for {}", pair.eye);
        }
    }
    Verdict {
        line,
        grade: close_up.grade,
        by: close_up.by.clone(),
        worst: counting()
            .map(|eye| eye.grade)
            .min()
            .unwrap_or(close_up.grade),
        nearest,
    }
}

fn usual(view: &ViewReport) -> &EyeReport {
    let mut eyes = view.eyes.iter();
    eyes.find(|eye| eye.sight == Sight::Usual)
        .expect("every view is compared for normal vision")
}

fn opening(close_up: &EyeReport) -> String {
    if close_up.grade != Grade::Apart {
        return close_up.grade.to_string();
    }
    let by = match close_up.by.as_slice() {
        [Cue::Colour] => "colour",
        [Cue::Brightness] => "brightness",
        [] => "colour and brightness together",
        _ => "colour and brightness",
    };
    format!("stand apart by {by}")
}

/// The distance from which normal vision grades the pair lower than close up.
fn from_the_table(views: &[ViewReport], close_up: Grade) -> Option<String> {
    let mut table = views
        .iter()
        .filter_map(|view| Some((view.distance_mm?, usual(view).grade)));
    let (distance_mm, grade) = table.find(|(_, grade)| *grade < close_up)?;
    Some(format!("{grade} from {} m", distance_mm / 1000.0))
}

/// The kinds of colour vision that grade the pair lower than normal vision does in the same view.
fn for_other_eyes(views: &[ViewReport]) -> Vec<String> {
    let worst_of = |sight: Sight| {
        let lower = views.iter().flat_map(|view| {
            let usual = usual(view).grade;
            let eyes = view.eyes.iter().filter(move |eye| eye.sight == sight);
            eyes.map(|eye| eye.grade)
                .filter(move |grade| *grade < usual)
        });
        lower.min()
    };
    let whose = |grade: Grade| -> Vec<String> {
        Sight::ALL
            .into_iter()
            .filter(|sight| sight.counts() && *sight != Sight::Usual)
            .filter(|sight| worst_of(*sight) == Some(grade))
            .map(Sight::label)
            .collect()
    };
    [Grade::Alike, Grade::Close]
        .into_iter()
        .map(|grade| (grade, whose(grade)))
        .filter(|(_, whose)| !whose.is_empty())
        .map(|(grade, whose)| format!("{grade} with {} vision", listed(&whose)))
        .collect()
}

fn listed(words: &[String]) -> String {
    match words {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        _ => words.concat(),
    }
}

fn nearest_pair(close_up: &ViewReport) -> Option<NearestPair> {
    let candidates = close_up
        .eyes
        .iter()
        .filter(|eye| eye.sight.counts())
        .filter_map(|eye| Some((eye, eye.nearest.first()?)));
    let (eye, near) = candidates.min_by(|a, b| a.1.delta_e.0.total_cmp(&b.1.delta_e.0))?;
    Some(NearestPair {
        first: near.first.clone(),
        second: near.second.clone(),
        delta_e: near.delta_e,
        eye: eye.sight.label(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn apart(delta_e: f64, hue_and_chroma: f64, lightness: f64) -> (Grade, Vec<Cue>) {
        grade(&Difference {
            delta_e,
            hue_and_chroma,
            lightness,
            michelson: 0.0,
        })
    }

    #[test]
    fn a_grade_changes_at_its_threshold_and_names_what_it_rests_on() {
        assert_eq!(apart(9.9, 9.9, -5.0), (Grade::Alike, vec![]));
        assert_eq!(apart(10.0, 9.0, 5.0), (Grade::Close, vec![]));
        assert_eq!(apart(20.5, 15.0, 14.0), (Grade::Apart, vec![]));
        assert_eq!(apart(20.0, 20.0, 3.0), (Grade::Apart, vec![Cue::Colour]));
        // CIEDE2000 gives lightness less weight between two dark colours; the eye at the table does not.
        assert_eq!(
            apart(15.0, 2.0, -20.0),
            (Grade::Apart, vec![Cue::Brightness])
        );
        assert_eq!(
            apart(50.0, 40.0, 30.0),
            (Grade::Apart, vec![Cue::Colour, Cue::Brightness])
        );
    }

    #[test]
    fn a_list_reads_as_a_sentence() {
        let words = |count: usize| {
            ["protan", "deutan", "tritan"][..count]
                .iter()
                .map(|w| (*w).to_owned())
                .collect::<Vec<_>>()
        };
        assert_eq!(listed(&words(1)), "protan");
        assert_eq!(listed(&words(2)), "protan and deutan");
        assert_eq!(listed(&words(3)), "protan, deutan and tritan");
    }
}
