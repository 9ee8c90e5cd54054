//! The parts of `report.json` about a scheme and about the undercoat.

use velatura_pipeline::RegionSums;
use velatura_pipeline::figure::UndercoatPoints;
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::optics::colour::{Linear, luminance};
use velatura_pipeline::scheme::{
    FigureGround, Scheme, UNDERCOATS, VARNISHES, painting_order, spills, word_for,
};
use velatura_report::{
    Hundredths, LabMean, Ratio, RegionReport, SchemeReport, SpillReport, UndercoatReport,
};

/// One scheme; `sums` are those of its preview, or of its picture on the sheet, `paints` those of its mixes.
pub(crate) fn scheme_report(
    scheme: &Scheme,
    finishes: Vec<String>,
    ground: &FigureGround,
    sums: &RegionSums,
    paints: &PaintBox,
    preview: Option<String>,
) -> SchemeReport {
    let name = |region: usize| scheme.regions[region].region.clone();
    let spills = spills(scheme, ground).into_iter().map(|spill| SpillReport {
        from: name(spill.from),
        onto: name(spill.onto),
        delta_e: Hundredths(spill.delta_e),
    });
    let regions = scheme
        .regions
        .iter()
        .enumerate()
        .map(|(index, stack)| {
            let mean = sums.mean(index).unwrap_or_default();
            RegionReport {
                name: stack.region.clone(),
                pixels: sums.pixels(index),
                mean_srgb: mean.encoded(),
                dried_srgb: stack.chip(paints).map(Linear::encoded),
                mean_lab: LabMean(mean.lab().0),
                luminance: Ratio(luminance(mean)),
                basis: stack.trust.basis.to_string(),
                estimated_error: Hundredths(stack.trust.delta_e),
            }
        })
        .collect();
    SchemeReport {
        name: scheme.name.clone(),
        team: scheme.team.clone(),
        undercoat: word_for(&UNDERCOATS, &scheme.undercoat).to_owned(),
        finish: word_for(&VARNISHES, &scheme.finish).to_owned(),
        finishes,
        glint_not_shown: scheme
            .metallic_paints(paints)
            .into_iter()
            .map(str::to_owned)
            .collect(),
        preview,
        regions,
        order: painting_order(scheme, ground)
            .into_iter()
            .map(name)
            .collect(),
        spills: spills.collect(),
    }
}

/// The numbers that divide tone into paint and light.
pub(crate) fn undercoat_report(points: &UndercoatPoints) -> UndercoatReport {
    let grey = |value| Linear::grey(value).encoded();
    UndercoatReport {
        black: points.black.map(grey),
        white: points.white.map(grey),
        light_share: points.light_share.map(Ratio),
    }
}
