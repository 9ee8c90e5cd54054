//! `velatura devices`: the graphics cards that Velatura can use.

use std::process::ExitCode;

use clap::Args;
use velatura_pipeline::Error;
use velatura_pipeline::gpu::adapters;

use super::{ADAPTER_VARIABLE, wanted_adapter};
use crate::format::Format;
use crate::messages::{json, json_value, out};

/// List graphics cards with their driver and limits, and say why one is not used
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  velatura devices --format json\n\n\
                  Set VELATURA_ADAPTER=NAME to choose an adapter by part of its name.")]
pub(crate) struct Devices {
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

impl Devices {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let wanted = wanted_adapter();
        let found = adapters(wanted.as_deref());
        if self.format == Format::Json {
            out(&json(&found)?)?;
            return Ok(ExitCode::SUCCESS);
        }
        let mut text = String::new();
        for adapter in &found {
            let kind = json_value(&adapter.kind)?;
            let use_of_it = match (&adapter.why_not, adapter.chosen) {
                (None, _) => "used by --backend auto and gpu".to_owned(),
                (Some(why), true) => why.clone(),
                (Some(why), false) => format!("not used: {why}"),
            };
            text += &format!(
                "{} · {}, {}\n  driver {}\n  limits: {} MiB per binding, {} MiB per buffer, {} buffers per kernel\n  {use_of_it}\n",
                adapter.name,
                kind.as_str().unwrap_or_default(),
                adapter.interface,
                adapter.driver,
                adapter.max_binding_bytes >> 20,
                adapter.max_buffer_bytes >> 20,
                adapter.max_storage_buffers,
            );
        }
        text += &format!("processor · {} threads\n", threads());
        if let Some(name) = wanted.filter(|_| !found.iter().any(|adapter| adapter.chosen)) {
            text += &format!("{ADAPTER_VARIABLE}={name} matches no usable adapter\n");
        } else if found.is_empty() {
            text += "no graphics driver found: every job runs on the processor\n";
        }
        out(&text)?;
        Ok(ExitCode::SUCCESS)
    }
}

fn threads() -> usize {
    std::thread::available_parallelism().map_or(1, std::num::NonZero::get)
}
