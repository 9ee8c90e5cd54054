//! `velatura plugins`: the attached stages.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;
use serde_json::Value;
use velatura_pipeline::Error;
use velatura_pipeline::parameters::in_words;
use velatura_pipeline::stage::StageInfo;

use crate::attached::{LastUses, PluginArgs, Purpose, capabilities, offered_from, session};
use crate::format::Format;
use crate::messages::{done, json, json_value, out};

/// List all attached stages, both built-in ones and plugins
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  velatura plugins --format json")]
pub(crate) struct Plugins {
    #[command(flatten)]
    plugins: PluginArgs,
    /// Also list the plugins that these figures name
    #[arg(value_name = "FIGURE.toml")]
    figures: Vec<PathBuf>,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

impl Plugins {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let figures: Vec<&Path> = self.figures.iter().map(PathBuf::as_path).collect();
        let session = session(&self.plugins, &figures, self.format, Purpose::Look)?.build()?;
        let infos = session.stages();
        let uses = LastUses::read();
        if self.format == Format::Json {
            let stages: Result<Vec<Value>, _> = infos
                .iter()
                .map(|info| with_last_use(info, &uses))
                .collect();
            out(&json(&stages?)?)?;
        } else {
            let mut text: String = infos.iter().map(|info| described(info, &uses)).collect();
            text += &format!("plugins: {}\n", capabilities());
            if let Some(folder) = offered_from() {
                text += &format!("your plugin folder: {}\n", folder.display());
            }
            out(&text)?;
        }
        Ok(done(session.unattached(), self.format))
    }
}

/// A stage as JSON; for a plugin also whether its file has changed since it was last used.
fn with_last_use(info: &StageInfo, uses: &LastUses) -> Result<Value, Error> {
    let mut value = json_value(info)?;
    if let (Some(last), Some(file)) = (uses.of(info), value.get_mut("file")) {
        file["last_use"] = last.into();
    }
    Ok(value)
}

fn described(info: &StageInfo, uses: &LastUses) -> String {
    let reach = match info.reach_px {
        None => "reads the whole picture".to_owned(),
        Some(0) => "reads each pixel on its own".to_owned(),
        Some(reach) => format!("reads up to {reach} px around each pixel"),
    };
    let same = if info.deterministic {
        "the same input gives the same output"
    } else {
        "output may differ from run to run"
    };
    let mut text = format!(
        "{} · {} {}\n  {} → {}\n  {reach}; {same}\n",
        info.attach_point, info.name, info.version, info.takes, info.gives
    );
    let properties = info.parameters.get("properties").and_then(Value::as_object);
    for (name, schema) in properties.into_iter().flatten() {
        let default = schema
            .get("default")
            .map_or(String::new(), |default| format!("; default {default}"));
        text += &format!("  {name}: {}{default}\n", in_words(schema));
    }
    if let Some(file) = &info.file {
        let last = uses.of(info).unwrap_or_default();
        text += &format!("  from {}, {last}\n  SHA-256 {}\n", file.path, file.sha256);
    }
    text
}
