//! Help, version, usage: every command explains itself with an example that runs.

use super::{said, stillroom, text};
use crate::commands::root;

const COMMANDS: &[&[&str]] = &[
    &["demo"],
    &["checklist"],
    &["checklist", "list"],
    &["checklist", "show"],
    &["checklist", "blank"],
    &["checklist", "check"],
    &["checklist", "score"],
    &["sound"],
    &["photo"],
    &["audit"],
    &["agree"],
    &["compare"],
    &["ladder"],
    &["session"],
    &["review"],
    &["decide"],
    &["troubleshoot"],
    &["evidence"],
    &["reinforcers"],
    &["needs"],
    &["screens"],
    &["dose"],
    &["report"],
    &["case"],
    &["case", "new"],
    &["case", "list"],
    &["case", "show"],
    &["case", "child"],
];

#[test]
fn every_command_has_help_that_opens_with_an_imperative_without_full_stop() {
    for command in COMMANDS {
        let mut words = command.to_vec();
        words.push("--help");
        let help = text(&stillroom(&root(), &words));
        let first = help.lines().next().unwrap();
        assert!(!first.ends_with('.') && first.starts_with(char::is_uppercase), "{command:?}: {first}");
        assert!(help.contains("Usage: stillroom"), "{command:?}");
    }
}

#[test]
fn usage_faults_exit_with_two_and_name_the_option() {
    for (words, names) in [
        (&["sound"][..], "<FILE>"),
        (&["photo", "--elephant"], "--elephant"),
        (&["ladder"], "--case"),
        (&["audit", "--answers", "x.toml"], "--checklist"),
        (&["sound", "a.wav", "--offset", "loud"], "loud"),
        (&["sound", "a.wav", "--offset", "90", "--reference", "b.wav", "--reference-db", "94"], "--reference"),
        (&["photo", "--compare", "one.jpg"], "--compare"),
        (&["demoo"], "demo"),
    ] {
        let output = stillroom(&root(), words);
        assert_eq!(output.status.code(), Some(2), "{words:?}: {}", said(&output));
        assert!(output.stdout.is_empty(), "{words:?}");
        assert!(String::from_utf8_lossy(&output.stderr).contains(names), "{words:?}: {}", said(&output));
    }
}

#[test]
fn without_colour_there_is_no_escape_sign() {
    let output = stillroom(&root(), &["checklist", "show", "home-corner"]);
    assert!(!text(&output).contains('\u{1b}'));
    let output = stillroom(&root(), &["--help"]);
    assert!(!text(&output).contains('\u{1b}'));
}
