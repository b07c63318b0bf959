//! Papers: blank printable sheets, each one self-contained HTML page without script. With a case they carry its own
//! words (task, rung, what stays); without one, lines to write on.

mod checklist;
mod choosing;
mod drawn;
pub(super) mod frame;
mod marked;
mod on_task;
mod plan;
mod practice;
mod quiet_week;
mod rung_cards;
mod screens;
mod visit;

use jiff::civil::Date;

use crate::checklist::Checklist;
use crate::language::Speaker;
use crate::paper::{Kind, LAYOUT, Label, Sheet};

pub use marked::checklist_pages;

/// A paper that can be printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Paper {
    /// The questions of a checklist.
    Checklist,
    /// Sittings of two weeks.
    SessionSheet,
    /// Momentary time sampling.
    SamplingSheet,
    /// Paired-choice preference assessment.
    PairsSheet,
    /// Multiple choice without replacement.
    ChoiceSheet,
    /// How to take the photo.
    PhotoGuide,
    /// The plan for the fridge.
    PracticePlan,
    /// A rung on a card.
    RungCards,
    /// A week of screens.
    ScreenDiary,
    /// A week by the hour.
    QuietWeek,
    /// A page for a visit.
    DoorstepSheet,
    /// Boxes for the family's own pictures.
    PictureSchedule,
}

impl Paper {
    /// All papers, in the order in which a family meets them.
    pub const ALL: [Self; 12] = [
        Self::DoorstepSheet,
        Self::Checklist,
        Self::PhotoGuide,
        Self::QuietWeek,
        Self::RungCards,
        Self::PracticePlan,
        Self::PictureSchedule,
        Self::SessionSheet,
        Self::SamplingSheet,
        Self::PairsSheet,
        Self::ChoiceSheet,
        Self::ScreenDiary,
    ];

    /// The name it is asked for by.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Checklist => "checklist",
            Self::SessionSheet => "session-sheet",
            Self::SamplingSheet => "sampling-sheet",
            Self::PairsSheet => "pairs-sheet",
            Self::ChoiceSheet => "choice-sheet",
            Self::PhotoGuide => "photo-guide",
            Self::PracticePlan => "practice-plan",
            Self::RungCards => "rung-cards",
            Self::ScreenDiary => "screen-diary",
            Self::QuietWeek => "quiet-week",
            Self::DoorstepSheet => "doorstep-sheet",
            Self::PictureSchedule => "picture-schedule",
        }
    }

    /// The paper of that name.
    pub fn of_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|paper| paper.name() == name)
    }

    /// Its title in a language.
    pub fn title(self, speaker: &Speaker) -> String {
        speaker.say(&format!("paper-{}", self.name()))
    }

    /// What it is for, in one sentence.
    pub fn tells(self, speaker: &Speaker) -> String {
        speaker.say(&format!("paper-{}.tells", self.name()))
    }
}

/// What a case says on its papers; all may be missing.
#[derive(Clone, Debug, Default)]
pub struct PaperFacts<'a> {
    /// The child's alias.
    pub alias: Option<String>,
    /// The task's name.
    pub task: Option<String>,
    /// What counts as right.
    pub correct: Option<String>,
    /// The place.
    pub place: Option<String>,
    /// What must stay in reach.
    pub keep: Vec<String>,
    /// The rung the child is on.
    pub rung: Option<RungWords>,
    /// The last decision with its day, in words.
    pub decision: Option<String>,
    /// What is due, in words.
    pub due: Vec<String>,
    /// Tries a sitting.
    pub tries: Option<u32>,
    /// Minutes a sitting.
    pub minutes: Option<u32>,
    /// The checklist to print; without one the corner at home.
    pub checklist: Option<&'a Checklist>,
    /// The version of this program.
    pub version: &'a str,
    /// What the sheets that are read back say of themselves.
    pub printed: Printed,
}

/// What a sheet that is read back says of itself, beside its kind and language.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Printed {
    /// The code of the case's alias; 0 for no case.
    pub alias_code: u32,
    /// The Monday of its week, in weeks since 1 January 2024.
    pub week: Option<u16>,
    /// That Monday.
    pub monday: Option<Date>,
    /// The rung.
    pub rung: Option<u16>,
    /// Its number, without check digits.
    pub number: u32,
}

impl Printed {
    /// What is printed in the dots of a form in a language.
    pub fn label(&self, kind: Kind, speaker: &Speaker) -> Label {
        let mut letters = speaker.language().tag().bytes();
        let language = [letters.next().unwrap_or(b'e'), letters.next().unwrap_or(b'n')];
        Label {
            layout: LAYOUT,
            kind,
            language,
            page: 0,
            alias: self.alias_code,
            week: self.week.filter(|_| kind != Kind::Checklist),
            about: self.rung.filter(|_| kind == Kind::Sittings),
            number: self.number,
        }
    }
}

/// A rung in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RungWords {
    /// Its number; 0 is the cleared room.
    pub number: String,
    /// What is new on it; empty for the cleared room.
    pub new: String,
}

/// A paper as one HTML page.
pub fn paper(paper: Paper, facts: &PaperFacts<'_>, speaker: &Speaker) -> String {
    let body = match paper {
        Paper::Checklist => checklist::body(facts, speaker),
        Paper::SessionSheet => practice::body(facts, speaker),
        Paper::SamplingSheet => on_task::body(facts, speaker),
        Paper::PairsSheet => choosing::pairs(facts, speaker),
        Paper::ChoiceSheet => choosing::all(facts, speaker),
        Paper::PhotoGuide => drawn::photo_guide(speaker),
        Paper::PracticePlan => plan::body(facts, speaker),
        Paper::RungCards => rung_cards::body(facts, speaker),
        Paper::ScreenDiary => screens::body(facts, speaker),
        Paper::QuietWeek => quiet_week::body(facts, speaker),
        Paper::DoorstepSheet => visit::body(facts, speaker),
        Paper::PictureSchedule => drawn::schedule(speaker),
    };
    if Kind::of_name(paper.name()).is_some() {
        return frame::sheet(&paper.title(speaker), "marked", "", facts.version, speaker, &body);
    }
    frame::page(paper, facts, speaker, &body)
}

/// The sheets of a form that is read back: one, or the pages of a checklist.
fn sheets(kind: Kind, facts: &PaperFacts<'_>, speaker: &Speaker) -> Vec<Sheet> {
    let label = facts.printed.label(kind, speaker);
    match facts.checklist.filter(|_| kind == Kind::Checklist) {
        Some(list) => checklist_pages(list, label, speaker),
        None => Sheet::plain(label).into_iter().collect(),
    }
}
