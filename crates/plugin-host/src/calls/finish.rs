//! Frame → frame. In: a band of one scheme's picture. Out: as many numbers, all in range.

use crate::engine::{Machine, typed};
use crate::fault::{Fault, grouped};
use crate::limits::Handed;
use crate::meter::Meter;

mod bindings {
    wasmtime::component::bindgen!({
        path: "wit",
        inline: "package velatura:host; world finishing { export velatura:stage/finish@0.1.0; }",
        world: "velatura:host/finishing",
        ownership: Borrowing { duplicate_if_necessary: true },
    });
}
pub(crate) use bindings::exports::velatura::stage::finish::{Band, Scheme};
use bindings::{Finishing, FinishingPre};

typed!(FinishingPre, Finishing);

/// What a finish may give: linear sRGB with room for out-of-gamut colours and glints.
const SMALLEST: f32 = -1.0;
const LARGEST: f32 = 1000.0;

/// A finish that can be called.
pub(crate) struct FinishCalls {
    machine: Machine,
    pre: FinishingPre<Meter>,
}

impl FinishCalls {
    /// Looks its function up.
    ///
    /// # Errors
    /// It is missing or of another type.
    pub(crate) fn new(machine: &Machine) -> Result<Self, Fault> {
        Ok(Self {
            pre: machine.typed()?,
            machine: machine.clone(),
        })
    }

    /// The band's pixels, changed: four numbers each.
    ///
    /// # Errors
    /// Whatever stopped it, or an answer that cannot be used.
    pub(crate) fn apply(
        &self,
        scheme: Scheme<'_>,
        band: Band<'_>,
        parameters: &str,
    ) -> Result<Vec<f32>, Fault> {
        let handed = Handed::Pixels {
            pixels: band.region.len(),
            bytes: size_of_val(band.substrate)
                + size_of_val(band.relief)
                + size_of_val(band.light)
                + size_of_val(band.region)
                + size_of_val(band.pixels),
        };
        let answer = self
            .machine
            .call_that_may_refuse(&self.pre, handed, |instance, store| {
                instance
                    .velatura_stage_finish()
                    .call_apply(store, scheme, band.clone(), parameters)
            })?;
        check(&band, &answer)?;
        Ok(answer)
    }
}

fn check(band: &Band<'_>, answer: &[f32]) -> Result<(), Fault> {
    if answer.len() != band.pixels.len() {
        return Err(Fault::Answer {
            found: format!("it gave {} numbers", grouped(answer.len() as u64)),
            expected: format!(
                "{}: four for each of {} × {} pixels",
                grouped(band.pixels.len() as u64),
                grouped(band.width.into()),
                grouped(band.rows.into())
            ),
        });
    }
    let place = |number: usize| {
        let (pixel, width) = (number / 4, (band.width as usize).max(1));
        format!(
            "pixel {}, {} of the picture",
            grouped((pixel % width) as u64),
            grouped((pixel / width) as u64 + u64::from(band.first_row))
        )
    };
    // `contains` is false for NaN.
    if let Some(number) = answer
        .iter()
        .position(|number| !(SMALLEST..=LARGEST).contains(number))
    {
        return Err(Fault::Answer {
            found: format!("it gave {} at {}", answer[number], place(number)),
            expected: format!("numbers from {SMALLEST} to {LARGEST}"),
        });
    }
    let bare_painted = |(before, after): (&[f32], &[f32])| before[3] == 0.0 && after[3] != 0.0;
    if let Some(pixel) = band
        .pixels
        .chunks_exact(4)
        .zip(answer.chunks_exact(4))
        .position(bare_painted)
    {
        return Err(Fault::Answer {
            found: format!("it painted where no coat lies, at {}", place(4 * pixel)),
            expected: "a fourth number that stays 0 where it was 0".to_owned(),
        });
    }
    Ok(())
}
