//! `velatura plugins`: what is attached.

use std::process::ExitCode;

use clap::Args;
use velatura_pipeline::Error;

use super::Format;
use crate::attached::{PluginArgs, registry};
use crate::messages::out;

/// List the stages that are attached: built-ins and plugins alike
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  velatura plugins --format json")]
pub(crate) struct Plugins {
    #[command(flatten)]
    plugins: PluginArgs,
    /// Figures whose own plugins are to be listed too
    #[arg(value_name = "FIGURE.toml")]
    figures: Vec<String>,
    /// How results are told
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

impl Plugins {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let figures: Vec<&str> = self.figures.iter().map(String::as_str).collect();
        let infos = registry(&self.plugins, &figures, self.format)?.infos();
        if self.format == Format::Json {
            let text = serde_json::to_string_pretty(&infos)
                .map_err(|error| Error::Machine(error.to_string()))?;
            out(&(text + "\n"))?;
            return Ok(ExitCode::SUCCESS);
        }
        let mut text = String::new();
        for info in &infos {
            let point = serde_json::to_value(info.attach_point)
                .map_err(|error| Error::Machine(error.to_string()))?;
            let reach = match info.reach_px {
                None => "sees the whole picture".to_owned(),
                Some(0) => "each pixel alone".to_owned(),
                Some(reach) => format!("looks {reach} px around"),
            };
            let same = if info.deterministic {
                "same input, same bytes"
            } else {
                "may differ from run to run"
            };
            text += &format!(
                "{} · {} {}\n  {} → {}\n  {reach}; {same}\n",
                point.as_str().unwrap_or_default(),
                info.name,
                info.version,
                info.takes,
                info.gives
            );
        }
        out(&text)?;
        Ok(ExitCode::SUCCESS)
    }
}
