//! Changed files with a measured undercoat.

use velatura_pipeline::optics::spectrum_file::read_spectrum_file;

use super::paints::read;
use crate::kit::base::example;
use crate::kit::case::Case;
use crate::kit::oracle::{self, finite};
use crate::kit::texts::changed;
use crate::kit::{Target, Verdict};

const FILE: &str = "spectrum.toml";

pub(crate) const TARGET: Target = Target {
    name: "spectrum",
    share: 50,
    make: |chance| Case::of("").file(FILE, changed(&example("spectrum"), &[], chance)),
    run,
};

fn run(case: &Case) -> Verdict {
    let Some(source) = read(case, FILE)? else {
        return Ok(());
    };
    match oracle::read(read_spectrum_file(&source))? {
        Some(surface) => finite("a reflectance", surface.reflectance),
        None => Ok(()),
    }
}
