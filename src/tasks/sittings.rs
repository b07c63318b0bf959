//! A sitting that is being logged try by try: kept after every try in a file that only its owner can read, outside the
//! case, until it is stored as a session or thrown away. A closed page or a stopped computer loses no try.

use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::civil::Date;
use sha2::{Digest, Sha256};

use super::files;
use super::refusal::Refusal;

/// The first line's format.
const FORMAT: &str = "stillroom.sitting/1";
/// The most tries of one sitting.
const MOST_TRIES: usize = 200;

/// How one try went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Try {
    /// Right, alone.
    Alone,
    /// Right, with help.
    Helped,
    /// Not right.
    Wrong,
    /// No answer came.
    Nothing,
}

impl Try {
    /// Every way, in the order they are offered.
    pub const ALL: [Self; 4] = [Self::Alone, Self::Helped, Self::Wrong, Self::Nothing];

    /// The word in files and forms.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Alone => "alone",
            Self::Helped => "helped",
            Self::Wrong => "wrong",
            Self::Nothing => "nothing",
        }
    }

    /// The try of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.word() == word)
    }
}

/// A sitting so far.
#[derive(Clone, Debug, PartialEq)]
pub struct Sitting {
    /// The day.
    pub date: Date,
    /// When it began.
    pub began: Timestamp,
    /// The rung; 0 is the cleared room.
    pub rung: u32,
    /// Tries that are meant.
    pub of: u32,
    /// Tries so far, in order.
    pub tries: Vec<Try>,
}

impl Sitting {
    /// How many went that way.
    pub fn count(&self, how: Try) -> u32 {
        u32::try_from(self.tries.iter().filter(|one| **one == how).count()).unwrap_or(u32::MAX)
    }

    /// Tries so far.
    pub fn given(&self) -> u32 {
        u32::try_from(self.tries.len()).unwrap_or(u32::MAX)
    }

    /// Whether another try fits.
    pub fn is_full(&self) -> bool {
        self.given() >= self.of || self.tries.len() >= MOST_TRIES
    }

    /// Whether the last three were not right: time to end with something easy.
    pub fn three_wrong(&self) -> bool {
        self.tries.len() >= 3 && self.tries.iter().rev().take(3).all(|one| *one == Try::Wrong)
    }

    fn written(&self) -> String {
        let tries: Vec<toml::Value> = self.tries.iter().map(|one| one.word().into()).collect();
        let mut all = toml::Table::new();
        all.insert("format".to_owned(), FORMAT.into());
        all.insert("date".to_owned(), self.date.to_string().into());
        all.insert("began".to_owned(), self.began.to_string().into());
        all.insert("rung".to_owned(), i64::from(self.rung).into());
        all.insert("of".to_owned(), i64::from(self.of).into());
        all.insert("tries".to_owned(), tries.into());
        all.to_string()
    }

    fn read(text: &str) -> Option<Self> {
        let all: toml::Table = text.parse().ok()?;
        let word = |name: &str| all.get(name).and_then(toml::Value::as_str);
        let number = |name: &str| all.get(name)?.as_integer().and_then(|number| u32::try_from(number).ok());
        if word("format") != Some(FORMAT) {
            return None;
        }
        let tries = all.get("tries")?.as_array()?.iter().map(|one| one.as_str().and_then(Try::from_word));
        Some(Self {
            date: word("date")?.parse().ok()?,
            began: word("began")?.parse().ok()?,
            rung: number("rung")?,
            of: number("of")?,
            tries: tries.collect::<Option<Vec<_>>>().filter(|tries| tries.len() <= MOST_TRIES)?,
        })
    }
}

/// Where the sitting of a case is kept.
#[derive(Clone, Debug)]
pub struct Keeper {
    file: Option<PathBuf>,
}

impl Keeper {
    /// The keeper of a case's sitting.
    pub fn new(folder: Option<&Path>, case: &Path) -> Self {
        let about = files::whole_path(case).display().to_string();
        let name: String = Sha256::digest(about).iter().take(8).map(|byte| format!("{byte:02x}")).collect();
        Self { file: folder.map(|folder| folder.join("sittings").join(format!("{name}.toml"))) }
    }

    /// The sitting that is kept; what cannot be read is none.
    pub fn found(&self) -> Option<Sitting> {
        let file = self.file.as_deref().filter(|file| files::is_there(file))?;
        Sitting::read(&files::read_text(file, &mut std::io::empty()).ok()?.content)
    }

    /// Keeps a sitting as it stands.
    pub fn keep(&self, sitting: &Sitting) -> Result<(), Refusal> {
        let Some(file) = &self.file else {
            return Err(Refusal::new("nowhere-to-keep", "there is no folder to keep the tries of a sitting in")
                .hint("set HOME or XDG_STATE_HOME and start again, or log it with `stillroom session`"));
        };
        if let Some(folder) = file.parent() {
            files::private_folder(folder)?;
        }
        files::write(file, sitting.written().as_bytes())
    }

    /// Forgets it.
    pub fn forget(&self) -> Result<(), Refusal> {
        self.file.as_deref().map_or(Ok(()), files::remove)
    }
}

#[cfg(test)]
mod tests {
    use super::{Keeper, MOST_TRIES, Sitting, Try};

    fn sitting(tries: &[Try]) -> Sitting {
        Sitting {
            date: "2026-11-20".parse().unwrap(),
            began: "2026-11-20T16:36:00Z".parse().unwrap(),
            rung: 2,
            of: 10,
            tries: tries.to_vec(),
        }
    }

    #[test]
    fn what_is_kept_comes_back_as_it_was() {
        let folder = tempfile::tempdir().unwrap();
        let keeper = Keeper::new(Some(folder.path()), folder.path());
        assert_eq!(keeper.found(), None);
        let kept = sitting(&[Try::Alone, Try::Helped, Try::Wrong, Try::Nothing]);
        keeper.keep(&kept).unwrap();
        assert_eq!(keeper.found(), Some(kept));
        keeper.forget().unwrap();
        assert_eq!(keeper.found(), None);
    }

    #[test]
    fn a_damaged_file_is_no_sitting() {
        let text = sitting(&[Try::Alone]).written();
        assert!(Sitting::read(&text).is_some());
        for (from, to) in [("alone", "perfect"), ("sitting/1", "sitting/2"), ("rung = 2", "rung = -2"), ("of", "off")] {
            assert_eq!(Sitting::read(&text.replace(from, to)), None, "{from}");
        }
        assert_eq!(Sitting::read(&sitting(&[Try::Wrong; MOST_TRIES + 1]).written()), None);
    }

    #[test]
    fn three_wrong_in_a_row_are_noticed_and_only_then() {
        use Try::{Alone, Wrong};
        assert!(sitting(&[Alone, Wrong, Wrong, Wrong]).three_wrong());
        assert!(!sitting(&[Wrong, Wrong, Alone, Wrong]).three_wrong() && !sitting(&[Wrong, Wrong]).three_wrong());
    }
}
