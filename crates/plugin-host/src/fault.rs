//! Why a component was not attached or a call of it failed. In: what the host observed. Out: a message in five parts.
//!
//! Texts of Wasmtime's own errors appear in a message only if nothing better is known, and are cleaned as if the component had
//! written them.

use velatura_document::Diagnostic;
use wasmparser::BinaryReaderError;
use wasmtime::Trap;

use crate::contract::VERSION;
use crate::limits::{Handed, Limits};
use crate::meter::Beyond;
use crate::words::one_line;

const RUN_WITHOUT: &str = "remove the plugin, or ask its author to fix it";

/// What went wrong with a component.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Fault {
    LargeFile {
        bytes: usize,
        limit: usize,
    },
    LargeFunction {
        bytes: usize,
        limit: usize,
    },
    /// One function, or all together, would take too long to compile.
    Tangled {
        what: &'static str,
        count: usize,
        limit: usize,
    },
    NoWasm,
    CoreModule,
    Malformed {
        what: String,
    },
    Import {
        name: String,
    },
    Composed,
    TooMany {
        what: &'static str,
        count: usize,
        limit: usize,
    },
    OtherVersion {
        version: String,
    },
    NoAttachPoint,
    NoDescribe,
    TwoAttachPoints {
        first: &'static str,
        second: &'static str,
    },
    /// Its functions are not of the types in the WIT package.
    OtherTypes {
        what: String,
    },
    TookTooLong {
        units: u64,
        handed: Handed,
    },
    Memory {
        limit: usize,
    },
    Table {
        limit: usize,
    },
    MachineMemory,
    Stack {
        limit: usize,
    },
    Trap {
        what: &'static str,
    },
    /// Values were not passed as the component model requires: pointers outside its memory, text that is not UTF-8.
    Passing {
        what: String,
    },
    /// An unusable answer of the right type.
    Answer {
        found: String,
        expected: String,
    },
    /// The component's own error sentence.
    Own {
        sentence: String,
    },
}

impl Fault {
    /// The fault behind an error in the outline of a file.
    pub(crate) fn malformed(error: BinaryReaderError) -> Self {
        Self::Malformed {
            what: format!(
                "{} (at byte {})",
                one_line(error.message(), 200),
                error.offset()
            ),
        }
    }

    /// The fault behind an error of Wasmtime during a call.
    pub(crate) fn of_call(error: &wasmtime::Error, limits: &Limits, handed: Handed) -> Self {
        match error.downcast_ref::<Beyond>() {
            Some(Beyond::Memory { limit_bytes }) => {
                return Self::Memory {
                    limit: *limit_bytes,
                };
            }
            Some(Beyond::Table { limit }) => return Self::Table { limit: *limit },
            Some(Beyond::Machine) => return Self::MachineMemory,
            None => {}
        }
        match error.downcast_ref::<Trap>() {
            Some(Trap::OutOfFuel) => Self::TookTooLong {
                units: limits.work(handed),
                handed,
            },
            Some(Trap::StackOverflow) => Self::Stack {
                limit: limits.stack_bytes,
            },
            Some(trap) => Self::Trap {
                what: trap_words(*trap),
            },
            None => Self::Passing {
                what: one_line(&error.root_cause().to_string(), 200),
            },
        }
    }

    /// The message. `file` as the user wrote it, `within` the stage and the function.
    pub(crate) fn diagnostic(&self, file: &str, within: Option<&str>) -> Diagnostic {
        let mut problem = Diagnostic::error(file, self.found()).help(self.help());
        if let Some(within) = within {
            problem = problem.within(within);
        }
        match self.expected() {
            Some(expected) => problem.expected(expected),
            None => problem,
        }
    }

    fn found(&self) -> String {
        match self {
            Self::LargeFile { bytes, .. } => format!("the file has {}", bytes_words(*bytes)),
            Self::LargeFunction { bytes, .. } => {
                format!("one of its functions has {}", bytes_words(*bytes))
            }
            Self::Tangled { what, count, .. } => format!(
                "it would take too long to compile: {} {what} in one function",
                grouped(*count as u64)
            ),
            Self::NoWasm => "this is not a WebAssembly file".to_owned(),
            Self::CoreModule => "this is a core WebAssembly module, not a component".to_owned(),
            Self::Malformed { what } => format!("the component is damaged: {what}"),
            Self::Import { name } => format!("the component imports \"{name}\""),
            Self::Composed => "the component contains other components".to_owned(),
            Self::TooMany { what, count, .. } => {
                format!("the component has {} {what}", grouped(*count as u64))
            }
            Self::OtherVersion { version } => {
                format!("the component was made for velatura:stage {version}")
            }
            Self::NoAttachPoint => "the component has no Velatura attach point".to_owned(),
            Self::NoDescribe => "the component does not describe itself".to_owned(),
            Self::TwoAttachPoints { first, second } => {
                format!("the component is both a {first} and a {second}")
            }
            Self::OtherTypes { what } => {
                format!("the component's functions have the wrong types: {what}")
            }
            Self::TookTooLong { units, handed } => format!(
                "it took too long: more than {} units of work{}",
                grouped(*units),
                handed_words(*handed)
            ),
            Self::Memory { limit } => {
                format!("it needed more than {} of memory", bytes_words(*limit))
            }
            Self::Table { limit } => format!(
                "it needed more than {} table elements",
                grouped(*limit as u64)
            ),
            Self::MachineMemory => "the machine has no memory left for the plugin".to_owned(),
            Self::Stack { limit } => format!(
                "its calls were nested too deeply: more than {} of stack",
                bytes_words(*limit)
            ),
            Self::Trap { what } => format!("it stopped itself: {what}"),
            Self::Passing { what } => format!("it passed a value that cannot be read: {what}"),
            Self::Answer { found, .. } => found.clone(),
            Self::Own { sentence } => format!("it reported: {sentence}"),
        }
    }

    fn expected(&self) -> Option<String> {
        Some(match self {
            Self::LargeFile { limit, .. } | Self::LargeFunction { limit, .. } => {
                format!("at most {}", bytes_words(*limit))
            }
            Self::NoWasm | Self::CoreModule => {
                "a WebAssembly component (its first eight bytes: 00 61 73 6d 0d 00 01 00)"
                    .to_owned()
            }
            Self::Import { .. } => {
                "no imports: a stage has no access to files, clock, randomness or network"
                    .to_owned()
            }
            Self::Composed => "core modules only, in one component".to_owned(),
            Self::TooMany { limit, .. } | Self::Tangled { limit, .. } => {
                format!("at most {}", grouped(*limit as u64))
            }
            Self::OtherVersion { .. } => format!("velatura:stage {VERSION}"),
            Self::NoAttachPoint => format!(
                "an export of one of velatura:stage/finish, ground, scheme-source, scheme-transform, sheet-text (@{VERSION})"
            ),
            Self::NoDescribe => format!("an export of velatura:stage/describe@{VERSION}"),
            Self::TwoAttachPoints { .. } => "one attach point per file".to_owned(),
            Self::OtherTypes { .. } => format!("the types of velatura:stage {VERSION}"),
            Self::Answer { expected, .. } => expected.clone(),
            Self::Malformed { .. }
            | Self::TookTooLong { .. }
            | Self::Memory { .. }
            | Self::Table { .. }
            | Self::MachineMemory
            | Self::Stack { .. }
            | Self::Trap { .. }
            | Self::Passing { .. }
            | Self::Own { .. } => return None,
        })
    }

    fn help(&self) -> &'static str {
        match self {
            Self::NoWasm => "use the .wasm file of a stage",
            Self::CoreModule => {
                "turn it into a component with `wasm-tools component new`, or ask its author for one"
            }
            Self::Malformed { .. } => "copy or download it again",
            Self::Import { .. } => {
                "build it for a target without an operating system (Rust: wasm32-unknown-unknown), or ask its author to"
            }
            Self::Composed => "build it as one component, or ask its author to",
            Self::OtherVersion { .. } => "use a version made for this velatura",
            Self::NoAttachPoint | Self::NoDescribe => {
                "build it against stage.wit of this velatura, or ask its author to"
            }
            Self::TwoAttachPoints { .. } => "split it into one file for each",
            Self::OtherTypes { .. } => {
                "build it against stage.wit of this velatura, or ask its author to"
            }
            Self::MachineMemory => "free some memory, or use a smaller photo; nothing was written",
            Self::Own { .. } => "fix what it reports, or remove the plugin",
            Self::LargeFile { .. }
            | Self::LargeFunction { .. }
            | Self::TooMany { .. }
            | Self::Tangled { .. }
            | Self::TookTooLong { .. }
            | Self::Memory { .. }
            | Self::Table { .. }
            | Self::Stack { .. }
            | Self::Trap { .. }
            | Self::Passing { .. }
            | Self::Answer { .. } => RUN_WITHOUT,
        }
    }
}

fn trap_words(trap: Trap) -> &'static str {
    match trap {
        Trap::MemoryOutOfBounds | Trap::HeapMisaligned => "it accessed memory outside its own",
        Trap::TableOutOfBounds => "it accessed an entry outside a table",
        Trap::IndirectCallToNull | Trap::BadSignature => "it called a missing function",
        Trap::IntegerOverflow | Trap::BadConversionToInteger => "a number too large for its type",
        Trap::IntegerDivisionByZero => "a division by zero",
        Trap::UnreachableCodeReached => {
            "it reached an instruction that should never run (`unreachable`)"
        }
        _ => "an instruction that is not allowed",
    }
}

fn handed_words(handed: Handed) -> String {
    match handed {
        Handed::Nothing => String::new(),
        Handed::Pixels { pixels, .. } => format!(" for {} pixels", grouped(pixels as u64)),
        Handed::Text { bytes } => format!(" for {} bytes of text", grouped(bytes as u64)),
    }
}

/// MiB or KiB if it is a whole number of them, otherwise bytes.
pub(crate) fn bytes_words(bytes: usize) -> String {
    match bytes {
        0 => "0 bytes".to_owned(),
        bytes if bytes % (1 << 20) == 0 => format!("{} MiB", grouped((bytes >> 20) as u64)),
        bytes if bytes % (1 << 10) == 0 => format!("{} KiB", grouped((bytes >> 10) as u64)),
        bytes => format!("{} bytes", grouped(bytes as u64)),
    }
}

/// 1234567 as 1,234,567.
pub(crate) fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index) % 3 == 0 {
            text.push(',');
        }
        text.push(digit);
    }
    text
}
