//! The results of the kit. In: checks as they are made. Out: each check with its breaches, in words.

use std::fmt;

/// One requirement for stages.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Check {
    /// It describes itself the same way on every call.
    SameInfo,
    /// Its name is a–z, 0–9 and "-", beginning with a letter, at most [`NAME_CHARS`](super::NAME_CHARS).
    Name,
    /// Version, what it takes and what it gives are a few visible words on one line.
    Words,
    /// Its parameters are a JSON Schema of an object, or `{}`.
    Schema,
    /// Its schema has a default for every required parameter.
    Defaults,
    /// It does its work on the small job without an error or a panic.
    Works,
    /// The same input gives the same result a second time.
    SameAgain,
    /// The same input gives the same result on several threads at once.
    ManyThreads,
    /// Pictures one pixel wide, one pixel high, or of one pixel work like any other.
    OddSizes,
    /// Bands of 1, 7 and 64 rows, with the declared reach around them, give the whole picture bit for bit.
    Banding,
    /// Every number is finite and in its range.
    Numbers,
    /// Planes at both ends of their range (no light, full relief) give numbers in range.
    Extremes,
    /// Pixels without a coat stay without one.
    BareStaysBare,
    /// The kernel's parameters do what the finish does, within [`KERNEL_CODES`](super::KERNEL_CODES).
    KernelAgrees,
    /// Planes, pictures and tables have as many entries as their sides say.
    Sizes,
    /// Photo, regions and their names are passed on unchanged.
    PhotoUntouched,
    /// Every pixel of a region has some reflectance: a plane of 0 would have no light to go with.
    SomeSubstrate,
    /// Every pixel gets an existing region, or the background.
    Decided,
    /// Pixels of a stroke keep the stroke's region.
    StrokesObeyed,
    /// Bytes that are cut off are refused with an error, never with a panic or half a picture.
    CutShort,
    /// Names are not empty, on one line, and unique; a transform keeps the name of its scheme.
    SchemeNames,
    /// A scheme has the figure's regions, in its order, and a mix of known paints for every coat.
    SchemeRegions,
    /// A scheme written as text and read again is the same.
    WrittenAndRead,
    /// A scheme without any coat is accepted.
    NoCoats,
    /// Sides of a picture are from 1 to [`SHEET_SIDE_PX`](super::SHEET_SIDE_PX).
    PictureSize,
    /// Paths stay inside the output folder and differ.
    Paths,
    /// No file is empty.
    SomeBytes,
    /// A text has at most [`TEXT_BYTES`](super::TEXT_BYTES).
    TextLength,
    /// A text has no control characters except line ends and tabs.
    PlainText,
    /// A text that ends in `json` is JSON.
    ValidJson,
}

impl Check {
    /// All checks of all attach points.
    pub const ALL: [Self; 30] = [
        Self::SameInfo,
        Self::Name,
        Self::Words,
        Self::Schema,
        Self::Defaults,
        Self::Works,
        Self::SameAgain,
        Self::ManyThreads,
        Self::OddSizes,
        Self::Banding,
        Self::Numbers,
        Self::Extremes,
        Self::BareStaysBare,
        Self::KernelAgrees,
        Self::Sizes,
        Self::PhotoUntouched,
        Self::SomeSubstrate,
        Self::Decided,
        Self::StrokesObeyed,
        Self::CutShort,
        Self::SchemeNames,
        Self::SchemeRegions,
        Self::WrittenAndRead,
        Self::NoCoats,
        Self::PictureSize,
        Self::Paths,
        Self::SomeBytes,
        Self::TextLength,
        Self::PlainText,
        Self::ValidJson,
    ];
}

/// A failed check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Breach {
    /// Which.
    pub check: Check,
    /// What was found.
    pub found: String,
}

/// Everything that was checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    stage: String,
    checks: Vec<(Check, Vec<String>)>,
    notes: Vec<String>,
}

/// Breaches reported per check: more would only repeat.
const SHOWN_AT_MOST: usize = 3;

impl Report {
    pub(super) fn of(stage: &str) -> Self {
        Self {
            stage: stage.to_owned(),
            checks: Vec::new(),
            notes: Vec::new(),
        }
    }

    /// Records that a check was made, and any breach. `true` if there is none.
    pub(super) fn made(&mut self, check: Check, outcome: Result<(), String>) -> bool {
        let place = self.checks.iter().position(|(known, _)| *known == check);
        let place = place.unwrap_or_else(|| {
            self.checks.push((check, Vec::new()));
            self.checks.len() - 1
        });
        let found = &mut self.checks[place].1;
        match outcome {
            Ok(()) => true,
            Err(words) => {
                if found.len() < SHOWN_AT_MOST && !found.contains(&words) {
                    found.push(words);
                }
                false
            }
        }
    }

    pub(super) fn note(&mut self, words: impl Into<String>) {
        self.notes.push(words.into());
    }

    /// Whether a check was made and passed.
    #[must_use]
    pub fn kept(&self, check: Check) -> bool {
        self.checks
            .iter()
            .any(|(known, found)| *known == check && found.is_empty())
    }

    /// The checks that were made, in that order.
    #[must_use]
    pub fn checks(&self) -> Vec<Check> {
        self.checks.iter().map(|(check, _)| *check).collect()
    }

    /// All breaches.
    #[must_use]
    pub fn breaches(&self) -> Vec<Breach> {
        self.checks
            .iter()
            .flat_map(|(check, found)| {
                found.iter().map(|found| Breach {
                    check: *check,
                    found: found.clone(),
                })
            })
            .collect()
    }

    /// Useful facts that are not breaches: measurements, and checks that could not be made.
    #[must_use]
    pub fn notes(&self) -> &[String] {
        &self.notes
    }
}

/// A line per check, then the notes.
impl fmt::Display for Report {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "stage \"{}\"", self.stage)?;
        for (check, found) in &self.checks {
            if found.is_empty() {
                writeln!(f, "  kept      {check:?}")?;
            }
            for words in found {
                writeln!(f, "  BREACHED  {check:?}: {words}")?;
            }
        }
        for note in &self.notes {
            writeln!(f, "  note      {note}")?;
        }
        Ok(())
    }
}
