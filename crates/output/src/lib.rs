//! Sets of output files that are complete or not written.

mod output_check;
mod output_folder;

pub use output_check::check_outputs;
pub use output_folder::{AbandonHandle, OutputFolder, PendingFile};
