//! A stage's description of itself.

use std::fmt;

use serde::Serialize;
use serde_json::Value;

/// Where a stage attaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum AttachPoint {
    /// Bytes → plate.
    Intake,
    /// Plate → underpainting.
    Ground,
    /// Photo and strokes → mask.
    Regions,
    /// Figure and paints → schemes.
    SchemeSource,
    /// Scheme → scheme.
    SchemeTransform,
    /// Coats → table.
    CoatModel,
    /// Frame → frame.
    Finish,
    /// Frames → files.
    Sheet,
    /// Report → a text file next to the sheet.
    SheetText,
}

/// In words, for messages.
impl fmt::Display for AttachPoint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Intake => "intake",
            Self::Ground => "ground",
            Self::Regions => "regions",
            Self::SchemeSource => "scheme source",
            Self::SchemeTransform => "scheme transform",
            Self::CoatModel => "coat model",
            Self::Finish => "finish",
            Self::Sheet => "sheet",
            Self::SheetText => "sheet text",
        })
    }
}

/// The file that a stage came from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct StageFile {
    /// Its path, as the user wrote it.
    pub path: String,
    /// SHA-256 of its bytes, 64 hexadecimal digits.
    pub sha256: String,
}

/// A stage's description of itself.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StageInfo {
    /// Where it attaches.
    pub attach_point: AttachPoint,
    /// Its name, unique among all stages: `[stage.NAME]` in the user's files.
    pub name: String,
    /// Its version.
    pub version: String,
    /// What it takes, in a few words.
    pub takes: String,
    /// What it gives, in a few words.
    pub gives: String,
    /// JSON Schema of its parameters; `{}` if it has none.
    pub parameters: Value,
    /// How far around a pixel it reads, in pixels; 0 if every pixel is independent, absent if it reads the whole picture.
    pub reach_px: Option<u32>,
    /// Whether the same input always gives the same bytes.
    pub deterministic: bool,
    /// The file it came from; absent for stages in the program itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<StageFile>,
}

impl StageInfo {
    /// A stage without parameters that reads the whole picture and returns the same bytes for the same input.
    #[must_use]
    pub fn new(
        attach_point: AttachPoint,
        name: impl Into<String>,
        version: impl Into<String>,
    ) -> Self {
        Self {
            attach_point,
            name: name.into(),
            version: version.into(),
            takes: String::new(),
            gives: String::new(),
            parameters: serde_json::json!({}),
            reach_px: None,
            deterministic: true,
            file: None,
        }
    }

    /// Sets what it takes and gives, in a few words each.
    #[must_use]
    pub fn with_words(mut self, takes: impl Into<String>, gives: impl Into<String>) -> Self {
        (self.takes, self.gives) = (takes.into(), gives.into());
        self
    }

    /// Sets how far around a pixel it reads, in pixels.
    #[must_use]
    pub fn with_reach_px(mut self, reach_px: u32) -> Self {
        self.reach_px = Some(reach_px);
        self
    }

    /// Sets its parameters, as the JSON Schema of an object.
    #[must_use]
    pub fn with_parameters(mut self, schema: Value) -> Self {
        self.parameters = schema;
        self
    }
}
