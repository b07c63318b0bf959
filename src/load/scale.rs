//! The scale: every constant between what is found in a room and its load, read strictly from TOML.

use std::fmt;
use std::ops::RangeInclusive;
use std::sync::LazyLock;

use sha2::{Digest, Sha256};

use crate::checklist::{Answer, Item};
use crate::load::scale_file::Reader;
use crate::load::{HeardTable, MarginTable, ScaleFaults, ScaleProblem, TableFault};
use crate::quantity::{Load, Pull};
use crate::words::{Channel, Evidence};

/// The scale that comes with the tool.
const SHIPPED: &str = include_str!("../../checklists/scale.toml");
/// The shipped scale, read once. The text is part of the program and a test reads it, so this cannot fail at a user's.
static READ: LazyLock<Scale> =
    LazyLock::new(|| Scale::read(SHIPPED, "scale.toml").unwrap_or_else(|faults| unreachable!("{faults}")));
/// The format of a scale file.
const FORMAT: &str = "stillroom.scale/1";
/// The keys of each table, in the order of the shipped file.
pub(super) const KEYS: [(&str, &[&str]); 7] = [
    ("heard", &["db", "pull", "speech_db"]),
    ("margin", &["db", "pull"]),
    ("photo", &["alone"]),
    ("pooling", &["seen", "heard"]),
    ("sensitivity", &["seen", "heard", "company"]),
    ("grades", &["still", "gentle", "lively"]),
    ("doubt", &["channel", "item", "answer", "answer_other", "draws", "seed"]),
];
/// Levels and margins beyond these are slips of the keyboard, dB. Convention.
const LEVELS: RangeInclusive<f64> = -50.0..=150.0;
/// The closest two rows of a table may stand, dB; keeps the slope beyond the last row finite. Convention.
const CLOSEST: f64 = 0.1;
/// The largest pull a table may name: a load of 99.995. Convention.
const LARGEST_PULL: f64 = 10.0;
/// Draws: enough for a 5th percentile, and not so many that one audit takes minutes. Convention.
const DRAWS: RangeInclusive<f64> = 100.0..=100_000.0;
/// The largest standard deviation of ln(pull): beyond it a figure means nothing. Convention.
const LARGEST_SD: f64 = 2.0;
/// The largest seed: the largest whole number that every JSON reader keeps whole.
const LARGEST_SEED: f64 = 9_007_199_254_740_991.0;

/// The tables of what was learned, of which there may be none.
pub(super) const PULL: &str = "pull";
/// What a learned factor may be: beyond it something else is wrong. Convention.
const FACTORS: RangeInclusive<f64> = 0.1..=10.0;

/// How strongly each channel works on this child: 1 unless the clinician sets 0.5 to 2.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sensitivity([f64; 3]);

impl Sensitivity {
    /// What a sensitivity may be. Convention.
    pub const RANGE: RangeInclusive<f64> = 0.5..=2.0;
    /// All channels as they are.
    pub const PLAIN: Self = Self([1.0; 3]);

    /// The three sensitivities; `None` unless each lies between 0.5 and 2.
    pub fn new(seen: f64, heard: f64, company: f64) -> Option<Self> {
        let all = [seen, heard, company];
        all.iter().all(|value| Self::RANGE.contains(value)).then_some(Self(all))
    }

    /// The sensitivity of a channel.
    pub const fn of(&self, channel: Channel) -> f64 {
        self.0[channel as usize]
    }
}

/// A load in a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// Below the first bound.
    Still,
    /// From the first bound up.
    Gentle,
    /// From the second bound up.
    Lively,
    /// From the third bound up.
    Full,
}

impl Grade {
    /// All four, the calmest first.
    pub const ALL: [Self; 4] = [Self::Still, Self::Gentle, Self::Lively, Self::Full];

    /// The word used in files and on screens.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Still => "still",
            Self::Gentle => "gentle",
            Self::Lively => "lively",
            Self::Full => "full",
        }
    }
}

impl fmt::Display for Grade {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.word())
    }
}

/// How unsure the figures are: standard deviations of ln(pull), and how the doubt is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Doubt {
    /// Of a whole channel of the scale.
    pub channel: f64,
    /// Of one item of the scale.
    pub item: f64,
    /// Of the same person answering again.
    pub answer: f64,
    /// Of another person answering.
    pub answer_other: f64,
    /// How many draws.
    pub draws: usize,
    /// The seed of the draws.
    pub seed: u64,
}

/// One table of a scale as it stands in the file, for showing.
#[derive(Clone, Debug, PartialEq)]
pub struct ScaleTable {
    /// Its name, such as `heard`.
    pub name: &'static str,
    /// What it rests on, when the file says.
    pub evidence: Option<Evidence>,
    /// Where it comes from, when the file says.
    pub source: Option<String>,
    /// Its keys with their values as text, in the file's order.
    pub entries: Vec<(String, String)>,
}

/// Every constant between what is found in a room and its load.
#[derive(Clone, Debug, PartialEq)]
pub struct Scale {
    text: String,
    hash: String,
    heard: HeardTable,
    margin: MarginTable,
    photo_alone: f64,
    pooling: [f64; 2],
    sensitivity: Sensitivity,
    grades: [f64; 3],
    doubt: Doubt,
    pulls: Vec<(String, f64)>,
    tables: Vec<ScaleTable>,
}

impl Scale {
    /// The scale that comes with the tool.
    pub fn shipped() -> Self {
        READ.clone()
    }

    /// Reads a scale. Every key must be there, none may be unknown, and every value must make sense; all faults are
    /// named at once. `file` is only used in messages.
    pub fn parse(text: &str, file: &str) -> Result<Self, ScaleFaults> {
        if text == SHIPPED {
            return Ok(READ.clone());
        }
        Self::read(text, file)
    }

    fn read(text: &str, file: &str) -> Result<Self, ScaleFaults> {
        let mut reader =
            Reader::new(text, FORMAT).map_err(|fault| ScaleFaults { file: file.to_owned(), faults: vec![fault] })?;

        let speech_db = reader.number("heard", "speech_db", 0.0..=20.0);
        let heard = table(&mut reader, "heard", |db, pull| HeardTable::new(db, pull, speech_db));
        let margin = table(&mut reader, "margin", MarginTable::new);
        let photo_alone = reader.number("photo", "alone", 0.0..=99.0);
        let pooling = ["seen", "heard"].map(|key| reader.number("pooling", key, 0.0..=1.0));
        let sensitivity =
            Channel::ALL.map(|channel| reader.number("sensitivity", channel.word(), Sensitivity::RANGE.clone()));
        let grades = ["still", "gentle", "lively"].map(|key| reader.number("grades", key, 0.0..=100.0));
        for (lower, key) in [(0, "gentle"), (1, "lively")] {
            if grades[lower + 1] <= grades[lower] {
                let below = grades[lower];
                reader.fault(
                    "grades",
                    key,
                    ScaleProblem::Value { allowed: format!("more than the bound below it, {below}") },
                );
            }
        }
        let [channel, item, answer, answer_other] =
            ["channel", "item", "answer", "answer_other"].map(|key| reader.number("doubt", key, 0.0..=LARGEST_SD));
        let draws = reader.whole("doubt", "draws", DRAWS);
        let seed = reader.whole("doubt", "seed", 0.0..=LARGEST_SEED);
        let pulls = reader.pulls(FACTORS);
        let mut tables = reader.tables();
        if !pulls.is_empty() {
            let entries = pulls.iter().map(|(id, factor)| (id.clone(), factor.to_string())).collect();
            tables.push(ScaleTable { name: PULL, evidence: None, source: None, entries });
        }

        let faults = reader.finish();
        let (Some(heard), Some(margin), true) = (heard, margin, faults.is_empty()) else {
            return Err(ScaleFaults { file: file.to_owned(), faults });
        };
        Ok(Self {
            text: text.to_owned(),
            hash: hex(text),
            heard,
            margin,
            photo_alone,
            pooling,
            sensitivity: Sensitivity(sensitivity),
            grades,
            doubt: Doubt {
                channel,
                item,
                answer,
                answer_other,
                draws: usize::try_from(draws).unwrap_or(usize::MAX),
                seed,
            },
            pulls,
            tables,
        })
    }

    /// The exact text it was read from.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// SHA-256 of the exact text, as `sha256sum` prints it.
    pub fn hash(&self) -> &str {
        &self.hash
    }

    /// Its tables as they stand in the file, each with evidence and source.
    pub fn tables(&self) -> &[ScaleTable] {
        &self.tables
    }

    /// Rating level at the child's ear to pull.
    pub const fn heard(&self) -> &HeardTable {
        &self.heard
    }

    /// Listening margin to pull.
    pub const fn margin(&self) -> &MarginTable {
        &self.margin
    }

    /// Percent of attention that the busiest photo's scene would take alone.
    pub const fn photo_alone(&self) -> f64 {
        self.photo_alone
    }

    /// The checklist's weight on a channel when a photo or a recording looked too; company has no second estimate.
    pub const fn checklist_weight(&self, channel: Channel) -> f64 {
        match channel {
            Channel::Seen => self.pooling[0],
            Channel::Heard => self.pooling[1],
            Channel::Company => 1.0,
        }
    }

    /// The sensitivities to use when the clinician has set none for the child.
    pub const fn sensitivity(&self) -> Sensitivity {
        self.sensitivity
    }

    /// The upper bounds of still, gentle and lively.
    pub const fn grade_bounds(&self) -> [f64; 3] {
        self.grades
    }

    /// The word for a load.
    pub fn grade(&self, load: Load) -> Grade {
        let passed = self.grades.iter().filter(|bound| load.points() >= **bound).count();
        Grade::ALL[passed]
    }

    /// How many times as strongly a thing draws as its item says; 1 unless the scale was learned from cases.
    pub fn factor(&self, id: &str) -> f64 {
        self.pulls.iter().find(|(known, _)| known == id).map_or(1.0, |(_, factor)| *factor)
    }

    /// The pull of an answer by this scale; `None` for an answer that says nothing.
    pub fn weigh(&self, item: &Item, answer: &Answer) -> Option<Pull> {
        Pull::new(item.pull(answer)?.u() * self.factor(item.id.as_str()))
    }

    /// How unsure the figures are.
    pub const fn doubt(&self) -> Doubt {
        self.doubt
    }
}

/// A table of levels and pulls, checked against slips before its own rules.
fn table<T>(
    reader: &mut Reader<'_>,
    name: &'static str,
    build: impl FnOnce(&[f64], &[f64]) -> Result<T, TableFault>,
) -> Option<T> {
    let (db, pull) = (reader.numbers(name, "db", LEVELS)?, reader.numbers(name, "pull", 0.0..=LARGEST_PULL)?);
    if let Some(row) = db.windows(2).position(|pair| pair[1] > pair[0] && pair[1] - pair[0] < CLOSEST) {
        let allowed = format!("{CLOSEST} dB or more above the row before, in row {}", row + 2);
        reader.fault(name, "db", ScaleProblem::Value { allowed });
    }
    match build(&db, &pull) {
        Ok(table) => Some(table),
        Err(fault) => {
            let key = match fault {
                TableFault::Speech => return None, // already named by its range
                TableFault::LevelOrder { .. } | TableFault::Shape { .. } => "db",
                _ => "pull",
            };
            reader.fault(name, key, ScaleProblem::Table(fault));
            None
        }
    }
}

/// SHA-256 in lower-case hexadecimal.
fn hex(text: &str) -> String {
    use fmt::Write;
    Sha256::digest(text).iter().fold(String::with_capacity(64), |mut hex, byte| {
        // Writing to a String cannot fail.
        _ = write!(hex, "{byte:02x}");
        hex
    })
}
