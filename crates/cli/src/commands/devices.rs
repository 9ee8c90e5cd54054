//! `velatura devices`: what the work can run on.

use std::process::ExitCode;

use clap::Args;
use velatura_pipeline::Error;
use velatura_pipeline::gpu::adapters;

use super::{ADAPTER_VARIABLE, Format, wanted_adapter};
use crate::messages::{json, json_value, out};

/// List what the work can run on: adapter, driver, limits, and why one is not used
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  velatura devices --format json\n\n\
                  VELATURA_ADAPTER=NAME picks an adapter by a part of its name.")]
pub(crate) struct Devices {
    /// How results are told
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
                "{} · {}, {}\n  driver {}\n  binds {} MiB at once, buffers of {} MiB, {} buffers a kernel\n  {use_of_it}\n",
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
            text += &format!("{ADAPTER_VARIABLE}={name} names no adapter that can be used\n");
        } else if found.is_empty() {
            text += "no graphics driver was found: every job runs on the processor\n";
        }
        out(&text)?;
        Ok(ExitCode::SUCCESS)
    }
}

fn threads() -> usize {
    std::thread::available_parallelism().map_or(1, std::num::NonZero::get)
}
