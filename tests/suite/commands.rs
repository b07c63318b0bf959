//! Whole commands, as a user or a program runs them: what they print, how they refuse, what they leave behind.

mod carrying;
mod demo;
mod evidence;
mod files;
mod forms;
mod guides;
mod help;
mod keeping_photos;
mod ladder;
mod languages;
mod practising;
mod refusals;
mod visits;
mod walks;
mod where_when;

use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::Duration;

use serde_json::Value;

/// The project's own folder.
pub(crate) fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// A file of the demo, or of the reference data.
pub(crate) fn file(name: &str) -> String {
    root().join(name).display().to_string()
}

/// A command in a folder, with nothing on standard input.
pub(crate) fn stillroom(folder: &Path, words: &[&str]) -> Output {
    with_input(folder, words, b"")
}

/// A command in a folder, with `input` on standard input.
pub(crate) fn with_input(folder: &Path, words: &[&str], input: &[u8]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_stillroom"))
        .args(words)
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .env("LC_ALL", "C")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A command that refuses early does not read its input; the broken pipe is no fault of the test.
    let _unread = child.stdin.take().unwrap().write_all(input);
    child.wait_with_output().unwrap()
}

/// The document a command prints when it is done.
#[track_caller]
pub(crate) fn document(output: &Output) -> Value {
    assert!(output.status.success(), "{}", said(output));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// The refusal a command gives with `--format json`: exit 1, nothing on standard output, one document on standard error.
#[track_caller]
pub(crate) fn refusal(output: &Output) -> Value {
    assert_eq!(output.status.code(), Some(1), "{}", said(output));
    assert!(output.stdout.is_empty(), "a refusal prints no result: {}", String::from_utf8_lossy(&output.stdout));
    let document: Value = serde_json::from_slice(&output.stderr).unwrap_or_else(|_| panic!("{}", said(output)));
    assert_eq!(document["schema"], "stillroom.refusal/1");
    assert!(!document["message"].as_str().unwrap().is_empty());
    document
}

/// All that a command said, for a failed test.
pub(crate) fn said(output: &Output) -> String {
    format!(
        "{}\n{}\n{}",
        output.status,
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    )
}

/// The text a command prints when it is done.
#[track_caller]
pub(crate) fn text(output: &Output) -> String {
    assert!(output.status.success(), "{}", said(output));
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// A terminal for a program that asks at one: as soon as the screen shows a prompt that was not answered yet, its answer
/// is typed. Gives whether the program succeeded and all that the screen showed.
pub(crate) fn at_a_terminal(folder: &Path, command: &str, answers: &[(&str, &str)]) -> (bool, String) {
    let mut child = Command::new("timeout")
        .args(["--kill-after=5", "120", "script", "--quiet", "--return", "--command", command, "/dev/null"])
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .env("LC_ALL", "C")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    let mut output = child.stdout.take().unwrap();
    let mut answers = answers.iter();
    let mut next = answers.next();
    let (mut seen, mut since) = (Vec::new(), 0);
    let mut buffer = [0u8; 256];
    loop {
        let read = output.read(&mut buffer).unwrap_or(0);
        if read == 0 {
            break;
        }
        seen.extend_from_slice(&buffer[..read]);
        if let Some((prompt, answer)) = next
            && String::from_utf8_lossy(&seen[since..]).contains(prompt)
        {
            // Between asking and listening a program turns the echo off.
            std::thread::sleep(Duration::from_millis(500));
            writeln!(input, "{answer}").unwrap();
            since = seen.len();
            next = answers.next();
        }
    }
    let done = child.wait().unwrap().success();
    let seen = String::from_utf8_lossy(&seen).into_owned();
    assert!(next.is_none(), "not asked for {next:?}: {seen}");
    (done, seen)
}
