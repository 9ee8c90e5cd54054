//! Descriptions of stages with one error each.

use std::sync::atomic::{AtomicU32, Ordering};

use velatura_conformance::Check;
use velatura_document::Diagnostic;
use velatura_pipeline::serde_json::{Value, json};
use velatura_pipeline::stage::{AttachPoint, SheetText, Stage, StageInfo, TextKind};
use velatura_pipeline::{AnyStage, Parameters};

use crate::broken::{Broken, info};

struct Says<F>(F);

impl<F: Fn() -> StageInfo + Send + Sync> Stage for Says<F> {
    fn info(&self) -> StageInfo {
        self.0()
    }
}

impl<F: Fn() -> StageInfo + Send + Sync> SheetText for Says<F> {
    fn kind(&self) -> TextKind {
        TextKind::Txt
    }

    fn text(&self, _: &str, _: &Parameters) -> Result<String, Diagnostic> {
        Ok("oil, wick, matches".to_owned())
    }
}

fn says(info: impl Fn() -> StageInfo + Send + Sync + 'static) -> AnyStage {
    AnyStage::SheetText(Box::new(Says(info)))
}

fn sound() -> StageInfo {
    info(AttachPoint::SheetText)
}

/// A stage whose parameter has no default, and a value for it.
pub(crate) fn with_parameter() -> (AnyStage, Parameters) {
    let schema = json!({
        "type": "object",
        "properties": { "oil": { "type": "number" } },
        "required": ["oil"]
    });
    let stage = says(move || sound().with_parameters(schema.clone()));
    let values = [("oil".to_owned(), json!(2))];
    (stage, Parameters(values.into_iter().collect()))
}

pub(crate) fn cases() -> Vec<Broken> {
    let asked = AtomicU32::new(0);
    let another_version = move || StageInfo {
        version: asked.fetch_add(1, Ordering::Relaxed).to_string(),
        ..sound()
    };
    let named = |name: &str| {
        let name = name.to_owned();
        says(move || StageInfo {
            name: name.clone(),
            ..sound()
        })
    };
    let with_schema = |schema: Value| says(move || sound().with_parameters(schema.clone()));
    vec![
        Broken::new(
            "a new version every time",
            Check::SameInfo,
            says(another_version),
        ),
        Broken::new(
            "no saying at all",
            Check::SameInfo,
            says(|| panic!("asleep")),
        ),
        Broken::new("a capital", Check::Name, named("Lamp-oil")),
        Broken::new("a digit first", Check::Name, named("1-lamp")),
        Broken::new("41 characters", Check::Name, named(&"a".repeat(41))),
        Broken::new(
            "nothing taken",
            Check::Words,
            says(|| sound().with_words("", "a list")),
        ),
        Broken::new(
            "two lines",
            Check::Words,
            says(|| sound().with_words("a", "b\nc")),
        ),
        Broken::new(
            "a long story",
            Check::Words,
            says(|| sound().with_words("a", "b".repeat(301))),
        ),
        Broken::new(
            "a schema of a text",
            Check::Schema,
            with_schema(json!({"type": "string"})),
        ),
        Broken::new(
            "a default that is not allowed",
            Check::Schema,
            with_schema(json!({
                "type": "object",
                "properties": { "oil": { "type": "number", "default": "much" } }
            })),
        ),
        Broken::new(
            "a parameter that nobody gives",
            Check::Defaults,
            with_parameter().0,
        ),
    ]
}
