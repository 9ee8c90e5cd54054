//! The limits of a component. In: nothing. Out: one struct, with the defaults of `velatura`.
//!
//! Every limit counts something that is the same on every machine (bytes, units of work, elements), never seconds, so a
//! component that is stopped on one machine is stopped on all. The one exception is the stack: its frames differ between
//! processors, and so does the depth at which a recursion is stopped.

/// Longest name and version of a stage, in characters, as in the WIT package.
pub(crate) const NAME_CHARS: usize = 40;

/// Limits of one component. Each field says what is counted, its default and the reason for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Limits {
    /// Bytes of the file. Default 4 MiB: a component written in Rust or C has 10 KiB to 1 MiB. One with a script interpreter
    /// has 10 MiB, but a hostile file of that size could take minutes to compile.
    pub file_bytes: usize,
    /// Bytes of the longest single function. Default 512 KiB: compiling takes more than linear time in this.
    pub function_bytes: usize,
    /// Functions of all core modules together. Default 20,000: each takes 0.2 ms and 5 KB to compile, however short it is
    /// (measured in a build for tests). The example plugins have 111 and 138.
    pub functions: usize,
    /// Bytes of all functions together. Default 2 MiB: to compile that takes about 10 s in a build for tests on a busy core
    /// (6 s a MB measured), less in a release. The example plugins have 46 and 65 KB.
    pub code_bytes: usize,
    /// Types, imports, exports, globals, tables, memories, segments, canonical functions and aliases: so many of each kind in
    /// all modules and components together. Default 20,000.
    pub parts: usize,
    /// Branches × variables of one function. Default 1,000,000, a few seconds of compiling at worst; see `tangle.rs` for the
    /// values of real compilers.
    pub function_tangle: usize,
    /// Branches × variables of all functions, one after the other. Default 8,000,000.
    pub file_tangle: usize,
    /// Memory of any call, in bytes. Default 64 MiB.
    pub memory_base_bytes: usize,
    /// Additional memory per input byte. Default 8: a ground receives 7 bytes per pixel, returns 6, and has room for ten planes
    /// of 32-bit numbers. A component has 32-bit addresses, so 4 GiB is the maximum in any case: 76 megapixels.
    pub memory_per_byte: usize,
    /// Units of work of any call; one unit is one instruction. Default 1,000,000,000: about a second.
    pub work_base: u64,
    /// Additional units of work per input pixel. Default 2,000: a window of 9 × 9 pixels with 25 instructions each.
    pub work_per_pixel: u64,
    /// Additional units of work per byte of input text. Default 10,000.
    pub work_per_text_byte: u64,
    /// Bytes of stack. Default 512 KiB; a thread that calls must have 256 KiB more than this.
    pub stack_bytes: usize,
    /// Elements of all tables together (functions that can be called by number). Default 100,000.
    pub table_elements: usize,
    /// Core instances that one component is made of. Default 16; compilers of one language make 1 to 4.
    pub core_instances: usize,
    /// Bytes of a text that it returns: schemes, a list next to the sheet. Default 4 MiB.
    pub text_bytes: usize,
    /// Characters of each sentence of its description and of its errors. Default 300.
    pub sentence_chars: usize,
    /// Bytes of the JSON Schema of its parameters. Default 64 KiB.
    pub schema_bytes: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            file_bytes: 4 << 20,
            function_bytes: 512 << 10,
            functions: 20_000,
            code_bytes: 2 << 20,
            parts: 20_000,
            function_tangle: 1_000_000,
            file_tangle: 8_000_000,
            memory_base_bytes: 64 << 20,
            memory_per_byte: 8,
            work_base: 1_000_000_000,
            work_per_pixel: 2_000,
            work_per_text_byte: 10_000,
            stack_bytes: 512 << 10,
            table_elements: 100_000,
            core_instances: 16,
            text_bytes: 4 << 20,
            sentence_chars: 300,
            schema_bytes: 64 << 10,
        }
    }
}

/// The input of a call, as the limits count it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Handed {
    /// Nothing: `describe`.
    Nothing,
    /// Planes or a picture.
    Pixels {
        /// How many.
        pixels: usize,
        /// Bytes of all their lists together.
        bytes: usize,
    },
    /// Text.
    Text {
        /// Bytes of all of it.
        bytes: usize,
    },
}

impl Handed {
    fn bytes(self) -> usize {
        match self {
            Self::Nothing => 0,
            Self::Pixels { bytes, .. } | Self::Text { bytes } => bytes,
        }
    }
}

impl Limits {
    /// Bytes of memory that a call may have.
    pub(crate) fn memory_bytes(&self, handed: Handed) -> usize {
        self.memory_per_byte
            .saturating_mul(handed.bytes())
            .saturating_add(self.memory_base_bytes)
    }

    /// Units of work that a call may do.
    pub(crate) fn work(&self, handed: Handed) -> u64 {
        let more = match handed {
            Handed::Nothing => 0,
            Handed::Pixels { pixels, .. } => self.work_per_pixel.saturating_mul(pixels as u64),
            Handed::Text { bytes } => self.work_per_text_byte.saturating_mul(bytes as u64),
        };
        self.work_base.saturating_add(more)
    }
}
