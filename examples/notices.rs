//! Writes NOTICES.md: the libraries that stand in the program, whose they are, and under which licence they are used.
//!
//! `cargo run --example notices > NOTICES.md`, after any change of `Cargo.lock`; `tests/suite/tidy.rs` compares the two.

use std::collections::{BTreeMap, BTreeSet};
use std::error::Error;
use std::fs;
use std::path::Path;
use std::process::Command;

use serde_json::Value;

/// The licences taken where there is a choice, the first that is offered.
const CHOSEN: [&str; 11] = [
    "MIT",
    "Apache-2.0",
    "BSD-3-Clause",
    "BSD-2-Clause",
    "Zlib",
    "ISC",
    "0BSD",
    "BSL-1.0",
    "Unlicense",
    "MPL-2.0",
    "Unicode-3.0",
];
/// Words that only the text of that licence has, each without line breaks.
const KNOWN_BY: [(&str, &str); 6] = [
    ("Unicode-3.0", "UNICODE LICENSE V3"),
    ("MIT", "Permission is hereby granted, free of charge, to any person obtaining a copy"),
    ("BSD-3-Clause", "Neither the name"),
    ("Zlib", "This software is provided 'as-is'"),
    ("MPL-2.0", "Mozilla Public License Version 2.0"),
    ("Apache-2.0", "TERMS AND CONDITIONS FOR USE, REPRODUCTION, AND DISTRIBUTION"),
];

/// A library that is linked into the program.
struct Library {
    name: String,
    version: String,
    licence: String,
    repository: String,
    authors: Vec<String>,
    texts: Vec<String>,
}

/// All libraries that a build without the tests links, on any system, by `cargo metadata`.
fn linked(root: &Path) -> Result<Vec<Library>, Box<dyn Error>> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let told =
        Command::new(cargo).current_dir(root).args(["metadata", "--format-version", "1", "--locked"]).output()?;
    let tree: Value = serde_json::from_slice(&told.stdout)?;
    let word = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let array = |value: &Value| value.as_array().cloned().unwrap_or_default();
    let arrows: BTreeMap<String, Value> =
        array(&tree["resolve"]["nodes"]).into_iter().map(|node| (word(&node["id"]), node)).collect();
    let mut found = BTreeSet::new();
    let own = word(&tree["resolve"]["root"]);
    let mut open = vec![own.clone()];
    while let Some(id) = open.pop() {
        let goes_in = |link: &Value| array(&link["dep_kinds"]).iter().any(|kind| kind["kind"].is_null());
        open.extend(
            array(&arrows[&id]["deps"])
                .iter()
                .filter(|link| goes_in(link))
                .map(|link| word(&link["pkg"]))
                .filter(|id| !found.contains(id)),
        );
        found.insert(id);
    }
    found.remove(&own);
    let mut libraries: Vec<Library> = array(&tree["packages"])
        .iter()
        .filter(|package| found.contains(&word(&package["id"])))
        .map(|package| Library {
            name: word(&package["name"]),
            version: word(&package["version"]),
            licence: word(&package["license"]),
            repository: word(&package["repository"]),
            authors: array(&package["authors"]).iter().map(word).collect(),
            texts: texts_beside(Path::new(&word(&package["manifest_path"]))),
        })
        .collect();
    libraries.sort_by(|a, b| (&a.name, &a.version).cmp(&(&b.name, &b.version)));
    Ok(libraries)
}

/// The licence files that lie beside a library's manifest.
fn texts_beside(manifest: &Path) -> Vec<String> {
    let folder = manifest.parent().and_then(|folder| fs::read_dir(folder).ok());
    let mut files: Vec<_> = folder.into_iter().flatten().flatten().map(|entry| entry.path()).collect();
    files.sort();
    let is_licence = |path: &&std::path::PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy().to_uppercase();
        ["LICEN", "COPY", "NOTICE"].iter().any(|start| name.starts_with(start))
    };
    files.iter().filter(is_licence).filter_map(|path| fs::read_to_string(path).ok()).collect()
}

/// The licences a library is used under: of alternatives the first that is chosen here, of licences that hold together all.
fn used_under(licence: &str) -> Vec<&'static str> {
    let alternatives = licence.replace('/', " OR ").replace(['(', ')'], "");
    let sets = alternatives.split(" OR ").map(|set| set.split(" AND ").map(str::trim).collect::<Vec<_>>());
    let known = |set: &Vec<&str>| {
        set.iter().map(|one| CHOSEN.iter().position(|chosen| chosen == one)).collect::<Option<Vec<_>>>()
    };
    let mut rest = Vec::new();
    // `(A OR B) AND C` holds C too; it stands in the last set.
    if licence.starts_with('(')
        && let Some((_, more)) = licence.split_once(") AND ")
    {
        rest.extend(CHOSEN.iter().filter(|chosen| more.split(" AND ").any(|one| one == **chosen)));
    }
    let best = sets.filter_map(|set| known(&set)).min();
    let mut all: Vec<&str> = best.into_iter().flatten().map(|at| CHOSEN[at]).chain(rest).collect();
    all.dedup();
    all
}

/// The lines of a licence that say whose the work is, else who is named in the manifest.
fn owners(library: &Library) -> BTreeSet<String> {
    let lines = library.texts.iter().flat_map(|text| text.lines()).map(str::trim);
    let told = |line: &&str| {
        let small = line.to_lowercase();
        (small.starts_with("copyright (c)")
            || small.starts_with("copyright ©")
            || small.starts_with("copyright 1")
            || small.starts_with("copyright 2"))
            && !line.contains("[yyyy]")
            && !line.contains("{yyyy}")
    };
    let found: BTreeSet<String> = lines.filter(told).map(|line| line.trim_end_matches('.').to_owned()).collect();
    if found.is_empty() { library.authors.iter().map(|author| format!("by {author}")).collect() } else { found }
}

/// Which licence a text is; none where a file holds several.
fn kind_of(text: &str) -> Option<&'static str> {
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut kinds = KNOWN_BY.iter().filter(|(_, mark)| flat.contains(mark)).map(|(name, _)| *name);
    let first = kinds.next()?;
    // The Unicode licence grants in the words of MIT.
    if first == "Unicode-3.0" || kinds.next().is_none() { Some(first) } else { None }
}

/// The text of a licence without its owners, from a library that is used under it.
fn text_of(licence: &str, libraries: &[Library]) -> Option<String> {
    let holds = |text: &&String| kind_of(text) == Some(licence);
    let shortest = libraries.iter().flat_map(|library| &library.texts).filter(holds).min_by_key(|text| text.len())?;
    let kept = shortest.lines().filter(|line| !line.trim().to_lowercase().starts_with("copyright"));
    Some(kept.map(str::trim_end).collect::<Vec<_>>().join("\n").trim().to_owned())
}

/// The whole of NOTICES.md.
pub(crate) fn notices(root: &Path) -> Result<String, Box<dyn Error>> {
    let libraries = linked(root)?;
    let mut out = String::from(
        "# Notices\n\nThe program holds these libraries, on one system or another. Where there is a choice of licences, the one named here\nis used. Written by `cargo run --example notices`.\n",
    );
    let mut licences = BTreeSet::new();
    for library in &libraries {
        let used = used_under(&library.licence);
        out.push_str(&format!("\n- {} {}: {}", library.name, library.version, used.join(" and ")));
        if used.contains(&"MPL-2.0") {
            out.push_str(&format!("; its source: {}", library.repository));
        }
        for owner in owners(library) {
            out.push_str(&format!("\n  - {owner}"));
        }
        licences.extend(used);
    }
    for licence in licences {
        out.push_str(&format!("\n\n## {licence}\n\n"));
        match (licence, text_of(licence, &libraries)) {
            ("Apache-2.0", _) => out.push_str("The text stands in LICENSE-APACHE beside this file."),
            (_, Some(text)) => out.push_str(&format!("```text\n{text}\n```")),
            (_, None) => return Err(format!("no text of {licence} lies beside a library").into()),
        }
    }
    out.push('\n');
    Ok(out)
}

fn main() -> Result<(), Box<dyn Error>> {
    let notices = notices(Path::new(env!("CARGO_MANIFEST_DIR")))?;
    #[expect(clippy::print_stdout, reason = "an example prints what it made")]
    {
        print!("{notices}");
    }
    Ok(())
}
