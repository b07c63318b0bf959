//! The page carried in one file: the same pages, asked by a script in the browser instead of through a port. What it is
//! given and what it gives are bytes; where files are kept is a folder like any other, in a browser a tree in memory.

use std::path::{Path, PathBuf};

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::answer::Answer;
use super::asked::{Asked, Method};
use super::desk::Desk;
use super::route;
use crate::contract::json;
use crate::language::Language;
use crate::tasks::files::{is_there, private_folder};
use crate::tasks::serving::Serving;
use crate::tasks::{Named, Refusal, handovers, ladders, photos, sounds};

/// The words that the script says; each is the message `carry-NAME`.
const WORDS: [&str; 9] =
    ["working", "not-kept", "no-storage", "private", "fault", "take-photo", "take-sound", "first", "other-child"];

/// The pages, for whoever carries them.
pub struct Carried {
    root: PathBuf,
    zone: TimeZone,
    clock: fn() -> Timestamp,
    desk: Desk,
}

/// What came back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answered {
    /// The status, as in HTTP.
    pub status: u16,
    /// The content type.
    pub kind: &'static str,
    /// Where to go instead.
    pub to: Option<String>,
    /// The content.
    pub body: Vec<u8>,
}

impl From<Answer> for Answered {
    fn from(answer: Answer) -> Self {
        Self { status: answer.status, kind: answer.kind, to: answer.to, body: answer.body }
    }
}

/// Where the case lies below the root; where packs are made, which need not be kept.
pub(super) fn case_of(root: &Path) -> PathBuf {
    root.join("case")
}

/// Where packs are made.
pub(super) fn out_of(root: &Path) -> PathBuf {
    root.join("out")
}

impl Carried {
    /// The pages with their files below `root`, in a language, where the clock stands so.
    pub fn new(root: &Path, language: Language, zone: TimeZone, clock: fn() -> Timestamp) -> Self {
        let desk = desk(root, language, zone.clone(), clock);
        Self { root: root.to_owned(), zone, clock, desk }
    }

    /// Answers what the browser asks; `changes` where it sends a form.
    pub fn answer(&mut self, changes: bool, address: &str, kind: &str, body: Vec<u8>) -> Answered {
        let method = if changes { Method::Post } else { Method::Get };
        match Asked::new(method, address, kind, body) {
            Ok(asked) if asked.path == "/language" => {
                let language = asked.field("to").and_then(Language::of_locale).unwrap_or(self.desk.language);
                self.desk = desk(&self.root, language, self.zone.clone(), self.clock);
                Answer::go("/").into()
            }
            Ok(asked) => route::answer(&asked, &self.desk).into(),
            Err(_) => Answer::refusal(400, super::frame::plain("no-form")).into(),
        }
    }

    /// The words that the script says, as JSON.
    pub fn words(&self) -> String {
        let speaker = self.desk.speaker();
        let mut words: serde_json::Map<String, serde_json::Value> =
            WORDS.iter().map(|name| ((*name).to_owned(), speaker.say(&format!("carry-{name}")).into())).collect();
        words.insert("language".to_owned(), self.desk.language.tag().into());
        serde_json::Value::Object(words).to_string()
    }

    /// Takes in the records that the file carries: all that is not here yet. How many that were.
    pub fn take_in(&self, archive: &[u8]) -> Result<usize, Refusal> {
        private_folder(&out_of(&self.root))?;
        let added = handovers::take_in(archive, &out_of(&self.root), &case_of(&self.root))?;
        self.desk.open(case_of(&self.root));
        Ok(added)
    }
}

fn desk(root: &Path, language: Language, zone: TimeZone, clock: fn() -> Timestamp) -> Desk {
    let case = Some(case_of(root)).filter(|case| is_there(case));
    let serving = Serving { case, port: 0, language, state: Some(root.join("state")), zone };
    Desk::new(serving, clock).carried(root)
}

/// What the terminal prints with `--format json` of a file: `photo`, `sound` or `ladder`.
pub fn document(what: &str, name: &str, bytes: Vec<u8>) -> Result<String, Refusal> {
    let named = Named { name: name.to_owned(), content: bytes };
    match what {
        "photo" => photos::photo(&named).map(|photo| json(&photo.doc)),
        "sound" => {
            let opened = sounds::from_bytes(name, named.content);
            sounds::from_opened(opened, None, crate::sound::Settings::default(), false, &mut |_| ())
                .map(|doc| json(&doc))
        }
        "ladder" => {
            let text = crate::tasks::files::as_text(named, name)?;
            ladders::from_file(&text, &ladders::Wishes::default()).map(|doc| json(&doc))
        }
        _ => Err(Refusal::new("no-such-document", "a photo, a sound or a ladder can be read")),
    }
}
