//! Finishes and coat models with one thing wrong.

use std::sync::OnceLock;

use velatura_conformance::Check;
use velatura_document::Diagnostic;
use velatura_pipeline::figure::UndercoatPoints;
use velatura_pipeline::optics::calibrate::PaintBox;
use velatura_pipeline::optics::table::ColourTable;
use velatura_pipeline::scheme::{RegionStack, Scheme};
use velatura_pipeline::shaders::finish::Params;
use velatura_pipeline::stage::{AttachPoint, CoatModel, Finish, FrameBand, Stage, StageInfo};
use velatura_pipeline::{AnyStage, Parameters, kubelka_munk_table};

use crate::broken::{Broken, Made, another, info, of_thread};

impl<F: Fn(&mut FrameBand<'_>) -> Result<(), Diagnostic> + Send + Sync> Finish for Made<F> {
    fn finish(
        &self,
        _: &Scheme,
        band: &mut FrameBand<'_>,
        _: &Parameters,
    ) -> Result<(), Diagnostic> {
        (self.work)(band)
    }
}

impl<F: Fn(Option<ColourTable>) -> Option<ColourTable> + Send + Sync> CoatModel for Made<F> {
    fn table(
        &self,
        scheme: &Scheme,
        stack: &RegionStack,
        points: &UndercoatPoints,
        paints: &PaintBox,
        lamp: [f64; 3],
        _: &Parameters,
    ) -> Option<ColourTable> {
        (self.work)(kubelka_munk_table(scheme, stack, points, paints, lamp))
    }
}

/// Claims to equal the gloss kernel, and does nothing.
struct FalseGloss;

impl Stage for FalseGloss {
    fn info(&self) -> StageInfo {
        info(AttachPoint::Finish)
    }
}

impl Finish for FalseGloss {
    fn finish(&self, _: &Scheme, _: &mut FrameBand<'_>, _: &Parameters) -> Result<(), Diagnostic> {
        Ok(())
    }

    fn kernel(&self, _: &Scheme, _: &Parameters) -> Option<Params> {
        Some(Params::GLOSS)
    }
}

/// Applies to no scheme.
struct Idle;

impl Stage for Idle {
    fn info(&self) -> StageInfo {
        info(AttachPoint::Finish)
    }
}

impl Finish for Idle {
    fn applies(&self, _: &Scheme) -> bool {
        false
    }

    fn finish(&self, _: &Scheme, _: &mut FrameBand<'_>, _: &Parameters) -> Result<(), Diagnostic> {
        Ok(())
    }
}

fn finish_of(
    info: StageInfo,
    work: impl Fn(&mut FrameBand<'_>) -> Result<(), Diagnostic> + Send + Sync + 'static,
) -> AnyStage {
    AnyStage::Finish(Box::new(Made { info, work }))
}

/// A finish that changes painted pixels one by one, from the band and the pixel's number in it.
fn each(work: impl Fn(&FrameBand<'_>, usize) -> f32 + Send + Sync + 'static) -> AnyStage {
    finish_of(info(AttachPoint::Finish), move |band| {
        for at in 0..band.pixels.len() {
            if band.pixels[at][3] > 0.0 {
                let red = work(band, at);
                band.pixels[at][0] = red;
            }
        }
        Ok(())
    })
}

/// Reads relief from the row above: it needs one pixel around.
fn drips(reach_px: u32) -> AnyStage {
    finish_of(info(AttachPoint::Finish).with_reach_px(reach_px), |band| {
        for at in band.width..band.pixels.len() {
            let above = f32::from(band.planes.relief[at - band.width]) / 65535.0;
            band.pixels[at][0] *= above;
        }
        Ok(())
    })
}

fn model(
    work: impl Fn(Option<ColourTable>) -> Option<ColourTable> + Send + Sync + 'static,
) -> AnyStage {
    AnyStage::CoatModel(Box::new(Made {
        info: info(AttachPoint::CoatModel),
        work,
    }))
}

fn bare_table() -> ColourTable {
    ColourTable {
        substrate_steps: 1,
        relief_steps: 1,
        entries: vec![[0.5, 0.5, 0.5, 0.0]],
        error: 0.0,
        bounce: 0.0,
    }
}

pub(crate) fn sound() -> Vec<(&'static str, AnyStage)> {
    vec![
        ("half the red", each(|band, at| band.pixels[at][0] / 2.0)),
        ("drips with its reach", drips(1)),
        ("a model as it is", model(|table| table)),
    ]
}

/// A different result every time, and declared so.
pub(crate) fn not_deterministic() -> AnyStage {
    let info = StageInfo {
        deterministic: false,
        ..info(AttachPoint::Finish)
    };
    finish_of(info, |band| {
        for pixel in band.pixels.iter_mut().filter(|pixel| pixel[3] > 0.0) {
            pixel[0] = another();
        }
        Ok(())
    })
}

pub(crate) fn cases() -> Vec<Broken> {
    let first = OnceLock::new();
    let end = |code: u16| code == 0 || code == u16::MAX;
    let refuses = finish_of(info(AttachPoint::Finish), |_| {
        Err(Diagnostic::error("", "no oil is left"))
    });
    let paints_all = finish_of(info(AttachPoint::Finish), |band| {
        band.pixels.iter_mut().for_each(|pixel| pixel[3] = 1.0);
        Ok(())
    });
    let mut broken = vec![
        Broken::new("an error", Check::Works, refuses),
        Broken::new("a panic", Check::Works, each(|_, _| panic!("no wick"))),
        Broken::new(
            "nothing to do",
            Check::Works,
            AnyStage::Finish(Box::new(Idle)),
        ),
        Broken::new("other every time", Check::SameAgain, each(|_, _| another())),
        Broken::new(
            "other on other threads",
            Check::ManyThreads,
            each(move |_, _| of_thread(&first)),
        ),
        Broken::new(
            "a third pixel is always there",
            Check::OddSizes,
            each(|band, _| band.pixels[2][0].min(1.0) * 0.0),
        ),
        Broken::new(
            "counts rows from the band's first",
            Check::Banding,
            each(|band, at| {
                1e-3 * f32::from(u8::try_from(at / band.width).expect("a small number"))
            }),
        ),
        Broken::new("drips beyond its reach", Check::Banding, drips(0)),
        Broken::new(
            "no number on middling greys",
            Check::Numbers,
            each(move |band, at| {
                if end(band.planes.substrate[at]) {
                    0.0
                } else {
                    f32::NAN
                }
            }),
        ),
        Broken::new(
            "too bright on middling greys",
            Check::Numbers,
            each(move |band, at| {
                if end(band.planes.substrate[at]) {
                    0.0
                } else {
                    1001.0
                }
            }),
        ),
        Broken::new(
            "divides by the light",
            Check::Extremes,
            each(|band, at| {
                let light = f32::from(band.planes.light[at]) * band.planes.light_unit;
                (band.pixels[at][0] / light).clamp(0.0, 1.0)
            }),
        ),
        Broken::new("paints the backdrop", Check::BareStaysBare, paints_all),
        Broken::new(
            "another kernel",
            Check::KernelAgrees,
            AnyStage::Finish(Box::new(FalseGloss)),
        ),
    ];
    broken.extend([
        Broken::new(
            "a table where no coat lies",
            Check::BareStaysBare,
            model(|table| Some(table.unwrap_or_else(bare_table))),
        ),
        Broken::new("no table anywhere", Check::BareStaysBare, model(|_| None)),
        Broken::new(
            "an entry too few",
            Check::Sizes,
            model(|table| {
                table.map(|mut table| {
                    table.entries.pop();
                    table
                })
            }),
        ),
        Broken::new(
            "light without end",
            Check::Numbers,
            model(|table| {
                table.map(|mut table| {
                    table.entries[0][1] = f32::INFINITY;
                    table
                })
            }),
        ),
        Broken::new(
            "another table every time",
            Check::SameAgain,
            model(|table| {
                table.map(|mut table| {
                    table.entries[0][1] = another();
                    table
                })
            }),
        ),
    ]);
    broken
}
