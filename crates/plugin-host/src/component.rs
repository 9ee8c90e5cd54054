//! A component as a stage that can be called. In: the bytes of a file and its name. Out: its description and its functions,
//! ready to be called under limits.

use velatura_document::Diagnostic;

use crate::calls::describe::{Description, describe};
use crate::calls::finish::FinishCalls;
use crate::calls::ground::GroundCalls;
use crate::calls::scheme_source::SchemeSourceCalls;
use crate::calls::scheme_transform::SchemeTransformCalls;
use crate::calls::sheet_text::SheetTextCalls;
use crate::engine::Machine;
use crate::fault::Fault;
use crate::limits::Limits;
use crate::outline::{World, world};

/// The functions of a component, by attach point.
pub(crate) enum Calls {
    Finish(FinishCalls),
    Ground(GroundCalls),
    SchemeSource(SchemeSourceCalls),
    SchemeTransform(SchemeTransformCalls),
    SheetText(SheetTextCalls),
}

/// A component that has been attached.
pub(crate) struct Component {
    pub(crate) calls: Calls,
    pub(crate) description: Description,
    pub(crate) source: Source,
}

/// The source that a message names: a component's file and stage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Source {
    file: String,
    stage: String,
}

impl Source {
    /// The file, as the user wrote it.
    pub(crate) fn file(&self) -> &str {
        &self.file
    }

    /// The stage's attach point, name and version.
    pub(crate) fn stage(&self) -> &str {
        &self.stage
    }

    /// The message about a fault in a call.
    pub(crate) fn diagnostic(&self, fault: &Fault) -> Diagnostic {
        fault.diagnostic(&self.file, Some(&self.stage))
    }
}

impl Component {
    /// Reads and compiles the component in `bytes` and calls its `describe`; `file` as the user wrote it.
    ///
    /// # Errors
    /// It is not a component of this host, or does not describe itself as one.
    pub(crate) fn attach(bytes: &[u8], file: &str, limits: &Limits) -> Result<Self, Diagnostic> {
        let alone = |fault: Fault| fault.diagnostic(file, None);
        let world = world(bytes, limits).map_err(alone)?;
        let machine = Machine::new(bytes, world, limits).map_err(alone)?;
        let description =
            describe(&machine).map_err(|fault| fault.diagnostic(file, Some("its `describe`")))?;
        let source = Source {
            file: file.to_owned(),
            stage: format!(
                "{} \"{}\" {}",
                world.words(),
                description.name,
                description.version
            ),
        };
        let calls = match world {
            World::Finish => FinishCalls::new(&machine).map(Calls::Finish),
            World::Ground => GroundCalls::new(&machine).map(Calls::Ground),
            World::SchemeSource => SchemeSourceCalls::new(&machine).map(Calls::SchemeSource),
            World::SchemeTransform => {
                SchemeTransformCalls::new(&machine).map(Calls::SchemeTransform)
            }
            World::SheetText => SheetTextCalls::new(&machine).map(Calls::SheetText),
        }
        .map_err(|fault| source.diagnostic(&fault))?;
        Ok(Self {
            calls,
            description,
            source,
        })
    }
}
