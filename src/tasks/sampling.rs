//! An observation that is being marked: kept after every mark in a file that only its owner can read, outside the case,
//! until it is stored or thrown away. A closed page or a stopped computer loses no mark.

use std::path::{Path, PathBuf};

use jiff::Timestamp;
use sha2::{Digest, Sha256};

use super::files;
use super::refusal::Refusal;

/// The first line's format.
const FORMAT: &str = "stillroom.sampling/1";
/// The most marks of one observation: an hour at two seconds.
pub const MOST_MARKS: usize = 1800;
/// The longest line that is kept, in bytes.
const LONGEST: usize = 400;

/// An observation so far, as it was typed and marked.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Draft {
    /// When it was kept last.
    pub kept: Timestamp,
    /// What is looked for.
    pub what: String,
    /// How: `momentary`, `whole` or `partial`.
    pub method: String,
    /// Seconds of an interval.
    pub interval: String,
    /// Minutes to watch.
    pub length: String,
    /// The marks: `y`, `n` and `-`.
    pub marks: String,
    /// Who looks.
    pub by: String,
}

impl Draft {
    fn fields(&self) -> [(&'static str, &String); 6] {
        [
            ("what", &self.what),
            ("method", &self.method),
            ("interval", &self.interval),
            ("length", &self.length),
            ("marks", &self.marks),
            ("by", &self.by),
        ]
    }

    fn written(&self) -> String {
        let mut all = toml::Table::new();
        all.insert("format".to_owned(), FORMAT.into());
        all.insert("kept".to_owned(), self.kept.to_string().into());
        all.extend(self.fields().map(|(name, value)| (name.to_owned(), value.clone().into())));
        all.to_string()
    }

    fn read(text: &str) -> Option<Self> {
        let all: toml::Table = text.parse().ok()?;
        let word = |name: &str| all.get(name).and_then(toml::Value::as_str).map(ToOwned::to_owned);
        if word("format")? != FORMAT {
            return None;
        }
        let draft = Self {
            kept: word("kept")?.parse().ok()?,
            what: word("what")?,
            method: word("method")?,
            interval: word("interval")?,
            length: word("length")?,
            marks: word("marks")?,
            by: word("by")?,
        };
        draft.is_sound().then_some(draft)
    }

    fn is_sound(&self) -> bool {
        let marks = &self.marks;
        marks.len() <= MOST_MARKS
            && marks.bytes().all(|mark| matches!(mark, b'y' | b'n' | b'-'))
            && self.fields().iter().all(|(name, value)| *name == "marks" || value.len() <= LONGEST)
    }
}

/// Where the observation of a case is kept; without a case there is one as well.
#[derive(Clone, Debug)]
pub struct Keeper {
    file: Option<PathBuf>,
}

impl Keeper {
    /// The keeper of a case's observation.
    pub fn new(folder: Option<&Path>, case: Option<&Path>) -> Self {
        let about = case.map(|case| files::whole_path(case).display().to_string()).unwrap_or_default();
        let name: String = Sha256::digest(about).iter().take(8).map(|byte| format!("{byte:02x}")).collect();
        Self { file: folder.map(|folder| folder.join("sampling").join(format!("{name}.toml"))) }
    }

    /// What is kept; what cannot be read is nothing.
    pub fn found(&self) -> Option<Draft> {
        let file = self.file.as_deref().filter(|file| files::is_there(file))?;
        Draft::read(&files::read_text(file, &mut std::io::empty()).ok()?.content)
    }

    /// Keeps an observation as it stands.
    pub fn keep(&self, draft: &Draft) -> Result<(), Refusal> {
        if !draft.is_sound() {
            return Err(Refusal::new("marks", "these are no marks of an observation"));
        }
        let Some(file) = &self.file else { return Ok(()) };
        if let Some(folder) = file.parent() {
            files::private_folder(folder)?;
        }
        files::write(file, draft.written().as_bytes())
    }

    /// Forgets it.
    pub fn forget(&self) -> Result<(), Refusal> {
        self.file.as_deref().map_or(Ok(()), files::remove)
    }
}

#[cfg(test)]
mod tests {
    use super::{Draft, Keeper, LONGEST, MOST_MARKS};

    fn draft(marks: &str) -> Draft {
        Draft {
            kept: "2026-11-20T16:36:00Z".parse().unwrap(),
            what: "at \"the\" task".to_owned(),
            method: "whole".to_owned(),
            interval: "15".to_owned(),
            length: "5".to_owned(),
            marks: marks.to_owned(),
            by: String::new(),
        }
    }

    #[test]
    fn marks_come_back_as_they_were_made() {
        let folder = tempfile::tempdir().unwrap();
        let keeper = Keeper::new(Some(folder.path()), None);
        assert_eq!(keeper.found(), None);
        keeper.keep(&draft("yn-y")).unwrap();
        assert_eq!(keeper.found(), Some(draft("yn-y")));
        // Each case has its own.
        assert_eq!(Keeper::new(Some(folder.path()), Some(folder.path())).found(), None);
        keeper.forget().unwrap();
        assert_eq!(keeper.found(), None);
    }

    #[test]
    fn what_is_no_mark_is_neither_kept_nor_read() {
        let folder = tempfile::tempdir().unwrap();
        let keeper = Keeper::new(Some(folder.path()), None);
        let long = Draft { what: "x".repeat(LONGEST + 1), ..draft("y") };
        for wrong in [draft("yx"), draft(&"y".repeat(MOST_MARKS + 1)), long] {
            assert!(keeper.keep(&wrong).is_err());
            assert_eq!(Draft::read(&wrong.written()), None);
        }
        assert_eq!(Draft::read(&draft("y").written().replace("sampling/1", "sampling/2")), None);
    }
}
