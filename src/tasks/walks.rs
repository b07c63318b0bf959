//! Walks that were interrupted: kept after every answer in a file that only its owner can read, outside the case, where
//! every file is a record; removed once the audit is done.

use std::path::{Path, PathBuf};

use jiff::Timestamp;
use sha2::{Digest, Sha256};

use crate::checklist::{self, Answers, Walk};
use crate::contract::{WALK_FORMAT, WalkDoc};

use super::checklists::{ReadChecklist, read_answers};
use super::files::{self, Named};
use super::refusal::Refusal;

/// Where one walk is kept.
#[derive(Clone, Debug)]
pub struct Keeper {
    file: Option<PathBuf>,
    checklist_hash: String,
}

/// A walk that was kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// The answers so far, with place, day and who looked.
    pub answers: Answers,
    /// The place of the question that stood, from 0.
    pub at: usize,
}

/// What was found where a walk would be kept.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// Nothing.
    Nothing,
    /// A walk that can go on.
    Walk(Box<Kept>),
    /// Something that cannot go on, and why.
    Other(String),
}

impl Keeper {
    /// The keeper of the walk through that checklist, for that case and that recheck. Without a folder nothing is kept.
    pub fn new(folder: Option<&Path>, case: Option<&Path>, list: &ReadChecklist, recheck: Option<&str>) -> Self {
        let case = case.map(files::whole_path).unwrap_or_default();
        let about = format!("{}\n{}\n{}", case.display(), list.list.id, recheck.unwrap_or_default());
        let name = format!("{}.toml", &hex(&about)[..16]);
        Self { file: folder.map(|folder| folder.join("walks").join(name)), checklist_hash: hex(&list.text) }
    }

    /// The file, when walks are kept.
    pub fn file(&self) -> Option<&Path> {
        self.file.as_deref()
    }

    /// What is kept from before.
    pub fn found(&self, list: &ReadChecklist) -> Found {
        let Some(file) = self.file.as_deref().filter(|file| files::is_there(file)) else { return Found::Nothing };
        match self.read(file, list) {
            Ok(kept) => Found::Walk(Box::new(kept)),
            Err(why) => Found::Other(why),
        }
    }

    fn read(&self, file: &Path, list: &ReadChecklist) -> Result<Kept, String> {
        let text = files::read_text(file, &mut std::io::empty()).map_err(|refusal| refusal.message)?;
        let doc: WalkDoc = toml::from_str(&text.content).map_err(|error| error.message().to_owned())?;
        if doc.format != WALK_FORMAT {
            return Err(format!("this version reads `{WALK_FORMAT}`"));
        }
        if doc.checklist_hash != self.checklist_hash {
            return Err("the checklist has changed since".to_owned());
        }
        let answers = Named { name: "the kept walk".to_owned(), content: doc.answers_text };
        let answers = read_answers(&answers, &list.list).map_err(|refusal| refusal.message)?;
        Ok(Kept { answers, at: doc.at })
    }

    /// Keeps a walk as it stands. Place, day and who looked come with `about`; its answers are those of the walk.
    pub fn keep(&self, list: &ReadChecklist, walk: &Walk, about: &Answers, now: Timestamp) -> Result<(), Refusal> {
        let Some(file) = &self.file else { return Ok(()) };
        if let Some(folder) = file.parent() {
            files::private_folder(folder)?;
        }
        let doc = WalkDoc {
            format: WALK_FORMAT.to_owned(),
            kept: now.to_string(),
            checklist_hash: self.checklist_hash.clone(),
            at: walk.at(),
            answers_text: checklist::written_answers(&list.list, &filled(about, walk)),
        };
        let text = toml::to_string(&doc).map_err(|error| Refusal::new("cannot-write", error.to_string()))?;
        files::write(file, text.as_bytes())
    }

    /// Forgets the walk.
    pub fn forget(&self) -> Result<(), Refusal> {
        self.file.as_deref().map_or(Ok(()), files::remove)
    }
}

/// The answers of a walk, with place, day and who looked from `about`.
pub fn filled(about: &Answers, walk: &Walk) -> Answers {
    Answers {
        keep: walk.keep().to_vec(),
        answers: walk.answers().clone(),
        reasons: walk.reasons().clone(),
        ..about.clone()
    }
}

fn hex(text: &str) -> String {
    Sha256::digest(text).iter().map(|byte| format!("{byte:02x}")).collect()
}
