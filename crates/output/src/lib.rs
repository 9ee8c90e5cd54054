//! Sets of output files: all of them appear, or none.

mod folder_set;
mod memory;
mod output_check;
mod output_folder;
mod outputs;

pub use folder_set::{FolderFile, FolderSet};
pub use memory::{MemoryOutputs, ZipOutputs};
pub use output_check::check_outputs;
pub use output_folder::OutputFolder;
pub use outputs::{FileSet, NewFile, Outputs};
