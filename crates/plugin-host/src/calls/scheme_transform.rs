//! Scheme → scheme. In: the text of a schemes file with one scheme, the regions and the paints. Out: such a text, not yet
//! read.

use crate::calls::checked_text;
use crate::engine::{Machine, typed};
use crate::fault::Fault;
use crate::limits::Handed;
use crate::meter::Meter;

mod bindings {
    wasmtime::component::bindgen!({
        path: "wit",
        inline: "package velatura:host; world altering { export velatura:stage/scheme-transform@0.1.0; }",
        world: "velatura:host/altering",
        ownership: Borrowing { duplicate_if_necessary: true },
    });
}
pub(crate) use bindings::exports::velatura::stage::scheme_transform::{Paint, Request};
use bindings::{Altering, AlteringPre};

typed!(AlteringPre, Altering);

/// A scheme transform that can be called.
pub(crate) struct SchemeTransformCalls {
    machine: Machine,
    pre: AlteringPre<Meter>,
}

impl SchemeTransformCalls {
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

    /// The text of a schemes file with the scheme, changed.
    ///
    /// # Errors
    /// Whatever stopped it, or an unusable answer.
    pub(crate) fn transform(
        &self,
        scheme: &str,
        request: Request<'_>,
        parameters: &str,
    ) -> Result<String, Fault> {
        let handed = Handed::Text {
            bytes: scheme.len() + request_bytes(&request) + parameters.len(),
        };
        let text = self
            .machine
            .call_that_may_refuse(&self.pre, handed, |instance, store| {
                instance
                    .velatura_stage_scheme_transform()
                    .call_transform(store, scheme, request, parameters)
            })?;
        checked_text(text, self.machine.limits())
    }
}

/// Bytes of all its names, and of the numbers of each paint.
fn request_bytes(request: &Request<'_>) -> usize {
    let regions: usize = request.regions.iter().map(|name| name.len()).sum();
    let paints: usize = request
        .paints
        .iter()
        .map(|paint| paint.name.len() + 7)
        .sum();
    request.figure_name.len() + regions + paints
}
