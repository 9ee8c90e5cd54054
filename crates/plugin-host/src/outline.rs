//! The kind of a file, from its outline, before anything is compiled. In: the bytes. Out: where it attaches, or why it cannot.
//!
//! Only the frame is read here: the kind of file, imports, exports, the number of parts. Compiling shows whether each part is
//! valid. Refusing a file here costs almost nothing, and a hostile file gets no further.

use wasmparser::{
    ComponentImport, ComponentInstance, CompositeInnerType, Encoding, Instance, Parser, Payload,
};

use crate::contract::VERSION;
use crate::counts::{Counts, at_most};
use crate::fault::Fault;
use crate::limits::Limits;
use crate::tangle::tangle;
use crate::words::one_line;

/// The WIT package of this host.
const PACKAGE: &str = "velatura:stage/";
/// Components within the component. Compilers write one around each exported interface.
const INNER_COMPONENTS: usize = 16;
/// Instances of such components: each contains only names.
const INNER_INSTANCES: usize = 32;
/// Levels of such components: their number could double at every level, and compilers write one.
const INNER_LEVELS: usize = 2;
/// The first four bytes of every WebAssembly file.
const MAGIC: &[u8] = b"\0asm";

/// Where a component attaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum World {
    Finish,
    Ground,
    SchemeSource,
    SchemeTransform,
    SheetText,
}

impl World {
    const ALL: [Self; 5] = [
        Self::Finish,
        Self::Ground,
        Self::SchemeSource,
        Self::SchemeTransform,
        Self::SheetText,
    ];

    /// The name of its interface in the WIT package.
    pub(crate) fn interface(self) -> &'static str {
        match self {
            Self::Finish => "finish",
            Self::Ground => "ground",
            Self::SchemeSource => "scheme-source",
            Self::SchemeTransform => "scheme-transform",
            Self::SheetText => "sheet-text",
        }
    }

    /// The word for the stage in messages.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::Finish => "finish",
            Self::Ground => "ground",
            Self::SchemeSource => "scheme source",
            Self::SchemeTransform => "scheme transform",
            Self::SheetText => "sheet text",
        }
    }
}

/// Where the component in `bytes` attaches.
///
/// # Errors
/// If it is not a component, or not one of this host.
pub(crate) fn world(bytes: &[u8], limits: &Limits) -> Result<World, Fault> {
    if bytes.len() > limits.file_bytes {
        return Err(Fault::LargeFile {
            bytes: bytes.len(),
            limit: limits.file_bytes,
        });
    }
    if !bytes.starts_with(MAGIC) {
        return Err(Fault::NoWasm);
    }
    let mut outline = Outline::default();
    for payload in Parser::new(0).parse_all(bytes) {
        outline.take(payload.map_err(Fault::malformed)?, limits)?;
    }
    outline.world()
}

/// The state of reading.
#[derive(Debug, Default)]
struct Outline {
    /// How many components and modules surround the current place.
    depth: usize,
    core_instances: usize,
    inner_components: usize,
    inner_instances: usize,
    exports: Vec<String>,
    counts: Counts,
    /// Most parameters of any function type.
    parameters: usize,
    /// Branches × variables of all functions.
    tangle: usize,
}

impl Outline {
    fn take(&mut self, payload: Payload<'_>, limits: &Limits) -> Result<(), Fault> {
        let outermost = self.depth == 1;
        self.counts.take(&payload, limits)?;
        match payload {
            Payload::Version { encoding, .. } => {
                if self.depth == 0 && encoding == Encoding::Module {
                    return Err(Fault::CoreModule);
                }
                self.depth += 1;
            }
            Payload::End(_) => self.depth -= 1,
            Payload::ComponentImportSection(section) if outermost => {
                if let Some(import) = section.into_iter().next() {
                    let ComponentImport { name, .. } = import.map_err(Fault::malformed)?;
                    return Err(Fault::Import {
                        name: one_line(name.0, 120),
                    });
                }
            }
            Payload::ComponentExportSection(section) if outermost => {
                for export in section {
                    self.exports
                        .push(export.map_err(Fault::malformed)?.name.0.to_owned());
                }
            }
            Payload::ComponentSection { .. } => {
                self.inner_components += 1;
                at_most("inner components", self.inner_components, INNER_COMPONENTS)?;
                at_most("levels of inner components", self.depth, INNER_LEVELS)?;
            }
            Payload::ComponentInstanceSection(section) => {
                for instance in section {
                    if let ComponentInstance::Instantiate { .. } =
                        instance.map_err(Fault::malformed)?
                    {
                        self.inner_instances += 1;
                    }
                }
                at_most(
                    "instances of inner components",
                    self.inner_instances,
                    INNER_INSTANCES,
                )?;
            }
            // Calls from one inner component into another copy values in ways that no limit counts.
            Payload::ModuleSection { .. } | Payload::ComponentCanonicalSection(_) if !outermost => {
                return Err(Fault::Composed);
            }
            Payload::InstanceSection(section) => {
                for instance in section {
                    if let Instance::Instantiate { .. } = instance.map_err(Fault::malformed)? {
                        self.core_instances += 1;
                    }
                }
                at_most("core instances", self.core_instances, limits.core_instances)?;
            }
            Payload::TypeSection(section) => {
                for group in section {
                    for of in group.map_err(Fault::malformed)?.types() {
                        if let CompositeInnerType::Func(function) = &of.composite_type.inner {
                            self.parameters = self.parameters.max(function.params().len());
                        }
                    }
                }
            }
            Payload::CodeSectionEntry(body) => {
                let bytes = body.range().len();
                if bytes > limits.function_bytes {
                    return Err(Fault::LargeFunction {
                        bytes,
                        limit: limits.function_bytes,
                    });
                }
                self.tangle = self
                    .tangle
                    .saturating_add(tangle(&body, self.parameters, limits)?);
                at_most(
                    "branches × variables in all functions",
                    self.tangle,
                    limits.file_tangle,
                )?;
            }
            _ => {}
        }
        Ok(())
    }

    fn world(self) -> Result<World, Fault> {
        let mut worlds = Vec::new();
        let mut describes = false;
        for export in &self.exports {
            let Some(interface) = export.strip_prefix(PACKAGE) else {
                continue;
            };
            let (name, version) = interface.split_once('@').unwrap_or((interface, "none"));
            let known = World::ALL.iter().find(|world| world.interface() == name);
            if known.is_none() && name != "describe" {
                continue;
            }
            if version != VERSION {
                return Err(Fault::OtherVersion {
                    version: one_line(version, 40),
                });
            }
            match known {
                Some(world) => worlds.push(*world),
                None => describes = true,
            }
        }
        match worlds.as_slice() {
            [] => Err(Fault::NoAttachPoint),
            [_] if !describes => Err(Fault::NoDescribe),
            [one] => Ok(*one),
            [first, second, ..] => Err(Fault::TwoAttachPoints {
                first: first.words(),
                second: second.words(),
            }),
        }
    }
}
