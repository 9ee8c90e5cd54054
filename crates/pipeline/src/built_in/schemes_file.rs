//! Schemes as written in `schemes.toml`: the work is `velatura-scheme`'s.

use velatura_optics::diagnostic::Diagnostic;
use velatura_scheme::{Scheme, read_schemes_file, resolve};

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
    ) -> Result<(Vec<Scheme>, Vec<Diagnostic>), Vec<Diagnostic>> {
        let Some(source) = request.source else {
            return Ok((Vec::new(), Vec::new()));
        };
        let (file, problems) = read_schemes_file(source);
        let file = file.ok_or_else(|| problems.clone())?;
        let schemes = resolve(
            &file,
            request.regions,
            request.figure_name,
            request.paints,
            request.paints_name,
        )?;
        Ok((schemes, problems))
    }
}
