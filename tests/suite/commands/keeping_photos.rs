//! Photos are forgotten unless they are asked to be kept, and what is kept is the picture alone.
#![allow(clippy::cast_possible_truncation, reason = "a segment of some hundred bytes is counted")]

use std::fs;
use std::path::Path;

use super::{file, said, stillroom};

/// Words that stand in the metadata of the photo below and nowhere else.
const MAKER: &[u8] = b"Quince Phone 9";
const SECOND: &[u8] = b"2026:10:05 09:41:37";
/// The position as three fractions: 47° 22′ 40.17″.
const PLACE: [u32; 6] = [47, 1, 22, 1, 4017, 100];

/// A photo of the demo with maker, second and position written into it, as a phone does.
fn photo_with_place() -> Vec<u8> {
    let plain = fs::read(file("tests/oracle/photo/room-16.jpg")).unwrap();
    let position: Vec<u8> = PLACE.iter().flat_map(|number| number.to_be_bytes()).collect();
    // Four entries: maker, date, the GPS directory; then the values they point to, counted from `MM`.
    let mut block = b"MM\0\x2a\0\0\0\x08\0\x03".to_vec();
    let values = 8 + 2 + 3 * 12 + 4;
    let mut entry = |tag: u16, kind: u16, count: usize, value: usize| {
        block.extend(tag.to_be_bytes());
        block.extend(kind.to_be_bytes());
        block.extend((count as u32).to_be_bytes());
        block.extend((value as u32).to_be_bytes());
    };
    let (maker, second) = (values, values + MAKER.len() + 1);
    let directory = second + SECOND.len() + 1;
    entry(0x010f, 2, MAKER.len() + 1, maker);
    entry(0x0132, 2, SECOND.len() + 1, second);
    entry(0x8825, 4, 1, directory);
    block.extend([0; 4]);
    block.extend([MAKER, b"\0", SECOND, b"\0"].concat());
    block.extend([0, 1]);
    block.extend([0, 2, 0, 5, 0, 0, 0, 3]);
    block.extend((directory as u32 + 18).to_be_bytes());
    block.extend([0; 4]);
    block.extend(position);
    let mut segment = vec![0xff, 0xe1];
    segment.extend((block.len() as u16 + 8).to_be_bytes());
    segment.extend(b"Exif\0\0");
    segment.extend(block);
    [&plain[..2], &segment, &plain[2..]].concat()
}

/// Every file below a folder.
fn files_below(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    entries
        .flat_map(|path| match path.is_dir() {
            true => files_below(&path),
            false => vec![(path.display().to_string(), fs::read(&path).unwrap())],
        })
        .collect()
}

fn holds(bytes: &[u8], part: &[u8]) -> bool {
    bytes.windows(part.len()).any(|window| window == part)
}

/// A case with one audit of that photo, the words of the command added to.
fn audited(folder: &Path, more: &[&str]) -> String {
    fs::write(folder.join("corner.jpg"), photo_with_place()).unwrap();
    let made = stillroom(folder, &["case", "new", "clover", "--alias", "Clover"]);
    assert!(made.status.success(), "{}", said(&made));
    let answers = file("demo/answers-before.toml");
    let mut words = vec!["audit", "--case", "clover", "--checklist", "home-corner", "--answers", &answers];
    words.extend(["--photo", "corner.jpg"]);
    words.extend(more);
    let audit = stillroom(folder, &words);
    assert!(audit.status.success(), "{}", said(&audit));
    String::from_utf8_lossy(&audit.stderr).into_owned()
}

#[test]
fn a_kept_photo_is_small_and_tells_neither_place_nor_time_nor_device() {
    let folder = tempfile::tempdir().unwrap();
    let source = photo_with_place();
    assert!(holds(&source, MAKER) && holds(&source, SECOND));
    let talk = audited(folder.path(), &["--keep-photos"]);
    for said in ["512 pixels", "without place, time or device", "backup", "delete it there"] {
        assert!(talk.contains(said), "{said} is not in: {talk}");
    }
    let position: Vec<u8> = PLACE.iter().flat_map(|number| number.to_be_bytes()).collect();
    let mut photos = 0;
    for (name, bytes) in files_below(&folder.path().join("clover")) {
        for secret in [MAKER, SECOND, &position, b"Exif"] {
            assert!(!holds(&bytes, secret), "{name} holds {:?}", String::from_utf8_lossy(secret));
        }
        if bytes.starts_with(&[0xff, 0xd8]) {
            photos += 1;
            let copy = image::load_from_memory(&bytes).unwrap();
            assert_eq!((copy.width(), copy.height()), (512, 384));
        }
    }
    assert_eq!(photos, 1);
    let checked = stillroom(folder.path(), &["case", "check", "clover"]);
    assert!(checked.status.success(), "{}", said(&checked));
    // The report shows it.
    let report = stillroom(folder.path(), &["report", "--case", "clover", "--out", "clover.html"]);
    assert!(report.status.success(), "{}", said(&report));
    assert!(fs::read_to_string(folder.path().join("clover.html")).unwrap().contains("data:image/jpeg;base64,"));
}

#[test]
fn a_photo_that_nobody_asked_to_keep_is_forgotten() {
    let folder = tempfile::tempdir().unwrap();
    let talk = audited(folder.path(), &[]);
    assert!(!talk.contains("small copy"));
    let kept = files_below(&folder.path().join("clover"));
    assert!(kept.iter().all(|(_, bytes)| !bytes.starts_with(&[0xff, 0xd8]) && !holds(bytes, MAKER)));
}

#[test]
fn keeping_photos_takes_a_case_to_keep_them_in() {
    let folder = tempfile::tempdir().unwrap();
    let answers = file("demo/answers-before.toml");
    let words = ["audit", "--checklist", "home-corner", "--answers", &answers, "--photo", "a.jpg", "--keep-photos"];
    let refused = stillroom(folder.path(), &words);
    assert_eq!(refused.status.code(), Some(2));
    assert!(said(&refused).contains("--case"));
}
