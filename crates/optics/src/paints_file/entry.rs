//! One `[[paint]]`: a drawdown's two codes, an instrument's spectra, or a chip; and its tints.

use super::Cards;
use super::keys::OPACITY_WORDS;
use super::reflectance::Fault;
use super::spectra::{self, MeasuredDrawdown};
use crate::colour::{Encoded, luminance};
use velatura_document::{At, Fields, SourceText};

/// How much darker (in Y) a drawdown may be over white than over black before it is impossible: one code value of
/// an opaque paint's two fields, as photographs scatter by that much.
const CODE_SLACK: f64 = 0.01;

/// The colour codes of one film over the two cards.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// Over the black card.
    pub over_black: Encoded,
    /// Over the white card.
    pub over_white: Encoded,
}

impl Pair {
    /// The fault of a film that is lighter over black than over white, which no film is.
    pub(crate) fn fault(&self) -> Option<Fault> {
        let [dark, light] = [self.over_black, self.over_white].map(|code| luminance(code.linear()));
        (dark > light + CODE_SLACK).then(|| Fault {
            found: format!(
                "the film is lighter over black ({}) than over white ({})",
                self.over_black, self.over_white
            ),
            expected: "a film no lighter over black than over white".to_owned(),
            help: "are the two swapped?".into(),
        })
    }
}

/// What a paint is known by.
#[derive(Debug, Clone)]
pub enum Given {
    /// Two codes of a drawdown.
    Drawdown(Pair),
    /// Spectra of a drawdown.
    Spectrum(Box<MeasuredDrawdown>),
    /// A colour, and the contrast ratio of a film of it.
    Chip {
        /// The dried colour where the paint is thickest.
        colour: Encoded,
        /// Y over black divided by Y over white, 0…1 (ISO 6504-3).
        contrast_ratio: f64,
    },
}

/// A mix of this paint with another, brushed over both cards.
#[derive(Debug, Clone)]
pub struct TintEntry {
    /// The other paint.
    pub with: At<String>,
    /// Parts by volume: this paint, the other.
    pub parts: [f64; 2],
    /// What was seen: a drawdown's codes or spectra, never a chip.
    pub given: Given,
}

/// One paint as written.
#[derive(Debug, Clone)]
pub struct PaintEntry {
    /// Its name.
    pub name: At<String>,
    /// Whether the painter has it; yes unless it says otherwise.
    pub owned: bool,
    /// Whether it glints like metal.
    pub metallic: bool,
    /// What it is known by.
    pub given: Given,
    /// Its tints.
    pub tints: Vec<TintEntry>,
    /// The cards of its file; codes of a drawdown mean nothing without them.
    pub cards: Cards,
    /// Its file, for later messages.
    pub source: SourceText,
}

pub(super) fn read(
    fields: &Fields<'_>,
    cards: Option<Cards>,
    source: &SourceText,
) -> Option<PaintEntry> {
    let name = fields.text("name");
    let owned = fields.flag_or_default("owned");
    let metallic = fields.flag_or_default("metallic");
    let given = read_given(fields);
    let tints: Vec<Option<TintEntry>> = fields.tables("tint").iter().map(read_tint).collect();
    let tints: Option<Vec<TintEntry>> = tints.into_iter().collect();
    Some(PaintEntry {
        name: name?,
        owned,
        metallic,
        given: given?,
        tints: tints?,
        cards: cards?,
        source: source.clone(),
    })
}

fn read_given(fields: &Fields<'_>) -> Option<Given> {
    let drawdown = fields.has("over_black") || fields.has("over_white");
    let spectrum = fields.has("spectrum");
    let chip = fields.has("colour") || fields.has("contrast_ratio") || fields.has("opacity");
    match (drawdown, spectrum, chip) {
        (true, false, false) => read_pair(fields).map(Given::Drawdown),
        (false, true, false) => {
            spectra::read(fields).map(|spectrum| Given::Spectrum(Box::new(spectrum)))
        }
        (false, false, true) => read_chip(fields),
        (false, false, false) => {
            fields.problem(
                &fields.at(),
                "this paint has no colour data",
                "`over_black` and `over_white`, or [paint.spectrum], or `colour` with `contrast_ratio` or `opacity`",
                "brush it over a black and a white card, let it dry, and enter the two colours",
            );
            None
        }
        _ => {
            fields.problem(
                &fields.at(),
                "this paint is described in more than one way",
                "one of: a drawdown (`over_black`, `over_white`), [paint.spectrum], a chip (`colour`)",
                "keep the best one: a spectrum is better than a drawdown, a drawdown better than a chip",
            );
            None
        }
    }
}

fn read_pair(fields: &Fields<'_>) -> Option<Pair> {
    for key in ["over_black", "over_white"] {
        if !fields.has(key) {
            fields.missing(key);
        }
    }
    let over_black = fields.colour::<Encoded>("over_black");
    let over_white = fields.colour::<Encoded>("over_white");
    let (over_black, over_white) = (over_black?, over_white?);
    let pair = Pair {
        over_black: over_black.value,
        over_white: over_white.value,
    };
    if let Some(fault) = pair.fault() {
        fields.problem(&over_black.at, fault.found, &fault.expected, fault.help);
        return None;
    }
    Some(pair)
}

fn read_chip(fields: &Fields<'_>) -> Option<Given> {
    if !fields.has("colour") {
        fields.missing("colour");
    }
    let colour = fields.colour::<Encoded>("colour");
    let ratio = fields.number("contrast_ratio");
    let word = fields.word("opacity", &OPACITY_WORDS);
    match (fields.has("contrast_ratio"), fields.has("opacity")) {
        (true, true) => {
            let at = word.map_or(fields.at(), |word| word.at);
            fields.problem(
                &at,
                "`contrast_ratio` and `opacity` are both set",
                "only one of them",
                "keep the number",
            );
            return None;
        }
        (false, false) => {
            fields.problem(
                &fields.at(),
                "the opacity of this paint is missing",
                "`contrast_ratio` (0…1) or `opacity` (\"transparent\" … \"opaque\")",
                "add one of them",
            );
        }
        _ => {}
    }
    Some(Given::Chip {
        colour: colour?.value,
        contrast_ratio: ratio.or(word)?.value,
    })
}

fn read_tint(fields: &Fields<'_>) -> Option<TintEntry> {
    let with = fields.text("with");
    let parts = fields.numbers("parts");
    let given = if fields.has("spectrum") {
        if fields.has("over_black") || fields.has("over_white") {
            fields.problem(
                &fields.at(),
                "this tint has both codes and spectra",
                "only one of them",
                "keep the spectra",
            );
        }
        spectra::read(fields).map(|spectrum| Given::Spectrum(Box::new(spectrum)))
    } else {
        read_pair(fields).map(Given::Drawdown)
    };
    Some(TintEntry {
        with: with?,
        parts: parts?.value,
        given: given?,
    })
}
