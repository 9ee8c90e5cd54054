//! Underpainting → underpainting. In: the figure as Velatura split it. Out: planes of the same size, light unit in range.

use crate::engine::{Machine, typed};
use crate::fault::{Fault, grouped};
use crate::limits::Handed;
use crate::meter::Meter;

mod bindings {
    wasmtime::component::bindgen!({
        path: "wit",
        inline: "package velatura:host; world grounding { export velatura:stage/ground@0.1.0; }",
        world: "velatura:host/grounding",
        ownership: Borrowing { duplicate_if_necessary: true },
    });
}
pub(crate) use bindings::exports::velatura::stage::ground::{Figure, PlanesParam, PlanesResult};
use bindings::{Grounding, GroundingPre};

typed!(GroundingPre, Grounding);

/// A ground that can be called.
pub(crate) struct GroundCalls {
    machine: Machine,
    pre: GroundingPre<Meter>,
}

impl GroundCalls {
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

    /// The figure's planes as the component splits them.
    ///
    /// # Errors
    /// Whatever stopped it, or an unusable answer.
    pub(crate) fn underpainting(
        &self,
        figure: Figure<'_>,
        parameters: &str,
    ) -> Result<PlanesResult, Fault> {
        let planes = &figure.planes;
        let handed = Handed::Pixels {
            pixels: figure.region.len(),
            bytes: size_of_val(planes.substrate)
                + size_of_val(planes.light)
                + size_of_val(planes.relief)
                + size_of_val(figure.region),
        };
        let answer = self
            .machine
            .call_that_may_refuse(&self.pre, handed, |instance, store| {
                instance.velatura_stage_ground().call_underpainting(
                    store,
                    figure.clone(),
                    parameters,
                )
            })?;
        check(&figure, &answer)?;
        Ok(answer)
    }
}

fn check(figure: &Figure<'_>, answer: &PlanesResult) -> Result<(), Fault> {
    for (name, plane) in [
        ("substrate", &answer.substrate),
        ("light", &answer.light),
        ("relief", &answer.relief),
    ] {
        if plane.len() != figure.region.len() {
            return Err(Fault::Answer {
                found: format!(
                    "its plane `{name}` has {} pixels",
                    grouped(plane.len() as u64)
                ),
                expected: format!(
                    "{}: {} × {}",
                    grouped(figure.region.len() as u64),
                    grouped(figure.width.into()),
                    grouped(figure.rows.into())
                ),
            });
        }
    }
    if !(answer.light_unit > 0.0 && answer.light_unit <= 1.0) {
        return Err(Fault::Answer {
            found: format!("its `light-unit` is {}", answer.light_unit),
            expected: "more than 0, at most 1".to_owned(),
        });
    }
    Ok(())
}
