//! `velatura desk`: the page of the desk, with a figure on it.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;
use velatura::DiskFiles;
use velatura_desk::FigureFolder;
use velatura_pipeline::Error;

use crate::desk::{Answers, Server, token};
use crate::format::Format;
use crate::messages::{json, out};

/// Open the desk, a page that does the whole job, in the browser of this machine
///
/// The page comes from this program, at an address that only this machine reaches. With FIGURE.toml that figure is on the desk.
/// Nothing in its folder changes until you press "Save into the folder"; then the texts that you changed are written, and a mask
/// that you drew on a photo of at most 1600 pixels. The photos stay as they are. Press Ctrl+C to end.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  velatura desk demo_images/lamplighter/figure.toml")]
pub(crate) struct Desk {
    /// Put this figure on the desk; paints.toml and schemes.toml are read from the same folder
    #[arg(value_name = "FIGURE.toml")]
    figure: Option<PathBuf>,

    /// Print the address and open no browser
    #[arg(long)]
    no_browser: bool,

    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
}

impl Desk {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let mut folder = self.figure.map(FigureFolder::of);
        // Says now what would else be said in the browser.
        if let Some(folder) = &mut folder {
            folder.project(&DiskFiles)?;
        }
        let server = Server::open()?;
        let limits = *velatura::session().build()?.limits();
        let answers = Answers::new(server.address(), token()?, folder, limits);
        let url = answers.url();
        match self.format {
            Format::Json => out(&json(&serde_json::json!({ "url": url }))?)?,
            Format::Text => out(&format!("The desk is at {url}\nPress Ctrl+C to end.\n"))?,
        }
        if !self.no_browser && open::that_detached(&url).is_err() {
            out("No browser could be opened. Open the address yourself.\n")?;
        }
        server.run(answers);
        Ok(ExitCode::SUCCESS)
    }
}
