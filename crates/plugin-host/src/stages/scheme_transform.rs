//! Scheme → scheme by a component.

use velatura_document::Diagnostic;
use velatura_pipeline::Parameters;
use velatura_pipeline::scheme::{Proposed, Scheme, schemes_text};
use velatura_pipeline::stage::{SchemeRequest, SchemeTransform, Stage, StageInfo};

use super::Said;
use super::given_schemes::given_schemes;
use super::paints::paint_words;
use crate::calls::scheme_transform::{Paint, Request, SchemeTransformCalls};
use crate::fault::Fault;
use crate::words::without_hidden;

pub(super) struct ComponentTransform {
    pub(super) said: Said,
    pub(super) calls: SchemeTransformCalls,
}

impl Stage for ComponentTransform {
    fn info(&self) -> StageInfo {
        self.said.info.clone()
    }
}

impl SchemeTransform for ComponentTransform {
    fn transform(
        &self,
        scheme: &Scheme,
        request: &SchemeRequest<'_>,
        parameters: &Parameters,
    ) -> Result<Scheme, Diagnostic> {
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
        let proposed = Proposed {
            scheme: scheme.clone(),
            remarks: Vec::new(),
            order: Vec::new(),
        };
        let before = schemes_text(&[proposed], request.paints, &[]);
        let after = self
            .calls
            .transform(&before, handed, &parameters.to_json())
            .map_err(|fault| self.said.source.diagnostic(&fault))?;
        let given = given_schemes(after, request, &self.said)
            .map_err(|problems| first_of(problems, &self.said))?;
        let found = match <[Scheme; 1]>::try_from(given.value) {
            Ok([changed]) if changed.name == scheme.name => {
                return Ok(Scheme {
                    // The user chooses the stages of a scheme, not another stage.
                    stages: scheme.stages.clone(),
                    ..changed
                });
            }
            Ok([changed]) => format!("it returned a scheme called \"{}\"", changed.name),
            Err(given) => format!("it returned {} schemes", given.len()),
        };
        Err(self.said.source.diagnostic(&Fault::Answer {
            found,
            expected: format!("one scheme called \"{}\"", without_hidden(&scheme.name)),
        }))
    }
}

/// The first error of a text; there is one message for a scheme.
fn first_of(problems: Vec<Diagnostic>, said: &Said) -> Diagnostic {
    problems
        .into_iter()
        .find(Diagnostic::is_error)
        .unwrap_or_else(|| {
            said.source.diagnostic(&Fault::Answer {
                found: "its text has no scheme".to_owned(),
                expected: "one scheme".to_owned(),
            })
        })
}
