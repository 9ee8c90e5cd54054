//! The words for undercoat, varnish, places and trust, in files and on pages.

use velatura_pipeline::figure::{SimulatedUndercoat, UndercoatKind};
use velatura_pipeline::optics::coat::{Coat, Where};
use velatura_pipeline::optics::paint::Basis;

/// The undercoat for people, with whether it is there or only simulated.
pub fn undercoat_phrase(
    undercoat: SimulatedUndercoat,
    photographed: UndercoatKind,
) -> &'static str {
    match (undercoat, photographed) {
        (SimulatedUndercoat::AsPhotographed, UndercoatKind::BlackToWhite) => {
            "black to white, as photographed"
        }
        (SimulatedUndercoat::AsPhotographed, UndercoatKind::WhiteWithWash) => {
            "white with wash, as photographed"
        }
        (SimulatedUndercoat::AsPhotographed, UndercoatKind::Plain) => {
            "plain primer, as photographed"
        }
        (SimulatedUndercoat::WhiteWithWash, _) => "white with wash, simulated",
        (SimulatedUndercoat::PlainWhite, _) => "plain white, simulated",
        (SimulatedUndercoat::BlackToWhite, _) => "black to white, simulated",
    }
}

/// Where a coat is.
pub fn place_phrase(coat: &Coat) -> String {
    match coat.place {
        Where::All => "all over".to_owned(),
        Where::Recesses => "recesses".to_owned(),
        Where::Raised => "raised parts".to_owned(),
        Where::Upper => "all but the recesses".to_owned(),
        Where::Edges => format!("edges, {} mm wide", coat.width_mm),
    }
}

/// How reliable a basis is.
pub fn trust_phrase(basis: Basis) -> &'static str {
    match basis {
        Basis::AsPhotographed => "no paint here",
        Basis::SpectrumTint => "measured spectra with a tint: most reliable",
        Basis::Spectrum => "measured spectra without a tint: mixtures are a guess",
        Basis::DrawdownTint => "a photographed drawdown with a tint: good",
        Basis::Drawdown => "a photographed drawdown without a tint: mixtures are a guess",
        Basis::ChipTint => "one colour with a tint: thinned, a guess; mixed, somewhat better",
        Basis::Chip => "one colour and how well it hides: thinned or mixed, a guess",
    }
}
