//! The examples in the help of both commands are run unchanged.

use std::process::Command;

use super::root;

/// The calls in a command's help, each as its words; a backslash at the end continues in the next line.
fn examples(command: &str) -> Vec<Vec<String>> {
    let help = Command::new(env!("CARGO_BIN_EXE_velatura"))
        .args([command, "--help"])
        .output()
        .unwrap();
    let help = String::from_utf8(help.stdout).unwrap().replace("\\\n", " ");
    let calls = help
        .lines()
        .filter_map(|line| line.trim().strip_prefix("velatura "));
    calls.map(words).collect()
}

/// Words of a shell line with double quotes.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (index, piece) in line.split('"').enumerate() {
        if index % 2 == 1 {
            words.push(piece.to_owned());
        } else {
            words.extend(piece.split_whitespace().map(str::to_owned));
        }
    }
    words
}

#[test]
fn every_example_in_the_help_runs() {
    for (command, count) in [("predict", 2), ("match", 3)] {
        let calls = examples(command);
        assert_eq!(calls.len(), count, "{calls:?}");
        for call in calls {
            let output = Command::new(env!("CARGO_BIN_EXE_velatura"))
                .args(&call)
                .current_dir(root())
                .output()
                .unwrap();
            let reported = String::from_utf8(output.stderr).unwrap();
            assert!(
                output.status.success() && reported.is_empty(),
                "{call:?}: {reported}"
            );
            assert!(output.stdout.starts_with(b"over") || output.stdout.starts_with(b"target"));
        }
    }
}
