//! The house rules, run as a test: it reads files and builds nothing. DEVELOPERS.md says why each rule is there.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The floors, lowest first. An arrow goes to a lower floor only.
const FLOORS: &[&[&str]] = &[
    &["files", "language", "quantity", "words"],
    &["checklist", "sound", "photo", "devices"],
    &["load", "paper"],
    &["calm", "evidence", "ladder", "practice"],
    &["contract"],
    &["case", "report"],
    &["tasks"],
    &["cli", "page", "main", "lib"],
];

/// Words that may stand in these rooms only, each with the reason.
const KEPT_IN: &[(&str, &[&str], &str)] = &[
    ("std::fs", &["files/", "devices/microphone/pulse.rs", "devices/zone.rs"], "one room has the file system"),
    ("std::net", &["page/server.rs"], "nothing leaves the machine"),
    ("httparse", &["page/server.rs"], "one file speaks HTTP"),
    ("std::env", &["main.rs"], "the environment is handed in"),
    ("SystemTime", &["devices/", "files/memory.rs"], "time is handed in"), // there the type alone
    ("Timestamp::now", &["devices/"], "time is handed in"),
    ("pulseaudio::", &["devices/microphone/pulse.rs"], "one file names the sound server"),
    ("cpal", &["devices/microphone/native.rs"], "one file names the system's sound library"),
    ("println!", &[], "faces write to a handed-in writer"),
    ("eprint", &[], "faces write to a handed-in writer"),
    ("derive(Serialize", &["contract/"], "wire forms live in one room"),
    (", Serialize", &["contract/"], "wire forms live in one room"),
];

/// Longest file, so that each keeps one purpose.
const MOST_LINES: usize = 450;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn files_below(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_owned()];
    while let Some(folder) = open.pop() {
        let Ok(entries) = fs::read_dir(&folder) else { continue };
        for entry in entries {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else if path.to_string_lossy().ends_with(ending) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// The source without comments and without the unit tests at its end.
fn code(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap();
    let text = text.split("#[cfg(test)]\nmod tests").next().unwrap_or_default().to_owned();
    text.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

fn inside(path: &Path) -> String {
    path.strip_prefix(root().join("src")).unwrap().to_string_lossy().replace('\\', "/")
}

fn room_of(path: &Path) -> String {
    inside(path).split('/').next().unwrap().trim_end_matches(".rs").to_owned()
}

fn floor_of(room: &str) -> Option<usize> {
    FLOORS.iter().position(|floor| floor.contains(&room))
}

/// Rooms named by `crate::NAME` and `crate::{A, B::C}`.
fn rooms_named(code: &str) -> BTreeSet<String> {
    let word = |text: &str| text.trim().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
    let mut named = BTreeSet::new();
    for (at, _) in code.match_indices("crate::") {
        let rest = &code[at + "crate::".len()..];
        if let Some(group) = rest.strip_prefix('{') {
            let mut depth = 0usize;
            let mut part = String::new();
            for sign in group.chars() {
                match sign {
                    '{' => depth += 1,
                    '}' if depth == 0 => break,
                    '}' => depth -= 1,
                    ',' if depth == 0 => {
                        named.insert(word(&part));
                        part.clear();
                        continue;
                    }
                    _ => {}
                }
                part.push(sign);
            }
            named.insert(word(&part));
        } else {
            named.insert(word(rest));
        }
    }
    named
}

#[track_caller]
fn none(breaches: &[String], rule: &str) {
    assert!(breaches.is_empty(), "{rule}:\n  {}", breaches.join("\n  "));
}

#[test]
fn arrows_go_to_lower_floors_only() {
    let mut breaches = Vec::new();
    for path in files_below(&root().join("src"), ".rs") {
        let room = room_of(&path);
        let Some(floor) = floor_of(&room) else {
            breaches.push(format!("{}: room `{room}` stands on no floor", inside(&path)));
            continue;
        };
        for named in rooms_named(&code(&path)) {
            if let Some(other) = floor_of(&named)
                && named != room
                && other >= floor
            {
                breaches.push(format!("{}: {room} ({floor}) names {named} ({other})", inside(&path)));
            }
        }
    }
    none(&breaches, "an arrow goes to a lower floor only");
}

#[test]
fn the_world_stays_in_its_rooms() {
    let mut breaches = Vec::new();
    for path in files_below(&root().join("src"), ".rs") {
        let (code, name) = (code(&path), inside(&path));
        for (word, rooms, reason) in KEPT_IN {
            if code.contains(word) && !rooms.iter().any(|room| name.starts_with(room)) {
                breaches.push(format!("{name}: `{word}` ({reason})"));
            }
        }
    }
    none(&breaches, "the world is handed in");
}

#[test]
fn every_file_says_what_it_is_and_stays_short() {
    let mut breaches = Vec::new();
    let folders = ["src", "tests", "benches", "examples"];
    for path in folders.iter().flat_map(|folder| files_below(&root().join(folder), ".rs")) {
        let text = fs::read_to_string(&path).unwrap();
        let name = path.strip_prefix(root()).unwrap().display().to_string();
        if !text.starts_with("//!") {
            breaches.push(format!("{name}: does not open with //!"));
        }
        let lines = text.lines().count();
        if lines > MOST_LINES {
            breaches.push(format!("{name}: {lines} lines"));
        }
        if name == "src/main.rs" && lines > 30 {
            breaches.push(format!("{name}: {lines} lines, a main has 30"));
        }
    }
    none(&breaches, "a file says what it is, and is one thing");
}

#[test]
fn no_test_file_is_forgotten() {
    let suite = root().join("tests/suite");
    let main = fs::read_to_string(suite.join("main.rs")).unwrap();
    let mut breaches = Vec::new();
    for path in files_below(&suite, ".rs") {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let parent = path.parent().unwrap();
        let declared_in = if parent == suite {
            main.clone()
        } else {
            let outer = parent.with_extension("rs");
            fs::read_to_string(if outer.exists() { outer } else { parent.join("mod.rs") }).unwrap()
        };
        if name != "main" && name != "mod" && !declared_in.contains(&format!("mod {name};")) {
            breaches.push(path.display().to_string());
        }
    }
    none(&breaches, "rustc says nothing of a forgotten test file");
}

#[test]
fn every_schema_is_described() {
    let formats = fs::read_to_string(root().join("docs/FORMATS.md")).unwrap();
    let mut breaches = Vec::new();
    for path in files_below(&root().join("src"), ".rs") {
        let code = code(&path);
        for (at, _) in code.match_indices("\"stillroom.") {
            let schema = code[at + 1..].split(['"', '\\']).next().unwrap();
            if schema.contains('/') && !formats.contains(&format!("`{schema}`")) {
                breaches.push(format!("{schema} ({})", inside(&path)));
            }
        }
    }
    none(&breaches, "docs/FORMATS.md has a section for every schema");
}

#[test]
fn every_constant_of_the_scale_says_what_it_rests_on() {
    let text = fs::read_to_string(root().join("checklists/scale.toml")).unwrap();
    let scale: toml::Table = text.parse().unwrap();
    let mut breaches = Vec::new();
    for (name, table) in scale.iter().filter_map(|(name, value)| value.as_table().map(|table| (name, table))) {
        for key in ["evidence", "source"] {
            if table.get(key).and_then(|value| value.as_str()).is_none_or(str::is_empty) {
                breaches.push(format!("[{name}] has no {key}"));
            }
        }
    }
    none(&breaches, "every constant carries its evidence and source");
}

#[test]
fn every_source_key_stands_in_the_list_of_sources() {
    let sources = fs::read_to_string(root().join("docs/SOURCES.md")).unwrap();
    let mut breaches = Vec::new();
    for path in files_below(&root().join("src"), ".rs") {
        let text = fs::read_to_string(&path).unwrap();
        for line in text.lines().filter(|line| line.trim_start().starts_with("//")) {
            for part in line.split('[').skip(1) {
                let key = part.split(']').next().unwrap();
                let is_key = key.len() >= 5
                    && key.bytes().all(|sign| sign.is_ascii_uppercase() || sign.is_ascii_digit() || sign == b'-')
                    && key.bytes().any(|sign| sign.is_ascii_digit());
                if is_key && part.len() > key.len() && !sources.contains(&format!("[{key}]")) {
                    breaches.push(format!("{}: [{key}]", inside(&path)));
                }
            }
        }
    }
    none(&breaches, "docs/SOURCES.md has every key");
}

/// Licences that were read and are compatible with MIT OR Apache-2.0 for a program handed out as a whole.
const LICENCES: &[&str] = &[
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "ISC",
    "MIT",
    "MPL-2.0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

#[test]
fn every_licence_was_read() {
    // Only what is built here was fetched, so only that can be read without a network.
    let version = Command::new("rustc").arg("-vV").output().unwrap();
    let version = String::from_utf8(version.stdout).unwrap();
    let host = version.lines().find_map(|line| line.strip_prefix("host: ")).unwrap();
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--locked", "--offline", "--filter-platform", host])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let metadata: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let mut unread: BTreeMap<String, String> = BTreeMap::new();
    for package in metadata["packages"].as_array().unwrap() {
        let licence = package["license"].as_str().unwrap_or("none");
        // Of alternatives one read licence is enough; of licences that hold together each must be read.
        let read = licence
            .replace('/', " OR ")
            .replace(['(', ')'], " ")
            .split(" OR ")
            .any(|choice| choice.split(" AND ").all(|one| LICENCES.contains(&one.trim())));
        if !read {
            unread.insert(package["name"].as_str().unwrap().to_owned(), licence.to_owned());
        }
    }
    assert!(unread.is_empty(), "licences nobody has read: {unread:?}");
}

#[test]
fn nothing_is_skipped_or_left_for_later() {
    let mut breaches = Vec::new();
    let this = root().join("tests/suite/tidy.rs");
    for path in ["src", "tests", "benches"].iter().flat_map(|folder| files_below(&root().join(folder), ".rs")) {
        if path == this {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap();
        for word in ["#[ignore", "todo!(", "unimplemented!(", "FIXME", "should_panic", "/home/", "/root/"] {
            if text.contains(word) {
                breaches.push(format!("{}: {word}", path.display()));
            }
        }
    }
    none(&breaches, "nothing is skipped, stubbed or tied to one machine");
}
