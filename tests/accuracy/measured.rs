//! The measured paints, and files made from them as a user would write them.

use std::fmt::Write as _;

use velatura_document::SourceText;
use velatura_optics::calibrate::{PaintBox, Prior, calibrate_under};
use velatura_optics::colour::{Encoded, luminance};
use velatura_optics::paint::{Optics, Source};
use velatura_optics::paints_file::read_paints_file;
use velatura_optics::spectrum::{Spectrum, colour};
use velatura_tests::{number, table};

/// One film over both cards, reflectance 0…1, surface reflection included.
#[derive(Debug, Clone)]
pub(crate) struct Sample {
    pub(crate) id: String,
    pub(crate) series: String,
    /// Paints and their parts in %, none 0.
    pub(crate) parts: Vec<(String, f64)>,
    pub(crate) black_card: Spectrum,
    pub(crate) white_card: Spectrum,
    pub(crate) over_black: Spectrum,
    pub(crate) over_white: Spectrum,
}

/// Contrast ratio under 0.93, as the data's README lists them.
const SEE_THROUGH: [&str; 17] = [
    "01A", "01B", "01C", "03A", "03B", "03C", "03D", "03E", "05B", "05D", "07A", "07B", "11A",
    "11D", "17A", "17D", "17F",
];
/// Known bad and odd, as the data's README lists them.
const ODD: [&str; 4] = ["03E", "11D", "11A", "17D"];

impl Sample {
    pub(crate) fn is_see_through(&self) -> bool {
        SEE_THROUGH.contains(&self.id.as_str())
    }

    pub(crate) fn is_odd(&self) -> bool {
        ODD.contains(&self.id.as_str())
    }

    /// Parts of a paint, 0 if it is missing.
    pub(crate) fn part(&self, paint: &str) -> f64 {
        let of = |(name, part): &(String, f64)| (name == paint).then_some(*part);
        self.parts.iter().find_map(of).unwrap_or(0.0)
    }

    /// The bare card and the film over it, black first.
    pub(crate) fn fields(&self) -> [(&Spectrum, &Spectrum); 2] {
        [
            (&self.black_card, &self.over_black),
            (&self.white_card, &self.over_white),
        ]
    }

    /// Y over black divided by Y over white (ISO 6504-3).
    pub(crate) fn contrast_ratio(&self) -> f64 {
        luminance(colour(&self.over_black)) / luminance(colour(&self.over_white))
    }
}

/// The 8-bit code of a spectrum.
pub(crate) fn code(spectrum: &Spectrum) -> Encoded {
    colour(spectrum).encoded()
}

/// All 42 samples.
pub(crate) fn samples() -> Vec<Sample> {
    let rows = table("measured-paints/paints.csv");
    assert_eq!(rows.len(), 42 * 4);
    let samples: Vec<Sample> = rows
        .chunks(4)
        .map(|four| {
            let of = |substrate: &str| -> Spectrum {
                let row = four
                    .iter()
                    .find(|row| row["substrate"] == substrate)
                    .unwrap();
                assert_eq!(row["id"], four[0]["id"]);
                std::array::from_fn(|band| number(row, &(400 + 10 * band).to_string()) / 100.0)
            };
            let names = four[0]["components"].split('-').map(str::to_owned);
            let parts = four[0]["parts"]
                .split('-')
                .map(|part| part.parse::<f64>().unwrap());
            Sample {
                id: four[0]["id"].clone(),
                series: four[0]["series"].clone(),
                parts: names.zip(parts).filter(|(_, part)| *part > 0.0).collect(),
                black_card: of("black_card"),
                white_card: of("white_card"),
                over_black: of("over_black"),
                over_white: of("over_white"),
            }
        })
        .collect();
    assert_eq!(
        samples
            .iter()
            .filter(|sample| sample.is_see_through())
            .count(),
        SEE_THROUGH.len()
    );
    samples
}

/// The prior learned without one series (`tests/fixtures-made-with/learn_prior.py --leave-one-out`).
pub(crate) fn prior_without(series: &str) -> Prior {
    let path = velatura_tests::root().join("tests/data/held_out_priors.csv");
    let text = std::fs::read_to_string(path).unwrap();
    let begin = format!("{series},");
    let rows: Vec<&str> = text
        .lines()
        .filter_map(|line| line.strip_prefix(&begin))
        .collect();
    assert_eq!(rows.len(), 62, "series {series}");
    Prior::read(&rows.join("\n")).unwrap()
}

/// A paints file being written.
#[derive(Debug)]
pub(crate) struct File {
    text: String,
    source: Source,
}

impl File {
    /// A file with the cards of a sample and with paints described in one way.
    pub(crate) fn new(cards: &Sample, source: Source) -> Self {
        let text = format!(
            "format = \"velatura-paints/1\"\n[cards]\nblack = \"{}\"\nwhite = \"{}\"\nspecular = \"included\"\n",
            code(&cards.black_card),
            code(&cards.white_card)
        );
        Self { text, source }
    }

    /// Adds a paint. A chip is its colour over white and its true contrast ratio.
    pub(crate) fn paint(mut self, name: &str, sample: &Sample) -> Self {
        writeln!(self.text, "[[paint]]\nname = \"{name}\"").unwrap();
        match self.source {
            Source::Spectrum => self.spectra("paint", sample),
            Source::Drawdown => self.codes(sample),
            Source::Chip => {
                let (over_white, ratio) =
                    (code(&sample.over_white), sample.contrast_ratio().min(1.0));
                writeln!(
                    self.text,
                    "colour = \"{over_white}\"\ncontrast_ratio = {ratio:.3}"
                )
                .unwrap();
            }
        }
        self
    }

    /// Adds a tint to the paint added last; a chip's is a drawdown.
    pub(crate) fn tint(mut self, with: &str, parts: [f64; 2], sample: &Sample) -> Self {
        let [this, other] = parts;
        writeln!(
            self.text,
            "[[paint.tint]]\nwith = \"{with}\"\nparts = [{this:?}, {other:?}]"
        )
        .unwrap();
        match self.source {
            Source::Spectrum => self.spectra("paint.tint", sample),
            Source::Drawdown | Source::Chip => self.codes(sample),
        }
        self
    }

    fn codes(&mut self, sample: &Sample) {
        let (over_black, over_white) = (code(&sample.over_black), code(&sample.over_white));
        writeln!(
            self.text,
            "over_black = \"{over_black}\"\nover_white = \"{over_white}\""
        )
        .unwrap();
    }

    fn spectra(&mut self, table: &str, sample: &Sample) {
        writeln!(
            self.text,
            "[{table}.spectrum]\nstart_nm = 400\nstep_nm = 10\nspecular = \"included\""
        )
        .unwrap();
        for (name, spectrum) in [
            ("over_black", &sample.over_black),
            ("over_white", &sample.over_white),
            ("black_card", &sample.black_card),
            ("white_card", &sample.white_card),
        ] {
            let percent = spectrum.map(|value| format!("{:.2}", value * 100.0));
            writeln!(self.text, "{name} = [{}]", percent.join(", ")).unwrap();
        }
    }

    /// The program's result.
    pub(crate) fn calibrated(self, prior: &Prior) -> PaintBox {
        let source = SourceText::new("paints.toml", self.text);
        let file = read_paints_file(&source).unwrap_or_else(|problems| panic!("{problems:?}"));
        calibrate_under(&file.value, prior).value
    }
}

/// K and S of one sample described in one way, with a prior learned without its series.
pub(crate) fn held_out_optics(sample: &Sample, source: Source) -> Optics {
    let paints = File::new(sample, source)
        .paint("paint", sample)
        .calibrated(&prior_without(&sample.series));
    paints.paints[0].optics.clone()
}
