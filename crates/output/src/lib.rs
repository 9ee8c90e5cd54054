//! Sets of output files: all of them appear, or none.

mod folder_set;
mod memory;
mod output_check;
mod outputs;

pub use folder_set::{FolderFile, FolderSet};
pub use memory::{MemoryOutputs, ZipOutputs};
pub use output_check::check_outputs;
pub use outputs::{FileSet, NewFile, OutputFolder, Outputs};
