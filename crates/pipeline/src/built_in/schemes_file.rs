//! Schemes as written in `schemes.toml`: `velatura-scheme` does the work.

use velatura_document::{Diagnostic, Warned};
use velatura_scheme::Scheme;

use super::info;
use crate::parameters::Parameters;
use crate::stage::{AttachPoint, SchemeRequest, SchemeSource, Stage, StageInfo};

/// Reads `schemes.toml`.
#[derive(Debug)]
pub(super) struct SchemesFileSource;

impl Stage for SchemesFileSource {
    fn info(&self) -> StageInfo {
        info(
            AttachPoint::SchemeSource,
            "schemes-file",
            "schemes.toml, regions, paints",
            "schemes",
        )
    }
}

impl SchemeSource for SchemesFileSource {
    fn schemes(
        &self,
        request: &SchemeRequest<'_>,
        _: &Parameters,
    ) -> Result<Warned<Vec<Scheme>>, Vec<Diagnostic>> {
        let Some(source) = request.source else {
            return Ok(Vec::new().into());
        };
        request.read_source(source)
    }
}
