//! Reading a stored record of any version there ever was.
//!
//! An old version is turned into today's form in memory; the file stays as it was written, since its name is its hash.

use serde::Deserialize;

use super::record::{RECORD_FORMAT, RecordDoc};
use super::record_quick::quick;

/// Why a text is no record.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RecordFault {
    /// Not TOML, or a field is missing or of another type.
    #[error("{0}")]
    Syntax(String),
    /// Written by a later version of this program, or no record at all.
    #[error("its format is `{0}`, which this version does not know; a newer stillroom may read it")]
    UnknownFormat(String),
    /// A kind that this version does not know.
    #[error("it holds {0}, a kind this version does not know; a newer stillroom may read it")]
    UnknownKind(String),
}

/// A reader of one version.
type Reader = fn(&str) -> Result<RecordDoc, RecordFault>;

/// Every version that is readable, the newest first. A version is never taken out of this list.
const READERS: [(&str, Reader); 1] = [(RECORD_FORMAT, read_1)];

/// The head that every version has.
#[derive(Deserialize)]
struct Head {
    format: String,
}

/// Reads a record.
pub fn read_record(text: &str) -> Result<RecordDoc, RecordFault> {
    quick(text).map_or_else(|| read_fully(text), Ok)
}

/// Reads a record of any version and form.
pub(super) fn read_fully(text: &str) -> Result<RecordDoc, RecordFault> {
    // The newest first and without looking at the head, since nearly every record is of the newest version.
    let newest = read_1(text);
    if matches!(&newest, Ok(record) if record.format == RECORD_FORMAT) {
        return newest;
    }
    let Ok(head) = toml::from_str::<Head>(text) else {
        return newest.and(Err(RecordFault::Syntax("it has no format line".to_owned())));
    };
    match READERS.iter().find(|(format, _)| *format == head.format) {
        Some((_, read)) => read(text),
        None => Err(RecordFault::UnknownFormat(crate::words::printable(&head.format))),
    }
}

/// Version 1. Fields that were added to it since have defaults.
fn read_1(text: &str) -> Result<RecordDoc, RecordFault> {
    toml::from_str(text).map_err(|error| {
        let message = error.message();
        match message.strip_prefix("no variant of enum RecordBody found") {
            Some(_) => RecordFault::UnknownKind("no kind, or one".to_owned()),
            None => RecordFault::Syntax(message.to_owned()),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::{RecordFault, read_record};

    const HEAD: &str = "format = \"stillroom.record/1\"\ndate = \"2026-10-05\"\nwritten = \"2026-10-05T09:00:00Z\"\n";

    #[test]
    fn a_field_of_a_newer_version_is_passed_over() {
        let text = format!("{HEAD}mood = \"new\"\n[note]\ntext = \"rain\"\nweather = \"wet\"\n");
        let record = read_record(&text).unwrap();
        assert_eq!(record.body.kind(), "note");
    }

    #[test]
    fn a_kind_or_a_format_of_a_newer_version_is_said_to_be_one() {
        let kind = format!("{HEAD}[weather]\ntext = \"rain\"\n");
        assert!(matches!(read_record(&kind), Err(RecordFault::UnknownKind(_))), "{:?}", read_record(&kind));
        let format = HEAD.replace("record/1", "record/9") + "[note]\ntext = \"rain\"\n";
        assert_eq!(read_record(&format), Err(RecordFault::UnknownFormat("stillroom.record/9".to_owned())));
        assert!(matches!(read_record("text = 1"), Err(RecordFault::Syntax(_))));
        assert!(matches!(read_record("= ="), Err(RecordFault::Syntax(_))));
    }
}
