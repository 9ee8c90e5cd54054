//! `velatura completions` and `velatura manual`: what a shell and `man` need, made from the command itself.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, CommandFactory};
use clap_complete::{Shell, generate};
use velatura::{Error, OutputFolder, Outputs};

use crate::Arguments;
use crate::messages::out;

/// Print the completion script of a shell
///
/// Put its output where your shell looks for such scripts, then the Tab key completes commands and options.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  velatura completions bash > ~/.local/share/bash-completion/completions/velatura"
)]
pub(crate) struct Completions {
    /// The shell
    #[arg(value_name = "SHELL", value_enum)]
    shell: Shell,
}

impl Completions {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let mut script = Vec::new();
        generate(
            self.shell,
            &mut Arguments::command(),
            "velatura",
            &mut script,
        );
        out(&String::from_utf8_lossy(&script))?;
        Ok(ExitCode::SUCCESS)
    }
}

/// Write the manual pages, one for each command
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  velatura manual --out ~/.local/share/man/man1")]
pub(crate) struct Manual {
    /// Write the pages to this folder; create it if needed
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
}

impl Manual {
    pub(super) fn run(self) -> Result<ExitCode, Error> {
        let mut command = Arguments::command();
        command.build();
        let own = [("velatura".to_owned(), command.clone())];
        let pages: Vec<(String, clap::Command)> = command
            .get_subcommands()
            .filter(|one| one.get_name() != "help")
            .map(|one| {
                let name = format!("velatura-{}", one.get_name());
                (name, one.clone())
            })
            .chain(own)
            .collect();
        let file = |name: &str| format!("{name}.1");
        let names: Vec<String> = pages.iter().map(|(name, _)| file(name)).collect();
        let outputs = OutputFolder::new(&self.out);
        let files = outputs.open(&names, &[])?;
        for (name, page) in pages {
            let mut text = Vec::new();
            clap_mangen::Man::new(page)
                .title(name.clone())
                .render(&mut text)
                .map_err(|error| Error::io(file(&name), "writing a manual page", error))?;
            files.write(&file(&name), &text)?;
        }
        files.commit()?;
        out(&format!("manual    {}\n", self.out.display()))?;
        Ok(ExitCode::SUCCESS)
    }
}
