//! What the numbers of a pair mean, in one plain line.
//!
//! In: the numbers of every view and kind of colour vision. Out: a grade, the reasons for it, and a sentence.

use velatura_pipeline::scheme::apart::{Cue, Grade};

use super::figures::Sight;
use super::grade::{NearestPair, Verdict};
use super::report::{EyeReport, NearReport, ViewReport};

/// The view that the verdict is about: the far edge of a table, in mm.
const TABLE_MM: f64 = 1000.0;

/// The verdict on a pair; `views` begin with the close-up, then from near to far.
///
/// # Panics
/// If the close-up or the view from [`TABLE_MM`] is missing, or one without normal vision.
pub(crate) fn verdict(views: &[ViewReport]) -> Verdict {
    let table = views
        .iter()
        .position(|view| view.distance_mm == Some(TABLE_MM))
        .expect("one of the distances is the table's");
    let (close_up, headline) = (usual(&views[0]), usual(&views[table]));
    let counting = || {
        let eyes = views.iter().flat_map(|view| &view.eyes);
        eyes.filter(|eye| eye.sight.counts())
    };
    let nearest = nearest_pair(&views[0]);
    let mix_up = mix_up(&views[0]);
    let mut line = opening(headline);
    let mut weaker: Vec<String> = from_afar(&views[table..], headline.grade)
        .into_iter()
        .collect();
    weaker.extend(for_other_eyes(views));
    if !weaker.is_empty() {
        // "But" only if the pair is distinct.
        let joined = if headline.grade == Grade::Apart {
            "but"
        } else {
            "and"
        };
        line += &format!(", {joined} {}", listed(&weaker));
    }
    if close_up.grade > headline.grade {
        line += &format!("; close up they {}", close_up.grade);
    }
    line += &about_parts(headline.grade, nearest.as_ref(), mix_up.as_ref());
    Verdict {
        line,
        grade: headline.grade,
        by: headline.by.clone(),
        worst: counting()
            .map(|eye| eye.grade)
            .min()
            .unwrap_or(headline.grade),
        nearest,
        mix_up,
    }
}

/// The parts that could be mistaken for each other. Teams that look alike need no such part to do so.
fn about_parts(
    grade: Grade,
    nearest: Option<&NearestPair>,
    mix_up: Option<&NearestPair>,
) -> String {
    let with = |pair: &NearestPair| match pair.eye == Sight::Usual.label() {
        true => String::new(),
        false => format!(" with {} vision", pair.eye),
    };
    match (grade, mix_up, nearest) {
        (Grade::Alike, ..) | (_, None, None) => String::new(),
        (_, Some(pair), _) => format!(
            "; alike in both: {} / {}, ΔE {:.1} on {:.0} % of the figure{}",
            pair.first,
            pair.second,
            pair.delta_e.0,
            pair.share.0 * 100.0,
            with(pair)
        ),
        (_, None, Some(pair)) => format!(
            "; no large part is alike in both (closest: {} / {}, ΔE {:.1}{})",
            pair.first,
            pair.second,
            pair.delta_e.0,
            with(pair)
        ),
    }
}

fn usual(view: &ViewReport) -> &EyeReport {
    let mut eyes = view.eyes.iter();
    eyes.find(|eye| eye.sight == Sight::Usual)
        .expect("every view is compared for normal vision")
}

fn opening(eye: &EyeReport) -> String {
    if eye.grade != Grade::Apart {
        let why = match eye.same_dominant && eye.grade == Grade::Close {
            true => " because most of both is nearly one colour",
            false => "",
        };
        return format!("{}{why}", eye.grade);
    }
    let by = match eye.by.as_slice() {
        [Cue::Colour] => "colour",
        [Cue::Brightness] => "brightness",
        [] => "colour and brightness together",
        _ => "colour and brightness",
    };
    format!("stand apart by {by}")
}

/// The distance from which normal vision grades the pair lower than from the first of these views.
fn from_afar(views: &[ViewReport], near: Grade) -> Option<String> {
    let mut table = views
        .iter()
        .filter_map(|view| Some((view.distance_mm?, usual(view).grade)));
    let (distance_mm, grade) = table.find(|(_, grade)| *grade < near)?;
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
    let candidates = counted(close_up).filter_map(|eye| Some((eye, eye.nearest.first()?)));
    let (eye, near) = candidates.min_by(|a, b| a.1.delta_e.0.total_cmp(&b.1.delta_e.0))?;
    Some(pair(eye, near))
}

/// The likeliest mix-up of normal vision, or else the largest part that another colour vision could mix up, if the teams as a whole
/// stand apart for it.
fn mix_up(close_up: &ViewReport) -> Option<NearestPair> {
    let concerned = |eye: &&EyeReport| eye.sight == Sight::Usual || eye.grade == Grade::Apart;
    let candidates = || {
        let eyes = counted(close_up).filter(concerned);
        eyes.filter_map(|eye| Some((eye, eye.mix_up.as_ref()?)))
    };
    let (eye, near) = candidates()
        .find(|(eye, _)| eye.sight == Sight::Usual)
        .or_else(|| candidates().max_by(|a, b| a.1.share.0.total_cmp(&b.1.share.0)))?;
    Some(pair(eye, near))
}

fn counted(view: &ViewReport) -> impl Iterator<Item = &EyeReport> {
    view.eyes.iter().filter(|eye| eye.sight.counts())
}

fn pair(eye: &EyeReport, near: &NearReport) -> NearestPair {
    NearestPair {
        first: near.first.clone(),
        second: near.second.clone(),
        delta_e: near.delta_e,
        share: near.share,
        eye: eye.sight.label(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(delta_e: f64, eye: Sight) -> NearestPair {
        NearestPair {
            first: "hood".to_owned(),
            second: "cape".to_owned(),
            delta_e: velatura_report::Hundredths(delta_e),
            share: velatura_report::Ratio(0.12),
            eye: eye.label(),
        }
    }

    #[test]
    fn a_part_that_is_alike_does_not_contradict_the_verdict() {
        let (near, far) = (of(0.7, Sight::Usual), of(31.0, Sight::Usual));
        assert_eq!(
            about_parts(Grade::Apart, Some(&near), Some(&near)),
            "; alike in both: hood / cape, ΔE 0.7 on 12 % of the figure"
        );
        assert_eq!(
            about_parts(Grade::Apart, Some(&far), None),
            "; no large part is alike in both (closest: hood / cape, ΔE 31.0)"
        );
        assert_eq!(about_parts(Grade::Alike, Some(&near), Some(&near)), "");
        assert_eq!(about_parts(Grade::Apart, None, None), "");
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
