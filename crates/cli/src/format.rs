//! The output format of a command.

use clap::ValueEnum;

/// Output format
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    /// For people
    Text,
    /// For programs, on standard output
    Json,
}
