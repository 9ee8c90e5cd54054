//! Messages about a mask.

use velatura_document::Diagnostic;
use velatura_optics::colour::Encoded;

use velatura_document::counted;
use velatura_photo::flat::{MASK_TOLERANCE, distance};

use super::{BlendedEdges, Findings};
use crate::figure_file::{FigureFile, RegionEntry, named_in};

/// A colour this near a region's, in codes per channel, was probably meant to be it (invented; regions should be 30
/// codes apart).
const PROBABLY_MEANT: u8 = 12;

/// Colours on fewer pixels than one in so many are specks.
const SPECKS: usize = 1000;

/// For a region without any pixel, colours this near are still worth naming.
const WORTH_NAMING: u8 = 48;

/// No region has a pixel.
pub(super) fn all_empty(name: &str, figure: &FigureFile, findings: &Findings) -> Diagnostic {
    let colours: Vec<String> = figure
        .regions
        .iter()
        .take(4)
        .map(|region| region.mask_colour.value.to_string())
        .collect();
    let more = if figure.regions.len() > colours.len() {
        ", …"
    } else {
        ""
    };
    let help = match findings.strangers.as_slice() {
        [] => "is this the right file? it is completely black, white or transparent".to_owned(),
        [(colour, count), ..] => format!(
            "is this the right file? its most common other colour is {colour} ({})",
            counted(*count, "pixel")
        ),
    };
    Diagnostic::error(name, "no region has a pixel in this mask")
        .expected(format!(
            "flat areas of the regions' colours, to within {MASK_TOLERANCE} code values: {}{more}",
            colours.join(", ")
        ))
        .help(help)
}

/// Everything that could be better.
pub(super) fn warnings(
    name: &str,
    figure: &FigureFile,
    findings: &Findings,
    edges: BlendedEdges,
) -> Vec<Diagnostic> {
    let within = || named_in(figure, &figure.mask.at, "mask");
    let mut warnings = Vec::new();
    for (region, pixels) in figure.regions.iter().zip(&findings.pixels[1..]) {
        if *pixels == 0 {
            warnings.push(empty_region(name, figure, region, findings));
            continue;
        }
        let (pixels, commonest) = near(findings, region.mask_colour.value, PROBABLY_MEANT);
        if let Some(colour) = commonest {
            let found = format!(
                "{} in a colour close to {} of region \"{}\", mostly {colour}",
                counted(pixels, "pixel"),
                region.mask_colour.value,
                region.name.value
            );
            warnings.push(
                Diagnostic::warning(name, found)
                    .within(within())
                    .expected(format!(
                        "{} to within {MASK_TOLERANCE} code values",
                        region.mask_colour.value
                    ))
                    .help("they count as background; save the mask as PNG, with flat colours"),
            );
        }
    }
    warnings.extend(unnamed(name, figure, findings).map(|one| one.within(within())));
    if findings.blended > 0 {
        let first = findings
            .first_blended
            .map_or(String::new(), |(x, y)| format!(", the first at ({x}, {y})"));
        let went = match edges {
            BlendedEdges::NearerColour => "each counts as the closer of its two colours",
            BlendedEdges::Background => "they count as background",
        };
        let found = format!(
            "the edges are blended: {}{first}",
            counted(findings.blended, "pixel")
        );
        warnings.push(
            Diagnostic::warning(name, found)
                .within(within())
                .expected("flat colours with hard edges")
                .help(format!(
                    "{went}; to decide them yourself, save the mask without smoothing"
                )),
        );
    }
    warnings
}

/// Colours that cover more than specks of the mask, but belong to no region and are not the background's.
fn unnamed(name: &str, figure: &FigureFile, findings: &Findings) -> Option<Diagnostic> {
    let all: usize = findings.pixels.iter().sum();
    let least = all / SPECKS;
    let near_a_region = |colour: Encoded| {
        let mut regions = figure.regions.iter();
        regions.any(|region| distance(region.mask_colour.value, colour) <= PROBABLY_MEANT)
    };
    let others: Vec<(Encoded, usize)> = findings
        .strangers
        .iter()
        .copied()
        .filter(|(colour, count)| *count > least && !near_a_region(*colour))
        // Black and white are not among the strangers. The background may also be whatever covers a quarter of the picture.
        .filter(|(colour, count)| {
            distance(*colour, Encoded([0; 3])) > MASK_TOLERANCE && *count < all / 4
        })
        .collect();
    let listed: Vec<String> = others
        .iter()
        .take(8)
        .map(|(colour, count)| format!("{colour} ({})", counted(*count, "pixel")))
        .collect();
    (!listed.is_empty()).then(|| {
        let found = format!("no region has the colour {}", listed.join(", "));
        Diagnostic::warning(name, found)
            .expected("black, white or transparent background, and the mask colour of a region everywhere else")
            .help("add a [[region]] for each part that should get paint; what has no region stays as photographed")
    })
}

fn empty_region(
    name: &str,
    figure: &FigureFile,
    region: &RegionEntry,
    findings: &Findings,
) -> Diagnostic {
    let colour = region.mask_colour.value;
    let (pixels, nearest) = near(findings, colour, WORTH_NAMING);
    let help = match nearest {
        Some(nearest) => format!(
            "the closest colour there is {nearest} ({} near it)",
            counted(pixels, "pixel")
        ),
        None => "paint it, or ignore this if the part is hidden in this view".to_owned(),
    };
    figure
        .source
        .error_at(
            &region.mask_colour.at,
            format!("region \"{}\" has no pixel in {name}", region.name.value),
        )
        .as_warning()
        .expected(format!(
            "pixels of {colour}, to within {MASK_TOLERANCE} code values"
        ))
        .help(help)
}

/// Pixels of colours near this one that belong to no region, and the most common of those colours.
fn near(findings: &Findings, colour: Encoded, within: u8) -> (usize, Option<Encoded>) {
    let near = || {
        findings
            .strangers
            .iter()
            .filter(|(other, _)| distance(*other, colour) <= within)
    };
    (
        near().map(|(_, count)| count).sum(),
        near().next().map(|(other, _)| *other),
    )
}
