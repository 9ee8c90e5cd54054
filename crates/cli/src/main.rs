//! The `velatura` command: arguments in, messages and exit status out. Nothing is computed here.

mod attached;
mod chips;
mod commands;
#[cfg(feature = "desk")]
mod desk;
mod files;
mod fits;
mod format;
mod hints;
mod long_search;
mod many;
mod marked_photo;
mod messages;
mod number;
mod outputs;
mod paints;
mod picture;
mod progress;
mod signals;
mod threads;
mod undercoat;
mod usage;

use std::process::ExitCode;

use clap::Parser;

/// Preview paint schemes on a photo of an underpainted figure, in the colours they dry to.
#[derive(Debug, Parser)]
#[command(
    name = "velatura",
    version,
    max_term_width = 100,
    after_help = "Exit status:\n  0  finished\n  1  error in an input file; nothing was written\n  2  error in the arguments; nothing was written\n  3  the machine could not do it; nothing was written\n  4  finished, but a stage failed (see the message)",
    arg_required_else_help = true
)]
struct Arguments {
    #[command(subcommand)]
    command: commands::Command,
}

fn main() -> ExitCode {
    let command = match usage::parse::<Arguments>(std::env::args_os()) {
        Ok(arguments) => arguments.command,
        Err(status) => return status,
    };
    let format = command.format();
    let started = signals::watch().and_then(|()| threads::make_pool());
    match started.and_then(|()| command.run()) {
        Ok(status) => status,
        Err(error) => messages::report(&error, format),
    }
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    use super::*;

    #[test]
    fn every_command_has_an_example_in_its_help() {
        let mut command = Arguments::command();
        command.build();
        let names: Vec<String> = command
            .get_subcommands()
            .map(|one| one.get_name().to_owned())
            .collect();
        assert!(names.len() >= 4, "{names:?}");
        for one in command
            .get_subcommands_mut()
            .filter(|one| one.get_name() != "help")
        {
            let help = one.render_long_help().to_string();
            assert!(
                help.contains("Example"),
                "{} has no example",
                one.get_name()
            );
        }
    }
}
