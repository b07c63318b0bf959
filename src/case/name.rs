//! A record's file name, `DATE-KIND-HASH.toml`: the date it is about, its kind, and the first 16 hex digits of the
//! SHA-256 of its bytes, so that anyone can check a record with `sha256sum`. A kept photo is `DATE-photo-HASH.jpg`.

use std::fmt;

use jiff::civil::Date;
use sha2::{Digest, Sha256};

/// The name of a record's file, taken apart.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct RecordName {
    /// The day the record is about.
    pub date: Date,
    /// Its kind.
    pub kind: String,
    /// First 16 hex digits of the SHA-256 of its bytes.
    pub id: String,
}

/// Hex digits of the hash in a name: 64 bits, so that 100,000 records of one case collide by chance once in 4 billion.
const ID_DIGITS: usize = 16;

/// The kind that kept photos have in their names; they are pictures, not records.
pub const PHOTO: &str = "photo";

impl RecordName {
    /// Whether it is the name of a kept photo.
    pub fn is_photo(&self) -> bool {
        self.kind == PHOTO
    }

    /// Takes a file's name apart; `None` if it is not the name of a record.
    pub fn parse(file_name: &str) -> Option<Self> {
        let (stem, photo) = match file_name.strip_suffix(".toml") {
            Some(stem) => (stem, false),
            None => (file_name.strip_suffix(".jpg")?, true),
        };
        let (date, rest) = stem.split_at_checked(10)?;
        let (kind, id) = rest.strip_prefix('-')?.rsplit_once('-')?;
        let kind_is_word = !kind.is_empty() && kind.bytes().all(|sign| sign.is_ascii_lowercase() || sign == b'-');
        let id_is_hash = id.len() == ID_DIGITS && id.bytes().all(|digit| matches!(digit, b'0'..=b'9' | b'a'..=b'f'));
        (kind_is_word && id_is_hash && (kind == PHOTO) == photo).then(|| date.parse().ok()).flatten().map(|date| Self {
            date,
            kind: kind.to_owned(),
            id: id.to_owned(),
        })
    }
}

impl fmt::Display for RecordName {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let ending = if self.is_photo() { "jpg" } else { "toml" };
        write!(out, "{}-{}-{}.{ending}", self.date, self.kind, self.id)
    }
}

/// The name that a record of these bytes must have.
pub fn name_of(bytes: &[u8], date: Date, kind: &str) -> RecordName {
    RecordName { date, kind: kind.to_owned(), id: id_of(bytes) }
}

/// The first 16 hex digits of the SHA-256 of these bytes.
pub fn id_of(bytes: &[u8]) -> String {
    let hash = Sha256::digest(bytes);
    let digits = hash.iter().take(ID_DIGITS / 2).flat_map(|byte| [byte >> 4, byte & 15]);
    digits.filter_map(|digit| char::from_digit(digit.into(), 16)).collect()
}

#[cfg(test)]
mod tests {
    use super::{RecordName, name_of};
    use jiff::civil::date;

    #[test]
    fn a_name_is_made_of_date_kind_and_hash() {
        // SHA-256 of the empty message, FIPS 180-4 example files: e3b0c44298fc1c14…
        let name = name_of(b"", date(2026, 10, 5), "audit");
        assert_eq!(name.to_string(), "2026-10-05-audit-e3b0c44298fc1c14.toml");
        assert_eq!(RecordName::parse(&name.to_string()), Some(name));
        let photo = name_of(b"", date(2026, 10, 5), "photo");
        assert_eq!(photo.to_string(), "2026-10-05-photo-e3b0c44298fc1c14.jpg");
        assert_eq!(RecordName::parse(&photo.to_string()), Some(photo));
    }

    #[test]
    fn what_is_no_record_has_no_record_name() {
        for stray in [
            "notes.txt",
            "2026-10-05-audit.toml",
            "2026-13-05-audit-e3b0c44298fc1c14.toml",
            "",
            "é",
            ".toml",
            "2026-10-05-audit-E3B0C44298FC1C14.toml",
            "2026-10-05--e3b0c44298fc1c14.toml",
            "2026-10-05-audit-e3b0c44298fc1c14.jpg",
            "2026-10-05-photo-e3b0c44298fc1c14.toml",
            "2026-10-05-audit-e3b0c44298fc1c14 (1).toml",
        ] {
            assert_eq!(RecordName::parse(stray), None, "{stray}");
        }
    }
}
