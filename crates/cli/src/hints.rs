//! Hints in the words of the command: a library's hints as options and commands.

use velatura_document::{Diagnostic, Hint};

/// The same problem with its help in the command's own words.
pub(crate) fn with_options(problem: &Diagnostic) -> Diagnostic {
    let mut problem = problem.clone();
    problem.help = problem
        .help
        .map(|hint| Hint::Words(hint.to_text(&in_words)));
    problem
}

/// All problems with their help in the command's own words.
pub(crate) fn all_with_options(problems: &[Diagnostic]) -> Vec<Diagnostic> {
    problems.iter().map(with_options).collect()
}

fn in_words(hint: &Hint) -> String {
    match hint {
        Hint::AutomaticBackend => {
            "use --backend auto, which uses the processor if there is no device".into()
        }
        Hint::ListDevices => "run `velatura devices` to list them".into(),
        Hint::OtherAdapter => {
            "set VELATURA_ADAPTER to part of an adapter's name, or remove it".into()
        }
        Hint::OtherOutput => "choose another --out".into(),
        Hint::CardColours => {
            "give their colours: --black-card \"#1c1c1c\" --white-card \"#f4f2ee\"".into()
        }
        Hint::NoCardColours => "remove --black-card and --white-card".into(),
        Hint::SpecularSetting => "add --specular included or --specular excluded".into(),
        Hint::UnitPercent => "if all values are percentages, add --unit percent".into(),
        Hint::Opacity(word) => format!("add --opacity {word} for all chips that do not state it"),
        Hint::ColourCode => {
            "write # and six hexadecimal digits, in quotes: the shell reads a bare # as a comment"
                .into()
        }
        Hint::Screen => "check --screen-ppi and --screen-distance-mm".into(),
        Hint::AttachPlugin => {
            "attach its plugin with --plugin, or name it in `plugins` in figure.toml".into()
        }
        Hint::BuildWithPlugins => "build it without --no-default-features".into(),
        // Words that fit every program, and hints that need no option.
        hint => hint.neutral_words(),
    }
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    use super::*;

    /// Options and subcommands that a text names: `--out`, `velatura devices`.
    fn named(text: &str) -> (Vec<String>, Vec<String>) {
        let word = |rest: &str| -> String {
            rest.chars()
                .take_while(|c| c.is_ascii_alphanumeric() || *c == '-')
                .collect()
        };
        let all = |before: &str| text.split(before).skip(1).map(word).collect();
        (all(" --"), all("`velatura "))
    }

    #[test]
    fn every_hint_names_options_and_commands_that_there_are() {
        let mut command = crate::Arguments::command();
        command.build();
        let commands: Vec<&str> = command
            .get_subcommands()
            .map(|one| one.get_name())
            .collect();
        let options: Vec<&str> = command
            .get_subcommands()
            .flat_map(|one| {
                one.get_arguments()
                    .filter_map(|argument| argument.get_long())
            })
            .collect();
        let hints = [
            Hint::AutomaticBackend,
            Hint::ListDevices,
            Hint::OtherOutput,
            Hint::CardColours,
            Hint::NoCardColours,
            Hint::SpecularSetting,
            Hint::UnitPercent,
            Hint::Opacity("opaque".into()),
            Hint::Screen,
            Hint::AttachPlugin,
        ];
        for hint in hints {
            let words = in_words(&hint);
            let (own_options, own_commands) = named(&words);
            assert!(
                !own_options.is_empty() || !own_commands.is_empty(),
                "{hint:?} needs no words of the command: {words}"
            );
            for option in own_options {
                assert!(options.contains(&option.as_str()), "--{option}: {words}");
            }
            for own in own_commands {
                assert!(commands.contains(&own.as_str()), "{own}: {words}");
            }
            let neutral = named(&format!(" {hint}"));
            assert_eq!(
                neutral,
                (Vec::new(), Vec::new()),
                "{hint:?} has neutral words"
            );
        }
    }

    #[test]
    fn every_way_of_a_problem_gets_the_words_of_the_command() {
        let hint = Hint::from("move the folder").or(Hint::OtherOutput);
        let problem = Diagnostic::error("a", "b").help(hint);
        let text = with_options(&problem).to_string();
        assert!(
            text.ends_with("help: move the folder, or choose another --out"),
            "{text}"
        );
        // Must stay: what a library's readers see.
        assert!(!problem.to_string().contains("--"), "{problem}");
    }
}
