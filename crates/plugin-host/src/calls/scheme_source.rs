//! Figure and paints → schemes. In: the regions and the paints. Out: the text of a schemes file, not yet read.

use crate::calls::checked_text;
use crate::engine::{Machine, typed};
use crate::fault::Fault;
use crate::limits::Handed;
use crate::meter::Meter;

mod bindings {
    wasmtime::component::bindgen!({
        path: "wit",
        inline: "package velatura:host; world proposing { export velatura:stage/scheme-source@0.1.0; }",
        world: "velatura:host/proposing",
        ownership: Borrowing { duplicate_if_necessary: true },
    });
}
pub(crate) use bindings::exports::velatura::stage::scheme_source::{Paint, Request};
use bindings::{Proposing, ProposingPre};

typed!(ProposingPre, Proposing);

/// A scheme source that can be called.
pub(crate) struct SchemeSourceCalls {
    machine: Machine,
    pre: ProposingPre<Meter>,
}

impl SchemeSourceCalls {
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

    /// The text of a schemes file.
    ///
    /// # Errors
    /// Whatever stopped it, or an unusable answer.
    pub(crate) fn schemes(&self, request: Request<'_>, parameters: &str) -> Result<String, Fault> {
        let handed = Handed::Text {
            bytes: request_bytes(&request) + parameters.len(),
        };
        let text = self
            .machine
            .call_that_may_refuse(&self.pre, handed, |instance, store| {
                instance
                    .velatura_stage_scheme_source()
                    .call_schemes(store, request, parameters)
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
