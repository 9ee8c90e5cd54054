//! What the kit found. In: checks as they are made. Out: each with what breaches it, in words.

use std::fmt;

/// One thing that a stage is held to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Check {
    /// What it says of itself is the same whenever it is asked.
    SameInfo,
    /// Its name is a–z, 0–9 and "-", beginning with a letter, at most [`NAME_CHARS`](super::NAME_CHARS).
    Name,
    /// Version, what it takes and what it gives are a few visible words on one line.
    Words,
    /// Its parameters are a JSON Schema of an object, or `{}`.
    Schema,
    /// Its schema has a default for every parameter that must be there.
    Defaults,
    /// It does its work on the small job without an error or a panic.
    Works,
    /// The same input gives the same result a second time.
    SameAgain,
    /// The same input gives the same result on several threads at once.
    ManyThreads,
    /// Pictures one pixel wide, one pixel high, and of one pixel are worked like any other.
    OddSizes,
    /// Bands of 1, 7 and 64 rows, with the declared reach around them, give the whole picture bit for bit.
    Banding,
    /// Every number is finite and in its range.
    Numbers,
    /// Planes at both ends of their range (no light, full relief) give numbers in range.
    Extremes,
    /// What has no coat is left without one.
    BareStaysBare,
    /// The kernel's parameters do what the finish does, within [`KERNEL_CODES`](super::KERNEL_CODES).
    KernelAgrees,
    /// Planes, pictures and tables have as many entries as their sides say.
    Sizes,
    /// Photo, regions and their names are handed on as they came.
    PhotoUntouched,
    /// Every pixel of a region has some reflectance: a plane of 0 would have no light to go with.
    SomeSubstrate,
    /// Every pixel gets an existing region, or the background.
    Decided,
    /// What a stroke marks keeps the stroke's region.
    StrokesObeyed,
    /// Bytes that are cut short are refused with an error, never with a panic or half a picture.
    CutShort,
    /// Names are there, on one line, and no two are the same; a transform keeps its scheme's.
    SchemeNames,
    /// A scheme has the figure's regions, in its order, and a mix of known paints for every coat.
    SchemeRegions,
    /// A scheme written as text and read again is the same.
    WrittenAndRead,
    /// A scheme without any coat is taken too.
    NoCoats,
    /// Sides of a picture are from 1 to [`SHEET_SIDE_PX`](super::SHEET_SIDE_PX).
    PictureSize,
    /// Paths stay inside the output folder and differ.
    Paths,
    /// No file is empty.
    SomeBytes,
    /// A text has at most [`TEXT_BYTES`](super::TEXT_BYTES).
    TextLength,
    /// A text has no control characters but line ends and tabs.
    PlainText,
    /// A text that ends in `json` is JSON.
    ValidJson,
}

impl Check {
    /// Every check, as far as there is one for some attach point.
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

/// A check that was not kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Breach {
    /// Which.
    pub check: Check,
    /// What was found.
    pub found: String,
}

/// Everything that was looked at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    stage: String,
    checks: Vec<(Check, Vec<String>)>,
    notes: Vec<String>,
}

/// Breaches reported per check: more would only repeat.
const TOLD: usize = 3;

impl Report {
    pub(super) fn of(stage: &str) -> Self {
        Self {
            stage: stage.to_owned(),
            checks: Vec::new(),
            notes: Vec::new(),
        }
    }

    /// Notes that a check was made, and what breaches it. `true` if nothing does.
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
                if found.len() < TOLD && !found.contains(&words) {
                    found.push(words);
                }
                false
            }
        }
    }

    pub(super) fn note(&mut self, words: impl Into<String>) {
        self.notes.push(words.into());
    }

    /// Whether a check was made and kept.
    #[must_use]
    pub fn kept(&self, check: Check) -> bool {
        self.checks
            .iter()
            .any(|(known, found)| *known == check && found.is_empty())
    }

    /// The checks that were made, in the order in which they were.
    #[must_use]
    pub fn checks(&self) -> Vec<Check> {
        self.checks.iter().map(|(check, _)| *check).collect()
    }

    /// Everything that was not kept.
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

    /// What is worth knowing and no breach: measurements, and checks that could not be made.
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
