//! Sets of output files: all of them appear, or none.

mod archive;
mod folder_set;
mod leftovers;
mod live;
mod memory;
mod memory_set;
mod output_check;
mod output_folder;
mod outputs;
mod retired;

pub use archive::ZipOutputs;
pub use folder_set::{FolderFile, FolderSet};
pub use live::abandon_all;
pub use memory::MemoryOutputs;
pub use output_check::{check_outputs, is_same_file};
pub use output_folder::OutputFolder;
pub use outputs::{FileSet, NewFile, Outputs};
