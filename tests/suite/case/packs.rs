//! Sealed packs: what goes in comes out, all or nothing; hostile packs are refused and leave nothing.

use std::fs;
use std::io::{Read, Write};
use std::path::Path;

use age::secrecy::SecretString;
use stillroom::case::{Case, PackFault, id_of, pack, plan, unpack};
use stillroom::contract::{
    AnswersBody, NoteBody, PACK_FORMAT, PackFileDoc, PackListDoc, RecordBody, RecordDoc, TaskBody,
};

use super::made::{case, child, names, record, session};

pub(super) const WORDS: &str = "seven quiet rivers";
/// Seconds count here, not secrecy: the full work is tried once, by the command.
pub(super) const WORK: u8 = 6;

pub(super) fn now() -> jiff::Timestamp {
    "2026-11-02T09:00:00Z".parse().unwrap()
}

/// Packs a case whole.
pub(super) fn packed(case: &Case, out: &Path) {
    pack(case, &plan(case, None, now()).unwrap(), out, WORDS, WORK).unwrap();
}

/// Everything in a folder, by name.
pub(super) fn content(folder: &Path) -> Vec<(String, Vec<u8>)> {
    names(folder).into_iter().map(|name| (name.clone(), fs::read(folder.join(name)).unwrap())).collect()
}

/// The refusal of a pack, which leaves nothing behind.
#[track_caller]
fn refused(pack: &Path, words: &str) -> PackFault {
    let beside = tempfile::tempdir().unwrap();
    let fault = match unpack(pack, beside.path(), words) {
        Ok(opened) => panic!("opened: {:?}", opened.list),
        Err(fault) => fault,
    };
    assert!(names(beside.path()).is_empty(), "left behind: {:?}", names(beside.path()));
    fault
}

#[test]
fn what_goes_into_a_pack_comes_out_of_it() {
    let outer = tempfile::tempdir().unwrap();
    let case = case(&outer.path().join("fern"), "Fern", 5);
    let photo = case.add_photo(jiff::civil::date(2026, 10, 5), &[0xff, 0xd8, 1, 2, 3]).unwrap();
    let out = outer.path().join("fern.age");
    packed(&case, &out);
    let opened = unpack(&out, outer.path(), WORDS).unwrap();
    assert_eq!((opened.list.alias.as_str(), opened.list.files.len()), ("Fern", 7));
    let back = opened.keep(&outer.path().join("back")).unwrap();
    assert_eq!(content(back.folder()), content(case.folder()));
    assert!(names(back.folder()).contains(&photo.to_string()));
    assert!(matches!(pack(&case, &plan(&case, None, now()).unwrap(), &out, WORDS, WORK), Err(PackFault::Exists(_))));
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!((mode(&out), mode(back.folder())), (0o600, 0o700));
        assert!(names(back.folder()).iter().all(|name| mode(&back.folder().join(name)) == 0o600));
    }
}

#[test]
fn a_wrong_passphrase_a_cut_or_one_changed_byte_opens_nothing() {
    let outer = tempfile::tempdir().unwrap();
    let case = case(&outer.path().join("fern"), "Fern", 2);
    let out = outer.path().join("fern.age");
    packed(&case, &out);
    assert!(matches!(refused(&out, "seven quiet river"), PackFault::WrongPassphrase));
    assert!(matches!(refused(&out, ""), PackFault::WrongPassphrase));
    let whole = fs::read(&out).unwrap();
    let changed = outer.path().join("changed.age");
    for at in (0..whole.len()).step_by(7) {
        let mut bytes = whole.clone();
        bytes[at] ^= 1;
        fs::write(&changed, &bytes).unwrap();
        drop(refused(&changed, WORDS));
    }
    for length in (0..whole.len()).step_by(13).chain([whole.len() - 1]) {
        fs::write(&changed, &whole[..length]).unwrap();
        drop(refused(&changed, WORDS));
    }
    let mut longer = whole;
    longer.extend(b"more");
    fs::write(&changed, &longer).unwrap();
    drop(refused(&changed, WORDS));
}

/// Seals whatever bytes, as somebody hostile might.
fn seal_plainly(out: &Path, work: u8, content: &[u8]) {
    let mut recipient = age::scrypt::Recipient::new(SecretString::from(WORDS.to_owned()));
    recipient.set_work_factor(work);
    let sealed = age::Encryptor::with_recipients(std::iter::once(&recipient as &dyn age::Recipient)).unwrap();
    let mut writer = sealed.wrap_output(fs::File::create(out).unwrap()).unwrap();
    writer.write_all(content).unwrap();
    writer.finish().unwrap();
}

/// One entry of an archive that nobody checked.
struct Entry {
    name: Vec<u8>,
    kind: tar::EntryType,
    bytes: Vec<u8>,
}

fn entry(name: &str, bytes: &[u8]) -> Entry {
    Entry { name: name.as_bytes().to_vec(), kind: tar::EntryType::Regular, bytes: bytes.to_vec() }
}

fn archive(entries: &[Entry]) -> Vec<u8> {
    let mut builder = tar::Builder::new(Vec::new());
    for entry in entries {
        let mut header = tar::Header::new_ustar();
        header.as_old_mut().name[..entry.name.len()].copy_from_slice(&entry.name);
        header.set_entry_type(entry.kind);
        header.set_size(entry.bytes.len() as u64);
        if entry.kind != tar::EntryType::Regular {
            header.as_old_mut().linkname[..11].copy_from_slice(b"/etc/passwd");
        }
        header.set_cksum();
        builder.append(&header, &entry.bytes[..]).unwrap();
    }
    builder.into_inner().unwrap()
}

fn list(files: &[(&str, u64)]) -> Entry {
    let files = files.iter().map(|(name, bytes)| PackFileDoc { name: (*name).to_owned(), bytes: *bytes }).collect();
    let list = PackListDoc {
        format: PACK_FORMAT.to_owned(),
        alias: "Fern".to_owned(),
        made: "2026-11-02T09:00:00Z".to_owned(),
        place: None,
        files,
    };
    entry(stillroom::case::LIST, toml::to_string(&list).unwrap().as_bytes())
}

/// A sound child record and its name.
fn honest() -> (String, Vec<u8>) {
    let text = toml::to_string(&child("Fern")).unwrap().into_bytes();
    (format!("2026-10-01-child-{}.toml", id_of(&text)), text)
}

#[test]
fn an_archive_made_by_others_with_a_list_is_opened() {
    let outer = tempfile::tempdir().unwrap();
    let out = outer.path().join("hand-made.age");
    let (name, text) = honest();
    seal_plainly(&out, WORK, &archive(&[list(&[(&name, text.len() as u64)]), entry(&name, &text)]));
    assert_eq!(unpack(&out, outer.path(), WORDS).unwrap().case().unwrap().child().unwrap().alias, "Fern");
}

#[test]
fn hostile_names_links_devices_and_promises_are_refused_and_leave_nothing() {
    let outer = tempfile::tempdir().unwrap();
    let out = outer.path().join("hostile.age");
    let (name, text) = honest();
    let size = text.len() as u64;
    let mut packs: Vec<(String, Vec<u8>)> = Vec::new();
    for hostile in
        ["../escaped.toml", "/tmp/escaped.toml", "a/b.toml", "..", "", ".tmp-1", "C:\\x.toml", &format!("../{name}")]
    {
        let listed = list(&[(&name, size), (hostile, 4)]);
        packs.push((format!("name {hostile}"), archive(&[listed, entry(&name, &text), entry(hostile, b"evil")])));
    }
    use tar::EntryType;
    for kind in [
        EntryType::Symlink,
        EntryType::Link,
        EntryType::Char,
        EntryType::Block,
        EntryType::Fifo,
        EntryType::Directory,
        EntryType::GNULongName,
        EntryType::GNUSparse,
        EntryType::XHeader,
    ] {
        let link = Entry { name: name.clone().into_bytes(), kind, bytes: Vec::new() };
        packs.push((format!("{kind:?}"), archive(&[list(&[(&name, 0)]), link])));
    }
    let known = |more: &[Entry], files: &[(&str, u64)]| {
        let mut entries = vec![list(files), entry(&name, &text)];
        entries.extend(more.iter().map(|one| Entry {
            name: one.name.clone(),
            kind: one.kind,
            bytes: one.bytes.clone(),
        }));
        archive(&entries)
    };
    packs.push(("twice".to_owned(), known(&[entry(&name, &text)], &[(&name, size)])));
    packs.push((
        "not listed".to_owned(),
        known(&[entry("2026-10-05-note-0123456789abcdef.toml", b"x")], &[(&name, size)]),
    ));
    packs.push((
        "listed, not there".to_owned(),
        known(&[], &[(&name, size), ("2026-10-05-note-0123456789abcdef.toml", 1)]),
    ));
    packs.push(("another size".to_owned(), known(&[], &[(&name, size + 1)])));
    packs.push(("other bytes".to_owned(), archive(&[list(&[(&name, 4)]), entry(&name, b"evil")])));
    packs.push((
        "a bomb".to_owned(),
        archive(&[
            list(&[(&name, u64::MAX / 2), ("2026-10-05-note-0123456789abcdef.toml", u64::MAX / 2)]),
            entry(&name, &text),
        ]),
    ));
    packs.push(("no list".to_owned(), archive(&[entry(&name, &text)])));
    packs.push(("empty".to_owned(), archive(&[])));
    packs.push(("no archive".to_owned(), b"not a tar at all ".repeat(100)));
    packs.push(("nothing but a list".to_owned(), archive(&[list(&[])])));
    let mut after = archive(&[list(&[(&name, size)]), entry(&name, &text)]);
    after.extend(b"something after the end".repeat(30));
    packs.push(("goes on".to_owned(), after));
    let mut padded = archive(&[list(&[(&name, size)]), entry(&name, &text)]);
    padded.resize(padded.len() + (2 << 20), 0);
    packs.push(("endless zeros".to_owned(), padded));
    let photo = b"#!/bin/sh";
    let photo_name = format!("2026-10-05-photo-{}.jpg", id_of(photo));
    packs.push(("no photo".to_owned(), known(&[entry(&photo_name, photo)], &[(&name, size), (&photo_name, 9)])));
    for (what, content) in packs {
        fs::write(&out, "").unwrap();
        seal_plainly(&out, WORK, &content);
        let fault = refused(&out, WORDS);
        assert!(matches!(fault, PackFault::Hostile { .. } | PackFault::Damaged(_)), "{what}: {fault:?}");
    }
    assert!(!Path::new("/tmp/escaped.toml").exists());
    assert_eq!(names(outer.path()), ["hostile.age"]);
}

#[test]
fn a_million_files_and_a_million_listed_files_are_refused_quickly() {
    let outer = tempfile::tempdir().unwrap();
    let out = outer.path().join("many.age");
    let (name, text) = honest();
    // A million names in the list: more than 12 MB of it.
    let mut long = list(&[(&name, text.len() as u64)]);
    long.bytes.extend(b"[[files]]\nname = \"x\"\nbytes = 1\n".repeat(1_000_000));
    seal_plainly(&out, WORK, &archive(&[long]));
    assert!(matches!(refused(&out, WORDS), PackFault::Hostile { .. }));
    // A million entries behind an honest list: the first that is not promised ends it.
    let mut content = archive(&[list(&[(&name, text.len() as u64)]), entry(&name, &text)]);
    content.truncate(content.len() - 1024);
    let many = archive(&[entry("2026-10-05-note-0123456789abcdef.toml", b"")]);
    for _ in 0..1_000_000 / 64 {
        content.extend(&many[..512]);
    }
    seal_plainly(&out, WORK, &content);
    assert!(matches!(refused(&out, WORDS), PackFault::Hostile { .. }));
}

#[test]
fn a_pack_that_asks_for_too_much_work_and_one_sealed_for_a_key_are_refused_at_once() {
    let outer = tempfile::tempdir().unwrap();
    let out = outer.path().join("slow.age");
    let (name, text) = honest();
    let content = archive(&[list(&[(&name, text.len() as u64)]), entry(&name, &text)]);
    seal_plainly(&out, 1, &content);
    // The header alone is read before the work: writing another factor into it is enough to ask for it.
    let bytes = fs::read(&out).unwrap();
    let head = String::from_utf8_lossy(&bytes[..80]).into_owned();
    let line = head.lines().nth(1).unwrap().len() + head.lines().next().unwrap().len() + 1;
    let mut asking = bytes[..line - 1].to_vec();
    asking.extend(b"19");
    asking.extend(&bytes[line..]);
    fs::write(&out, asking).unwrap();
    assert!(matches!(refused(&out, WORDS), PackFault::ExcessiveWork(19)));
    let key = age::x25519::Identity::generate().to_public();
    let sealed = age::Encryptor::with_recipients(std::iter::once(&key as &dyn age::Recipient)).unwrap();
    let mut writer = sealed.wrap_output(fs::File::create(&out).unwrap()).unwrap();
    writer.write_all(&content).unwrap();
    writer.finish().unwrap();
    assert!(matches!(refused(&out, WORDS), PackFault::NoPassphrase));
    fs::write(&out, "holiday").unwrap();
    assert!(matches!(refused(&out, WORDS), PackFault::NotAPack));
}

/// A record about a place, by a person.
fn about(second: u32, place: Option<&str>, text: &str) -> RecordDoc {
    let body = NoteBody { text: text.to_owned(), place: place.map(ToOwned::to_owned), about: None };
    record("2026-10-06", second, RecordBody::Note(body))
}

#[test]
fn a_pack_for_one_place_holds_nothing_of_another_home() {
    let outer = tempfile::tempdir().unwrap();
    let case = case(&outer.path().join("fern"), "Fern", 0);
    let kept = [
        case.add(&about(1, Some("window table"), "calm morning")).unwrap(),
        case.add(&session("2026-10-07", 2, 1, 9)).unwrap(),
    ];
    let other = case.add(&about(3, Some("grandmother's kitchen"), "loud")).unwrap();
    for behind in [
        about(4, None, "nobody knows where"),
        about(5, Some("window table"), "calmer than Grandmother's Kitchen"),
        record(
            "2026-10-06",
            8,
            RecordBody::Task(TaskBody {
                name: "setting the table".to_owned(),
                correct: "puts a spoon beside each plate".to_owned(),
                materials: vec!["the spoons of grandmother's kitchen".to_owned()],
                prompts: Vec::new(),
                after_error: None,
            }),
        ),
        record(
            "2026-10-06",
            9,
            RecordBody::Answers(AnswersBody {
                place: "window table".to_owned(),
                checklist_text: String::new(),
                answers_text: "place = \"window table\"\n[reasons]\nlamp = \"it is at grandmother's kitchen\"\n"
                    .to_owned(),
            }),
        ),
        RecordDoc { replaces: Some(other.id.clone()), ..about(6, Some("window table"), "moved here") },
        RecordDoc { by: Some("grandmother's kitchen".to_owned()), ..about(7, Some("window table"), "rain") },
    ] {
        case.add(&behind).unwrap();
    }
    let plan = plan(&case, Some("window table"), now()).unwrap();
    assert_eq!(plan.left_out.len(), 7, "{:?}", plan.left_out);
    let out = outer.path().join("table.age");
    pack(&case, &plan, &out, WORDS, WORK).unwrap();
    let back = unpack(&out, outer.path(), WORDS).unwrap().keep(&outer.path().join("back")).unwrap();
    let held = content(back.folder());
    assert_eq!(held.len(), 3);
    assert!(kept.iter().all(|name| held.iter().any(|(held, _)| *held == name.to_string())));
    for (name, bytes) in held {
        let text = String::from_utf8(bytes).unwrap().to_lowercase();
        assert!(!text.contains("grandmother") && !text.contains("nobody"), "{name}");
    }
    let wrong = stillroom::case::plan(&case, Some("window tabel"), now()).unwrap_err();
    assert!(wrong.to_string().contains("window table"), "{wrong}");
}

#[test]
fn what_a_killed_unpacking_left_is_removed_by_the_next_one_after_an_hour() {
    let outer = tempfile::tempdir().unwrap();
    let case = case(&outer.path().join("fern"), "Fern", 1);
    packed(&case, &outer.path().join("fern.age"));
    for (name, hours) in [(".tmp-unpack-old", 2), (".tmp-unpack-new", 0)] {
        let folder = outer.path().join(name);
        fs::create_dir(&folder).unwrap();
        fs::write(folder.join("2026-10-05-note-0123456789abcdef.toml"), "opened").unwrap();
        let at = std::time::Duration::from_secs(hours * 3600);
        let back = fs::metadata(&folder).unwrap().modified().unwrap().checked_sub(at).unwrap();
        fs::File::open(&folder).unwrap().set_modified(back).unwrap();
    }
    drop(unpack(&outer.path().join("fern.age"), outer.path(), WORDS).unwrap());
    assert_eq!(names(outer.path()), [".tmp-unpack-new", "fern", "fern.age"]);
}

#[test]
fn a_pack_of_the_plain_way_of_age_opens_and_ours_opens_with_it() {
    let outer = tempfile::tempdir().unwrap();
    let case = case(&outer.path().join("fern"), "Fern", 1);
    let out = outer.path().join("fern.age");
    // Above 2^15 blocks are computed again here and kept there.
    pack(&case, &plan(&case, None, now()).unwrap(), &out, WORDS, 16).unwrap();
    let mut identity = age::scrypt::Identity::new(SecretString::from(WORDS.to_owned()));
    identity.set_max_work_factor(18);
    let sealed = age::Decryptor::new_buffered(std::io::BufReader::new(fs::File::open(&out).unwrap())).unwrap();
    let mut plain = Vec::new();
    sealed.decrypt(std::iter::once(&identity as &dyn age::Identity)).unwrap().read_to_end(&mut plain).unwrap();
    let again = outer.path().join("again.age");
    seal_plainly(&again, 16, &plain);
    assert_eq!(unpack(&again, outer.path(), WORDS).unwrap().list.files.len(), 2);
}
