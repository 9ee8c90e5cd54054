//! One file per command: its arguments, its help with an example, what it does.

mod card;
mod changes;
mod check;
mod completions;
#[cfg(feature = "desk")]
mod desk;
mod devices;
mod explore;
mod import;
mod keep_best;
#[path = "match.rs"]
mod matching;
mod new;
mod oppose;
mod opposed_pair;
mod paint_table;
mod pair;
mod plugins;
mod predict;
mod proposals;
mod regions;
mod render;
mod scheme_named;
mod swatch;
mod swatch_names;
mod watch;

use std::process::ExitCode;

use clap::Subcommand;
use velatura_pipeline::Error;

use crate::format::Format;

/// The subcommands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    Render(render::Render),
    Oppose(oppose::Oppose),
    Explore(explore::Explore),
    Predict(predict::Predict),
    Match(matching::Match),
    Card(card::Card),
    Pair(pair::Pair),
    New(new::New),
    Regions(regions::Regions),
    Check(check::Check),
    #[cfg(feature = "desk")]
    Desk(desk::Desk),
    Devices(devices::Devices),
    Import(import::Import),
    Swatch(swatch::Swatch),
    Plugins(plugins::Plugins),
    Completions(completions::Completions),
    Manual(completions::Manual),
}

/// The environment variable that names the adapter to use.
pub(crate) const ADAPTER_VARIABLE: &str = "VELATURA_ADAPTER";

/// Part of the name of the adapter to use; `None` for any.
pub(crate) fn wanted_adapter() -> Option<String> {
    std::env::var(ADAPTER_VARIABLE)
        .ok()
        .filter(|name| !name.is_empty())
}

impl Command {
    /// The output format that it was called with.
    pub(crate) fn format(&self) -> Format {
        match self {
            Self::Render(command) => command.format,
            Self::Oppose(command) => command.format,
            Self::Explore(command) => command.format,
            Self::Predict(command) => command.format,
            Self::Match(command) => command.format,
            Self::Card(command) => command.format,
            Self::Pair(command) => command.format,
            Self::New(command) => command.format,
            Self::Regions(command) => command.format,
            Self::Check(command) => command.format,
            #[cfg(feature = "desk")]
            Self::Desk(command) => command.format,
            Self::Devices(command) => command.format,
            Self::Import(command) => command.format,
            Self::Swatch(command) => command.format,
            Self::Plugins(command) => command.format,
            Self::Completions(_) | Self::Manual(_) => Format::Text,
        }
    }

    /// Runs it.
    pub(crate) fn run(self) -> Result<ExitCode, Error> {
        match self {
            Self::Render(command) => command.run(),
            Self::Oppose(command) => command.run(),
            Self::Explore(command) => command.run(),
            Self::Predict(command) => command.run(),
            Self::Match(command) => command.run(),
            Self::Card(command) => command.run(),
            Self::Pair(command) => command.run(),
            Self::New(command) => command.run(),
            Self::Regions(command) => command.run(),
            Self::Check(command) => command.run(),
            #[cfg(feature = "desk")]
            Self::Desk(command) => command.run(),
            Self::Devices(command) => command.run(),
            Self::Import(command) => command.run(),
            Self::Swatch(command) => command.run(),
            Self::Plugins(command) => command.run(),
            Self::Completions(command) => command.run(),
            Self::Manual(command) => command.run(),
        }
    }
}
