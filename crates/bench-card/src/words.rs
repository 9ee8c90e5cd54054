//! The sentences of the card. What the trade knows is common practice, no source, unless it says otherwise.

use velatura_pipeline::figure::{SimulatedUndercoat, UndercoatKind};
use velatura_pipeline::optics::coat::{Coat, Where};
use velatura_pipeline::scheme::Varnish;
use velatura_report::words::place_phrase;

use crate::card::{BareWhere, Undercoating};

pub(crate) fn place(coat: &Coat) -> BareWhere {
    let leave_bare = match coat.place {
        Where::All => "",
        Where::Recesses => "leave the raised parts bare",
        Where::Raised => "leave the recesses bare",
        Where::Upper => "leave only the recesses bare",
        Where::Edges => "draw the side of the brush along them, and let the line end in a point",
    };
    BareWhere {
        paint: place_phrase(coat),
        leave_bare: leave_bare.to_owned(),
    }
}

pub(crate) fn pooling(coat: &Coat) -> String {
    // What stays out of the recesses does not run into them.
    if matches!(coat.place, Where::Raised | Where::Upper | Where::Edges) {
        return String::new();
    }
    let words = match coat.pooling {
        pooling if pooling <= 0.0 => "",
        pooling if pooling < 0.5 => "let a little of it run into the recesses",
        _ => "flood it on and let it run into the recesses",
    };
    words.to_owned()
}

/// The undercoat that a scheme wants, and how to lay it.
pub(crate) fn undercoating(
    undercoat: SimulatedUndercoat,
    photographed: UndercoatKind,
) -> Undercoating {
    const DARK: [&str; 3] = [
        "Prime black and matte, in several thin passes. Let the primer dry.",
        "Drybrush mid grey over all raised surfaces with a wide, soft brush.",
        "Drybrush white over edges and tops, with less and less paint.",
    ];
    const WASHED: [&str; 2] = [
        "Prime white and matte, in several thin passes. Let the primer dry.",
        "Brush a thin dark wash over everything, let it settle in the recesses, and let it dry.",
    ];
    const PLAIN: [&str; 1] = ["Prime white and matte, in several thin passes. Let the primer dry."];
    const AS_PHOTOGRAPHED: [&str; 1] =
        ["Prime the figure in one colour, as it is in the photo. Let the primer dry."];
    let (name, steps): (&str, &[&str]) = match (undercoat, photographed) {
        (SimulatedUndercoat::AsPhotographed, UndercoatKind::BlackToWhite)
        | (SimulatedUndercoat::BlackToWhite, _) => ("black to white", &DARK),
        (SimulatedUndercoat::AsPhotographed, UndercoatKind::WhiteWithWash)
        | (SimulatedUndercoat::WhiteWithWash, _) => ("white with a dark wash", &WASHED),
        (SimulatedUndercoat::PlainWhite, _) => ("plain white", &PLAIN),
        (SimulatedUndercoat::AsPhotographed, UndercoatKind::Plain) => {
            ("plain primer", &AS_PHOTOGRAPHED)
        }
    };
    Undercoating {
        name: name.to_owned(),
        steps: steps.iter().map(|step| (*step).to_owned()).collect(),
    }
}

pub(crate) const DRYING: &str = "Let each coat dry until its wet shine is gone, usually 10 to 20 minutes, before you paint on it or \
     next to it. A glaze that is still soft lifts off.";

/// How to correct a slip on this undercoat.
pub(crate) fn fix(undercoat: &Undercoating) -> String {
    format!(
        "Wipe a slip off at once with a clean, damp brush. If it has dried, cover the spot with the greys of the undercoat \
         ({}), let that dry, and glaze it again.",
        undercoat.name
    )
}

pub(crate) fn varnish(finish: Varnish) -> String {
    let (word, look) = match finish {
        Varnish::Matte => ("matte", "without any shine"),
        Varnish::Satin => ("satin", "with a soft shine"),
        Varnish::Gloss => ("gloss", "with a full shine and deeper colours"),
    };
    format!(
        "Let everything dry for a day, then varnish {word}, {look}. The times on the product come first."
    )
}
