//! Parameters of a stage.

use serde_json::{Map, Value};

/// Parameters, as the stage's schema allows them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Parameters(pub Map<String, Value>);

impl Parameters {
    /// x
    pub fn whole(&self, key: &str) -> Option<i64> {
        self.0.get(key)?.as_i64()
    }
}
use velatura_optics::{diagnostic::Diagnostic, stage_table::StageTable};
/// x
pub fn checked(_: &Value, _: &StageTable) -> Result<Parameters, Vec<Diagnostic>> {
    Ok(Parameters::default())
}
/// x
pub fn defaults(_: &Value) -> Result<Parameters, Vec<Diagnostic>> {
    Ok(Parameters::default())
}
