//! Real processes: killed at random moments, cut off by a file-size limit, and twenty-four of them at once.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use jiff::Timestamp;
use proptest::prelude::Rng as _;
use stillroom::case::{Case, TEMPORARY, check};

use super::made::{case, names, note};
use crate::commands::{document, refusal, said, stillroom, with_input};

/// The folder that a writing process writes into, how many records, and what tells its records from others'.
const FOLDER: &str = "STILLROOM_TEST_FOLDER";
const COUNT: &str = "STILLROOM_TEST_COUNT";
const MARK: &str = "STILLROOM_TEST_MARK";
/// How many processes are killed; 60 unless the environment says more.
const KILLS: &str = "STILLROOM_KILLS";

/// What this test binary is run with to become a writer.
const WRITER: [&str; 3] = ["--exact", "case::kill::a_writer_says_a_record_only_once_it_is_there", "--nocapture"];

/// Adds records one after the other and says each once it is safely there.
fn write_and_say(folder: &Path, count: u32, mark: &str, out: &mut dyn Write) {
    let case = Case::open(folder).unwrap();
    for number in 0..count {
        // Every third record is large, so that a kill falls into the middle of writing too.
        let text = format!("{mark} {number} {}", "rain ".repeat(if number % 3 == 0 { 40_000 } else { 3 }));
        let name = case.add(&note(number, &text)).unwrap();
        writeln!(out, "kept {name}").unwrap();
        out.flush().unwrap();
    }
}

#[test]
fn a_writer_says_a_record_only_once_it_is_there() {
    if let Some(folder) = std::env::var_os(FOLDER) {
        let number = |name: &str| std::env::var(name).unwrap();
        write_and_say(Path::new(&folder), number(COUNT).parse().unwrap(), &number(MARK), &mut std::io::stdout());
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), "Fern", 0);
    let mut said = Vec::new();
    write_and_say(folder.path(), 4, "here", &mut said);
    assert_eq!(kept(&said).len(), 4);
    assert_eq!(Case::open(folder.path()).unwrap().read().unwrap().records.len(), 5);
}

fn writer(folder: &Path, count: u32, mark: &str) -> Child {
    Command::new(std::env::current_exe().unwrap())
        .args(WRITER)
        .env(FOLDER, folder)
        .env(COUNT, count.to_string())
        .env(MARK, mark)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// The records that a writer said are there.
fn kept(output: &[u8]) -> Vec<String> {
    let whole = |line: &Result<String, _>| line.as_ref().is_ok_and(|line: &String| line.ends_with(".toml"));
    let lines = BufReader::new(output).lines().filter(whole);
    lines.filter_map(|line| line.unwrap().split_once("kept ").map(|(_, name)| name.to_owned())).collect()
}

#[test]
fn whenever_a_writer_is_killed_every_record_it_said_is_there_and_sound() {
    let kills: u32 = std::env::var(KILLS).map_or(60, |kills| kills.parse().unwrap());
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), "Fern", 0);
    let mut random = proptest::test_runner::TestRng::deterministic_rng(proptest::test_runner::RngAlgorithm::ChaCha);
    let mut said = Vec::new();
    for kill in 0..kills {
        let mut process = writer(folder.path(), 100_000, &format!("process {kill}"));
        // From before the first record to well into the writing.
        std::thread::sleep(Duration::from_micros(u64::from(random.next_u32() % 60_000)));
        process.kill().unwrap();
        said.extend(kept(&process.wait_with_output().unwrap().stdout));
    }
    let here = names(folder.path());
    let lost: Vec<_> = said.iter().filter(|name| !here.contains(name)).collect();
    assert!(lost.is_empty(), "lost: {lost:?}");
    let checked = check(&Case::open(folder.path()).unwrap(), Timestamp::UNIX_EPOCH).unwrap();
    assert!(checked.findings.is_empty(), "{:?}", checked.findings);
    let leftovers = here.iter().filter(|name| name.starts_with(TEMPORARY)).count();
    assert_eq!(checked.notices.len(), leftovers, "{:?}", checked.notices);
    let text = format!("{kills} kills: {} records said, {} there, {leftovers} leftovers", said.len(), checked.records);
    assert!(said.len() > kills as usize / 4, "hardly a record was written before a kill: {text}");
    say(&text);
}

#[expect(clippy::print_stdout, reason = "shown with --nocapture, for the record of a long run")]
fn say(text: &str) {
    println!("{text}");
}

#[test]
fn twenty_four_writers_at_once_lose_nothing_and_need_no_lock() {
    let folder = tempfile::tempdir().unwrap();
    case(folder.path(), "Fern", 0);
    // Every two of them write the very same records at the same time.
    let writers: Vec<Child> =
        (0..24).map(|number| writer(folder.path(), 20, &format!("pair {}", number / 2))).collect();
    let mut said = Vec::new();
    for process in writers {
        let output = process.wait_with_output().unwrap();
        assert!(output.status.success());
        let names = kept(&output.stdout);
        assert_eq!(names.len(), 20);
        said.extend(names);
    }
    said.sort();
    said.dedup();
    assert_eq!(said.len(), 12 * 20);
    let checked = check(&Case::open(folder.path()).unwrap(), Timestamp::UNIX_EPOCH).unwrap();
    assert!(checked.findings.is_empty() && checked.notices.is_empty(), "{:?}", checked);
    assert_eq!(checked.records, 12 * 20 + 1);
}

#[cfg(unix)]
#[test]
fn a_full_disk_is_refused_with_nothing_left_behind() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("fern");
    case(&folder, "Fern", 3);
    let before = names(&folder);
    let text = format!("[note]\ntext = \"{}\"\n", "rain ".repeat(20_000));
    std::fs::write(outer.path().join("note.toml"), &text).unwrap();
    // A limit of 8 kB a file stands for a disk that is full; the signal is ignored, so that writing fails instead.
    let limited = |trap: &str| {
        let script = format!("{trap} ulimit -f 8; exec \"$0\" case add fern note.toml --format json");
        Command::new("bash")
            .args(["-c", &script, env!("CARGO_BIN_EXE_stillroom")])
            .current_dir(outer.path())
            .output()
            .unwrap()
    };
    let refused = refusal(&limited("trap '' XFSZ;"));
    assert_eq!(refused["code"], "case-io", "{refused}");
    assert_eq!(names(&folder), before, "something stayed behind");
    // Without the trap the system stops the program in the middle of writing.
    let stopped = limited("");
    assert_eq!(stopped.status.code(), None, "{}", said(&stopped));
    let left: Vec<String> = names(&folder).into_iter().filter(|name| !before.contains(name)).collect();
    assert!(matches!(&left[..], [one] if one.starts_with(TEMPORARY)), "{left:?}");
    let checked = document(&stillroom(outer.path(), &["case", "check", "fern", "--format", "json"]));
    assert_eq!((&checked["sound"], &checked["notices"][0]["name"]), (&true.into(), &left[0].as_str().into()));
    // With room again the same record goes in.
    document(&stillroom(outer.path(), &["case", "add", "fern", "note.toml", "--format", "json"]));
    assert!(with_input(outer.path(), &["case", "check", "fern"], b"").status.success());
}

#[cfg(unix)]
#[test]
fn a_leftover_is_named_and_removed_once_it_is_older_than_an_hour() {
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("fern");
    case(&folder, "Fern", 0);
    let old = folder.join(format!("{TEMPORARY}1-1"));
    let new = folder.join(format!("{TEMPORARY}1-2"));
    std::fs::write(&old, "half").unwrap();
    std::fs::write(&new, "half").unwrap();
    assert!(Command::new("touch").args(["-d", "2 hours ago"]).arg(&old).status().unwrap().success());
    let checked = document(&stillroom(outer.path(), &["case", "check", "fern", "--format", "json"]));
    assert_eq!(checked["sound"], true);
    let codes: Vec<&str> =
        checked["notices"].as_array().unwrap().iter().map(|one| one["code"].as_str().unwrap()).collect();
    assert_eq!(codes, ["leftover-removed", "leftover"]);
    assert!(!old.exists() && new.exists());
}
