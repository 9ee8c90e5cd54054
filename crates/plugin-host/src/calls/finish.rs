//! Frame → frame. In: a band of one scheme's picture. Out: the same number of values, all in range.

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

/// Range of a finish's numbers: linear sRGB with room for out-of-gamut colours and glints.
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

    /// Changes `pixels`, four numbers each; `band` has an empty list in their place.
    ///
    /// # Errors
    /// Whatever stopped it, or an unusable answer; `pixels` may then be partly changed.
    pub(crate) fn apply(
        &self,
        scheme: Scheme<'_>,
        band: &Band<'_>,
        pixels: &mut [f32],
        parameters: &str,
    ) -> Result<(), Fault> {
        let handed = Handed::Pixels {
            pixels: band.region.len(),
            bytes: size_of_val(band.substrate)
                + size_of_val(band.relief)
                + size_of_val(band.light)
                + size_of_val(band.region)
                + size_of_val(pixels),
        };
        let answer = self
            .machine
            .call_that_may_refuse(&self.pre, handed, |instance, store| {
                let band = Band {
                    pixels: &*pixels,
                    ..band.clone()
                };
                instance
                    .velatura_stage_finish()
                    .call_apply(store, scheme, band, parameters)
            })?;
        if answer.len() == pixels.len() && taken(&answer, pixels) {
            return Ok(());
        }
        Err(fault(band, pixels, &answer))
    }
}

/// Copies the answer and returns whether it is usable: every number in range, none NaN, no bare pixel painted. A bare pixel
/// stays bare, so that [`fault`] can detect it.
fn taken(answer: &[f32], pixels: &mut [f32]) -> bool {
    let mut painted = false;
    for (pixel, answer) in pixels.chunks_exact_mut(4).zip(answer.chunks_exact(4)) {
        let bare = pixel[3] == 0.0;
        painted |= bare && answer[3] != 0.0;
        pixel.copy_from_slice(answer);
        if bare {
            pixel[3] = 0.0;
        }
    }
    !painted && in_range(answer)
}

/// Whether every number is in range and none is NaN.
///
/// The bits of two floats of one sign are in the order of their distances from 0, NaN last (IEEE 754-2019, 3.4). So the largest
/// whole number among the bits decides, and the compiler can vectorise the search.
fn in_range(numbers: &[f32]) -> bool {
    const SIGN: u32 = 1 << 31;
    let (mut above, mut below) = (0, 0);
    for number in numbers {
        let bits = number.to_bits();
        // Numbers of the other sign are below 0 here.
        above = above.max(bits.cast_signed());
        below = below.max((bits ^ SIGN).cast_signed());
    }
    above <= LARGEST.to_bits().cast_signed() && below <= (-SMALLEST).to_bits().cast_signed()
}

/// The fault in an answer that was not [`taken`].
fn fault(band: &Band<'_>, pixels: &[f32], answer: &[f32]) -> Fault {
    if answer.len() != pixels.len() {
        return Fault::Answer {
            found: format!("it returned {} numbers", grouped(answer.len() as u64)),
            expected: format!(
                "{}: four for each of the {} × {} pixels",
                grouped(pixels.len() as u64),
                grouped(band.width.into()),
                grouped(band.rows.into())
            ),
        };
    }
    let place = |pixel: usize| {
        let width = (band.width as usize).max(1);
        format!(
            "pixel {}, {} of the picture",
            grouped((pixel % width) as u64),
            grouped((pixel / width) as u64 + u64::from(band.first_row))
        )
    };
    let numbers = answer.iter().enumerate();
    let mut out_of_range = numbers.filter(|(_, number)| !(SMALLEST..=LARGEST).contains(*number));
    if let Some((at, number)) = out_of_range.next() {
        return Fault::Answer {
            found: format!("it returned {number} at {}", place(at / 4)),
            expected: format!("numbers from {SMALLEST} to {LARGEST}"),
        };
    }
    let pairs = pixels.chunks_exact(4).zip(answer.chunks_exact(4));
    let painted = pairs
        .take_while(|(pixel, answer)| pixel[3] != 0.0 || answer[3] == 0.0)
        .count();
    Fault::Answer {
        found: format!("it painted where there is no coat, at {}", place(painted)),
        expected: "a fourth number that stays 0 where it was 0".to_owned(),
    }
}
