//! stub
use crate::document::{At, SourceText};
/// stub
#[derive(Debug, Clone)]
pub struct StageTable {
    /// n
    pub name: At<String>,
    /// s
    pub source: SourceText,
}
