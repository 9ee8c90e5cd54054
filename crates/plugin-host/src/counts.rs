//! How many parts a component has, before it is compiled. In: its sections. Out: an error if there are too many.
//!
//! Every part costs time and memory however small it is: 300,000 empty functions, 1.2 MB of file, take 14 seconds and 1.5 GB
//! to compile (measured). So each kind is counted over all modules, by the numbers that the sections state, before any part is read.

use std::collections::BTreeMap;

use wasmparser::Payload;

use crate::fault::Fault;
use crate::limits::Limits;

/// What was counted so far, by the word for it in messages.
#[derive(Debug, Default)]
pub(crate) struct Counts(BTreeMap<&'static str, usize>);

impl Counts {
    /// Counts what a section holds.
    ///
    /// # Errors
    /// There are more than the limits allow.
    pub(crate) fn take(&mut self, section: &Payload<'_>, limits: &Limits) -> Result<(), Fault> {
        let (what, count) = match section {
            Payload::FunctionSection(functions) => {
                return self.add("functions", functions.count(), limits.functions);
            }
            Payload::CodeSectionStart { size, .. } => {
                return self.add("bytes of code", *size, limits.code_bytes);
            }
            Payload::TypeSection(types) => ("types", types.count()),
            Payload::CoreTypeSection(types) => ("types", types.count()),
            Payload::ComponentTypeSection(types) => ("types", types.count()),
            Payload::ImportSection(imports) => ("imports", imports.count()),
            Payload::ExportSection(exports) => ("exports", exports.count()),
            Payload::ComponentExportSection(exports) => ("exports", exports.count()),
            Payload::GlobalSection(globals) => ("globals", globals.count()),
            Payload::TableSection(tables) => ("tables", tables.count()),
            Payload::MemorySection(memories) => ("memories", memories.count()),
            Payload::TagSection(tags) => ("tags", tags.count()),
            Payload::DataSection(segments) => ("data segments", segments.count()),
            Payload::ElementSection(segments) => ("element segments", segments.count()),
            Payload::InstanceSection(instances) => ("instances", instances.count()),
            Payload::ComponentInstanceSection(instances) => ("instances", instances.count()),
            Payload::ComponentCanonicalSection(functions) => {
                ("canonical functions", functions.count())
            }
            Payload::ComponentAliasSection(aliases) => ("aliases", aliases.count()),
            _ => return Ok(()),
        };
        self.add(what, count, limits.parts)
    }

    fn add(&mut self, what: &'static str, more: u32, limit: usize) -> Result<(), Fault> {
        let count = self.0.entry(what).or_default();
        *count = count.saturating_add(usize::try_from(more).unwrap_or(usize::MAX));
        at_most(what, *count, limit)
    }
}

/// An error if there are too many of something.
pub(crate) fn at_most(what: &'static str, count: usize, limit: usize) -> Result<(), Fault> {
    if count > limit {
        Err(Fault::TooMany { what, count, limit })
    } else {
        Ok(())
    }
}
