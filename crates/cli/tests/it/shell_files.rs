//! Completions and manual pages cover every command.

use std::collections::BTreeSet;

use crate::desk::Desk;

/// The commands that `--help` lists.
fn commands(desk: &Desk) -> BTreeSet<String> {
    let help = String::from_utf8(desk.run(&["--help"]).stdout).unwrap();
    let list = help.split("Commands:\n").nth(1).unwrap();
    let lines = list.lines().take_while(|line| !line.is_empty());
    lines
        // Further lines of a long sentence begin farther to the right.
        .filter_map(|line| {
            line.strip_prefix("  ")
                .filter(|line| !line.starts_with(' '))
        })
        .filter_map(|line| line.split_whitespace().next())
        .filter(|name| *name != "help")
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_shell_completes_every_command() {
    let desk = Desk::empty();
    let commands = commands(&desk);
    assert!(
        commands.len() >= 16 && commands.contains("render"),
        "{commands:?}"
    );
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let output = desk.run(&["completions", shell]);
        assert_eq!(output.status.code(), Some(0));
        let script = String::from_utf8(output.stdout).unwrap();
        for command in &commands {
            assert!(script.contains(command), "{shell}: {command}");
        }
        // Escaped characters would break a script.
        assert!(!script.contains("\\u{"), "{shell}");
    }
    assert_eq!(desk.run(&["completions", "abacus"]).status.code(), Some(2));
}

#[test]
fn every_command_has_a_manual_page() {
    let desk = Desk::empty();
    let output = desk.run(&["manual", "--out", "man"]);
    assert_eq!(output.status.code(), Some(0));
    let mut pages = BTreeSet::new();
    for entry in std::fs::read_dir(desk.path("man")).unwrap() {
        let entry = entry.unwrap();
        pages.insert(entry.file_name().into_string().unwrap());
        let text = std::fs::read_to_string(entry.path()).unwrap();
        for part in [".TH velatura", ".SH NAME", ".SH SYNOPSIS"] {
            assert!(text.contains(part), "{:?}: {part}", entry.file_name());
        }
    }
    let mut expected: BTreeSet<String> = commands(&desk)
        .iter()
        .map(|name| format!("velatura-{name}.1"))
        .collect();
    expected.insert("velatura.1".to_owned());
    assert_eq!(pages, expected);
}
