//! Components as stages of the pipeline, one file per attach point. In: the bytes of a file. Out: a stage for a session.
//!
//! Each file here only turns the pipeline's values into those of the WIT package and back; limits and the validation of answers
//! are handled elsewhere.

mod finish;
mod given_schemes;
mod ground;
mod paints;
mod scheme_source;
mod scheme_transform;
mod sheet_text;

use sha2::{Digest, Sha256};
use velatura_document::Diagnostic;
use velatura_pipeline::AnyStage;
use velatura_pipeline::stage::{AttachPoint, StageFile, StageInfo};

use crate::calls::describe::Description;
use crate::component::{Calls, Component, Source};
use crate::limits::Limits;

/// A stage from a file, ready to be registered.
#[derive(Debug)]
pub struct Attached {
    /// The stage.
    pub stage: AnyStage,
    /// Its description, and its file.
    pub info: StageInfo,
    /// SHA-256 of the file, 64 hexadecimal digits.
    pub sha256: String,
}

/// Attaches the component in `bytes` as a stage. `file_name` is the file's name as the user wrote it, for messages.
///
/// The component is compiled and its `describe` is called, under `limits`; every later call obeys them as well. The same bytes
/// and the same values give the same answer on every machine and with any number of threads.
///
/// # Errors
/// If it is not a component, is made for another version of the WIT package, imports something, attaches nowhere or at two
/// places, does not describe itself within the limits, or has an unusable description.
///
/// ```
/// let problem = velatura_plugin_host::attach(b"(component)", "dust.wasm", &Default::default()).unwrap_err();
/// assert!(problem.to_string().starts_with("error: dust.wasm: this is not a WebAssembly file"));
/// ```
pub fn attach(bytes: &[u8], file_name: &str, limits: &Limits) -> Result<Attached, Diagnostic> {
    let Component {
        calls,
        description,
        source,
    } = Component::attach(bytes, file_name, limits)?;
    let sha256 = hexadecimal(&Sha256::digest(bytes));
    let file = StageFile {
        path: file_name.to_owned(),
        sha256: sha256.clone(),
    };
    let info = info(&calls, description, file);
    let said = Said {
        info: info.clone(),
        source,
    };
    let stage = match calls {
        Calls::Finish(calls) => AnyStage::Finish(Box::new(finish::ComponentFinish { said, calls })),
        Calls::Ground(calls) => AnyStage::Ground(Box::new(ground::ComponentGround { said, calls })),
        Calls::SchemeSource(calls) => {
            AnyStage::SchemeSource(Box::new(scheme_source::ComponentSource { said, calls }))
        }
        Calls::SchemeTransform(calls) => {
            AnyStage::SchemeTransform(Box::new(scheme_transform::ComponentTransform {
                said,
                calls,
            }))
        }
        Calls::SheetText(calls) => {
            AnyStage::SheetText(Box::new(sheet_text::ComponentText { said, calls }))
        }
    };
    Ok(Attached {
        stage,
        info,
        sha256,
    })
}

/// The common part of all stages from components.
struct Said {
    info: StageInfo,
    source: Source,
}

fn info(calls: &Calls, description: Description, file: StageFile) -> StageInfo {
    let point = match calls {
        Calls::Finish(_) => AttachPoint::Finish,
        Calls::Ground(_) => AttachPoint::Ground,
        Calls::SchemeSource(_) => AttachPoint::SchemeSource,
        Calls::SchemeTransform(_) => AttachPoint::SchemeTransform,
        Calls::SheetText(_) => AttachPoint::SheetText,
    };
    StageInfo {
        // Used only for a finish; all others read the whole picture.
        reach_px: description
            .reach_px
            .filter(|_| point == AttachPoint::Finish),
        file: Some(file),
        ..StageInfo::new(point, description.name, description.version)
            .with_words(description.takes, description.gives)
            .with_parameters(description.parameters)
    }
}

/// Two digits a byte.
pub(crate) fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}
