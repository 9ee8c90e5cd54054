//! The measured paints, and paints made from them through the files that a user would write.

use velatura_optics::calibrate::calibrate;
use velatura_optics::colour::Encoded;
use velatura_optics::document::SourceText;
use velatura_optics::paint::Optics;
use velatura_optics::paints_file::read_paints_file;
use velatura_optics::spectrum::{BANDS, Spectrum, colour};
use velatura_tests::{number, table};

/// One film over both cards, reflectance 0…1, surface reflection included.
#[derive(Debug, Clone)]
pub(crate) struct Sample {
    pub(crate) id: String,
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

    /// The 8-bit code of a spectrum.
    pub(crate) fn code(&self, spectrum: &Spectrum) -> Encoded {
        colour(spectrum).encoded()
    }
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
            Sample {
                id: four[0]["id"].clone(),
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

/// K and S from the sample's two codes and its cards' codes alone.
pub(crate) fn drawdown_paint(sample: &Sample) -> Optics {
    let code = |spectrum| sample.code(spectrum);
    optics(&format!(
        "[cards]\nblack = \"{}\"\nwhite = \"{}\"\nspecular = \"included\"\n\
         [[paint]]\nname = \"{}\"\nover_black = \"{}\"\nover_white = \"{}\"\n",
        code(&sample.black_card),
        code(&sample.white_card),
        sample.id,
        code(&sample.over_black),
        code(&sample.over_white)
    ))
}

/// K and S from the sample's spectra.
pub(crate) fn spectrum_paint(sample: &Sample) -> Optics {
    let list = |spectrum: &Spectrum| {
        let values: Vec<String> = spectrum
            .iter()
            .map(|value| format!("{:.2}", value * 100.0))
            .collect();
        format!("[{}]", values.join(", "))
    };
    assert_eq!(sample.over_black.len(), BANDS);
    optics(&format!(
        "[cards]\nblack = \"#3f3f3f\"\nwhite = \"#eeeeea\"\n[[paint]]\nname = \"{}\"\n[paint.spectrum]\n\
         start_nm = 400\nstep_nm = 10\nspecular = \"included\"\n\
         over_black = {}\nover_white = {}\nblack_card = {}\nwhite_card = {}\n",
        sample.id,
        list(&sample.over_black),
        list(&sample.over_white),
        list(&sample.black_card),
        list(&sample.white_card)
    ))
}

fn optics(text: &str) -> Optics {
    let text = format!("format = \"velatura-paints/1\"\n{text}");
    let source = SourceText {
        name: "paints.toml".to_owned(),
        text,
    };
    let (file, problems) = read_paints_file(&source);
    let file = file.unwrap_or_else(|| panic!("{problems:?}"));
    calibrate(&file).0.paints[0].optics.clone()
}
