//! Damaged record files of every kind: no panic, and nothing damaged is taken for sound. `examples/mutations.rs` runs the
//! same with many more.

use std::fs;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use stillroom::case::{Case, RecordName, check, name_of};

/// A file of each kind, as the first version wrote them: name and bytes.
pub(crate) fn seeds() -> Vec<(String, Vec<u8>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/formats/v1");
    let mut files: Vec<PathBuf> = ["fern", "moss"]
        .iter()
        .flat_map(|case| fs::read_dir(folder.join(case)).unwrap().map(|entry| entry.unwrap().path()))
        .collect();
    files.sort();
    files
        .iter()
        .map(|path| (path.file_name().unwrap().to_string_lossy().into_owned(), fs::read(path).unwrap()))
        .collect()
}

/// A case to put damaged files into.
pub(crate) fn host(folder: &Path) -> Case {
    let (name, child) = seeds().into_iter().rfind(|(name, _)| name.contains("-child-")).unwrap();
    fs::write(folder.join(name), child).unwrap();
    Case::open(folder).unwrap()
}

/// Puts damaged bytes into a case, once under the name that the sound file had and once under the name that their own hash
/// gives them, as an enemy would. Gives whether they were read under the second.
pub(crate) fn tried(host: &Case, name: &str, sound: &[u8], bytes: &[u8]) -> bool {
    let first = host.folder().join(name);
    let replaced = fs::read(&first).ok();
    fs::write(&first, bytes).unwrap();
    if bytes != sound {
        let found = check(host, Timestamp::UNIX_EPOCH).unwrap().findings;
        assert!(found.iter().any(|one| one.name == name && one.code == "changed"), "{name}: {found:?}");
        assert!(host.read().unwrap().records.iter().all(|stored| stored.name.to_string() != name));
    }
    match replaced {
        Some(before) => fs::write(&first, before).unwrap(),
        None => fs::remove_file(&first).unwrap(),
    }
    let old = RecordName::parse(name).unwrap();
    let new = name_of(bytes, old.date, &old.kind);
    let second = host.folder().join(new.to_string());
    let there = second.exists();
    fs::write(&second, bytes).unwrap();
    let found = check(host, Timestamp::UNIX_EPOCH).unwrap().findings;
    let read = host.read().unwrap().records.iter().any(|stored| stored.name == new);
    if !there {
        fs::remove_file(&second).unwrap();
    }
    let named = found.iter().any(|one| one.name == new.to_string());
    assert!(read || named || old.is_photo(), "{new} was neither read nor named");
    if read {
        // Judged without the program's own reader: a record is a table that says its format, its date and its kind.
        let table: toml::Table = toml::from_str(std::str::from_utf8(bytes).unwrap()).unwrap();
        assert_eq!(table["format"].as_str(), Some("stillroom.record/1"));
        assert_eq!(table["date"].as_str(), Some(old.date.to_string().as_str()));
        assert!(table[&old.kind].is_table(), "{new}");
    }
    read
}

#[test]
fn damaged_files_of_every_kind_are_named_or_read_for_what_they_are() {
    // One change a place, all over the file: a bit, a byte gone, a piece twice, the end cut off.
    const PLACES: usize = 12;
    let folder = tempfile::tempdir().unwrap();
    let host = host(folder.path());
    for (name, sound) in seeds() {
        let sound_is_read = tried(&host, &name, &sound, &sound);
        assert!(sound_is_read || name.contains("-photo-"), "{name}");
        for place in 0..PLACES {
            let at = place * sound.len() / PLACES + place % 7;
            let end = (at + 9).min(sound.len());
            let mut flipped = sound.clone();
            flipped[at] ^= 1 << (place % 8);
            let without = [&sound[..at], &sound[at + 1..]].concat();
            let twice = [&sound[..end], &sound[at..]].concat();
            for bytes in [flipped, without, twice, sound[..at].to_vec()] {
                tried(&host, &name, &sound, &bytes);
            }
        }
    }
}
