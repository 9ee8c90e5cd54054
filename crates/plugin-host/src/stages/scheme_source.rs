//! Figure and paints → schemes by a component.

use velatura_document::{Diagnostic, Warned};
use velatura_pipeline::Parameters;
use velatura_pipeline::scheme::Scheme;
use velatura_pipeline::stage::{SchemeRequest, SchemeSource, Stage, StageInfo};

use super::Said;
use super::given_schemes::given_schemes;
use super::paints::paint_words;
use crate::calls::scheme_source::{Paint, Request, SchemeSourceCalls};

pub(super) struct ComponentSource {
    pub(super) said: Said,
    pub(super) calls: SchemeSourceCalls,
}

impl Stage for ComponentSource {
    fn info(&self) -> StageInfo {
        self.said.info.clone()
    }
}

impl SchemeSource for ComponentSource {
    fn schemes(
        &self,
        request: &SchemeRequest<'_>,
        parameters: &Parameters,
    ) -> Result<Warned<Vec<Scheme>>, Vec<Diagnostic>> {
        let regions: Vec<&str> = request.regions.iter().map(String::as_str).collect();
        let paints: Vec<Paint<'_>> = paint_words(request.paints)
            .map(|paint| Paint {
                name: paint.name,
                owned: paint.owned,
                over_black: paint.over_black,
                over_white: paint.over_white,
            })
            .collect();
        let handed = Request {
            figure_name: request.figure_name,
            regions: &regions,
            paints: &paints,
        };
        let text = self
            .calls
            .schemes(handed, &parameters.to_json())
            .map_err(|fault| vec![self.said.source.diagnostic(&fault)])?;
        given_schemes(text, request, &self.said)
    }
}
