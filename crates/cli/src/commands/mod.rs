//! One file per command: its arguments, its help with an example, what it does.

mod check;
mod import;
mod paint_table;
mod plugins;
mod render;
mod swatch;

use std::process::ExitCode;

use clap::{Subcommand, ValueEnum};
use velatura_pipeline::Error;

/// What can be asked for.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    Render(render::Render),
    Check(check::Check),
    Import(import::Import),
    Swatch(swatch::Swatch),
    Plugins(plugins::Plugins),
}

/// How results are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    /// For people.
    Text,
    /// For programs, on standard output.
    Json,
}

impl Command {
    /// How its results are to be told.
    pub(crate) fn format(&self) -> Format {
        match self {
            Self::Render(command) => command.format,
            Self::Check(command) => command.format,
            Self::Import(command) => command.format,
            Self::Swatch(command) => command.format,
            Self::Plugins(command) => command.format,
        }
    }

    /// Does it.
    pub(crate) fn run(self) -> Result<ExitCode, Error> {
        match self {
            Self::Render(command) => command.run(),
            Self::Check(command) => command.run(),
            Self::Import(command) => command.run(),
            Self::Swatch(command) => command.run(),
            Self::Plugins(command) => command.run(),
        }
    }
}
