//! The words of a language: sentences from message files, plurals and parameters by that language's rules, days and
//! numbers as they are written there. Message files are in Fluent's syntax and stand in `languages/`.
//!
//! A message that a language lacks is said in English; the suite holds that none is lacking.

mod calendar;
mod lists;
mod pages;
mod pseudo;
mod retell;
mod values;

use std::fmt;
use std::sync::LazyLock;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};

use retell::Retelling;

pub use values::MONTHS;

/// The message files: language, file name, text. First those that a face says by name, then those whose English is
/// written where it arises ([`TOLD`]).
static FILES: &[(Language, &str, &str)] = &[
    (Language::English, "carry.ftl", include_str!("../../languages/en/carry.ftl")),
    (Language::English, "family.ftl", include_str!("../../languages/en/family.ftl")),
    (Language::English, "page.ftl", include_str!("../../languages/en/page.ftl")),
    (Language::English, "papers.ftl", include_str!("../../languages/en/papers.ftl")),
    (Language::English, "sheets.ftl", include_str!("../../languages/en/sheets.ftl")),
    (Language::English, "words.ftl", include_str!("../../languages/en/words.ftl")),
    (Language::English, "items.ftl", include_str!("../../languages/en/items.ftl")),
    (Language::English, "report.ftl", include_str!("../../languages/en/report.ftl")),
    (Language::English, "ladder.ftl", include_str!("../../languages/en/ladder.ftl")),
    (Language::English, "load.ftl", include_str!("../../languages/en/load.ftl")),
    (Language::English, "practice.ftl", include_str!("../../languages/en/practice.ftl")),
    (Language::English, "sound.ftl", include_str!("../../languages/en/sound.ftl")),
    (Language::English, "photo.ftl", include_str!("../../languages/en/photo.ftl")),
    (Language::English, "checklist.ftl", include_str!("../../languages/en/checklist.ftl")),
    (Language::English, "case.ftl", include_str!("../../languages/en/case.ftl")),
    (Language::English, "tasks.ftl", include_str!("../../languages/en/tasks.ftl")),
    #[cfg(not(target_family = "wasm"))]
    (Language::English, "terminal.ftl", include_str!("../../languages/en/terminal.ftl")),
    #[cfg(not(target_family = "wasm"))]
    (Language::English, "devices.ftl", include_str!("../../languages/en/devices.ftl")),
    (Language::English, "where.ftl", include_str!("../../languages/en/where.ftl")),
    (Language::Spanish, "carry.ftl", include_str!("../../languages/es/carry.ftl")),
    (Language::Spanish, "family.ftl", include_str!("../../languages/es/family.ftl")),
    (Language::Spanish, "page.ftl", include_str!("../../languages/es/page.ftl")),
    (Language::Spanish, "papers.ftl", include_str!("../../languages/es/papers.ftl")),
    (Language::Spanish, "sheets.ftl", include_str!("../../languages/es/sheets.ftl")),
    (Language::Spanish, "checklists.ftl", include_str!("../../languages/es/checklists.ftl")),
    (Language::Spanish, "words.ftl", include_str!("../../languages/es/words.ftl")),
    (Language::Spanish, "items.ftl", include_str!("../../languages/es/items.ftl")),
    (Language::Spanish, "report.ftl", include_str!("../../languages/es/report.ftl")),
    (Language::Spanish, "ladder.ftl", include_str!("../../languages/es/ladder.ftl")),
    (Language::Spanish, "load.ftl", include_str!("../../languages/es/load.ftl")),
    (Language::Spanish, "practice.ftl", include_str!("../../languages/es/practice.ftl")),
    (Language::Spanish, "sound.ftl", include_str!("../../languages/es/sound.ftl")),
    (Language::Spanish, "photo.ftl", include_str!("../../languages/es/photo.ftl")),
    (Language::Spanish, "checklist.ftl", include_str!("../../languages/es/checklist.ftl")),
    (Language::Spanish, "case.ftl", include_str!("../../languages/es/case.ftl")),
    (Language::Spanish, "tasks.ftl", include_str!("../../languages/es/tasks.ftl")),
    #[cfg(not(target_family = "wasm"))]
    (Language::Spanish, "terminal.ftl", include_str!("../../languages/es/terminal.ftl")),
    #[cfg(not(target_family = "wasm"))]
    (Language::Spanish, "devices.ftl", include_str!("../../languages/es/devices.ftl")),
    (Language::Spanish, "where.ftl", include_str!("../../languages/es/where.ftl")),
];

/// Files of sentences that are written in English in the rooms, and said again from here ([`retell`]).
const TOLD: [&str; 14] = [
    "words.ftl",
    "items.ftl",
    "report.ftl",
    "ladder.ftl",
    "load.ftl",
    "practice.ftl",
    "sound.ftl",
    "photo.ftl",
    "checklist.ftl",
    "case.ftl",
    "tasks.ftl",
    "terminal.ftl",
    "devices.ftl",
    "where.ftl",
];

/// The messages of each written language, read once: reading them takes far longer than a page.
static ENGLISH: LazyLock<FluentBundle<FluentResource>> = LazyLock::new(|| bundle(Language::English));
static SPANISH: LazyLock<FluentBundle<FluentResource>> = LazyLock::new(|| bundle(Language::Spanish));

/// A language that everything for people can be said in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Language {
    /// English, British spelling.
    English,
    /// Spanish.
    Spanish,
    /// English with accents and 40 % longer, to find boxes that are too small. For tests.
    Longer,
    /// English in letters written from right to left, to find pages that do not turn. For tests.
    Mirrored,
}

impl Language {
    /// The languages people speak.
    pub const SPOKEN: [Self; 2] = [Self::English, Self::Spanish];

    /// Its tag (BCP 47), as in `lang="es"`. The two made ones use the private range.
    pub const fn tag(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::Spanish => "es",
            Self::Longer => "en-x-longer",
            Self::Mirrored => "ar-x-mirrored",
        }
    }

    /// Its tag as a page of English says it: British spelling is not American.
    pub const fn page_tag(self) -> &'static str {
        match self {
            Self::English => "en-GB",
            other => other.tag(),
        }
    }

    /// Its name in itself.
    pub const fn name(self) -> &'static str {
        match self {
            Self::English => "English",
            Self::Spanish => "español",
            Self::Longer => "longer",
            Self::Mirrored => "mirrored",
        }
    }

    /// `ltr` or `rtl`, as pages say it.
    pub const fn direction(self) -> &'static str {
        match self {
            Self::Mirrored => "rtl",
            Self::English | Self::Spanish | Self::Longer => "ltr",
        }
    }

    /// The language of a tag or a locale, such as `es`, `es-MX` or `es_ES.UTF-8`.
    pub fn of_locale(locale: &str) -> Option<Self> {
        let first = locale.split(['-', '_', '.', '@']).next().unwrap_or_default().to_ascii_lowercase();
        match (locale, first.as_str()) {
            ("en-x-longer", _) => Some(Self::Longer),
            ("ar-x-mirrored", _) => Some(Self::Mirrored),
            (_, "en" | "c" | "posix") => Some(Self::English),
            (_, "es") => Some(Self::Spanish),
            _ => None,
        }
    }

    /// The language whose files it reads.
    const fn written(self) -> Self {
        match self {
            Self::Spanish => Self::Spanish,
            Self::English | Self::Longer | Self::Mirrored => Self::English,
        }
    }
}

impl fmt::Display for Language {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.tag())
    }
}

/// A value inside a message.
#[derive(Clone, Debug, PartialEq)]
pub enum Said {
    /// Words as they are.
    Words(String),
    /// A count, by which the language chooses its plural.
    Count(u32),
}

impl From<&str> for Said {
    fn from(words: &str) -> Self {
        Self::Words(words.to_owned())
    }
}

impl From<String> for Said {
    fn from(words: String) -> Self {
        Self::Words(words)
    }
}

impl From<u32> for Said {
    fn from(count: u32) -> Self {
        Self::Count(count)
    }
}

/// Says messages in one language.
#[derive(Clone, Copy, Debug)]
pub struct Speaker {
    language: Language,
}

impl Speaker {
    /// A speaker of that language.
    pub const fn new(language: Language) -> Self {
        Self { language }
    }

    /// The language.
    pub const fn language(&self) -> Language {
        self.language
    }

    /// The message of that name.
    pub fn say(&self, id: &str) -> String {
        self.say_with(id, &[])
    }

    /// The message of that name, with its values.
    pub fn say_with(&self, id: &str, values: &[(&str, Said)]) -> String {
        self.find(id, values).unwrap_or_else(|| format!("[{id}]"))
    }

    /// The message of that name (`name` or `name.attribute`), if this language or English has it.
    pub fn find(&self, id: &str, values: &[(&str, Said)]) -> Option<String> {
        let found = look_up(self.own(), id, values).or_else(|| look_up(&ENGLISH, id, values))?;
        Some(self.shaped(found))
    }

    /// Words that stand in no message file (a checklist's own, an alias), shaped for the made languages.
    pub fn own_words(&self, words: &str) -> String {
        match self.language {
            Language::English => words.to_owned(),
            Language::Spanish => self.retell(words),
            Language::Longer | Language::Mirrored => self.shaped(words.to_owned()),
        }
    }

    /// A text that was written in English, in this language as far as it is recognised.
    pub fn retell(&self, text: &str) -> String {
        let said = Retelling::into(self.language).and_then(|mut retelling| retelling.text(text));
        said.map_or_else(|| text.to_owned(), |said| self.shaped(said))
    }

    /// An HTML page whose texts were written in English, in this language as far as they are recognised.
    pub fn retell_page(&self, page: String) -> String {
        match Retelling::into(self.language) {
            Some(mut retelling) => retelling.page(&page, &|said| self.shaped(said.to_owned())),
            None => page,
        }
    }

    /// The messages of the language itself.
    fn own(&self) -> &'static FluentBundle<FluentResource> {
        if self.language.written() == Language::Spanish { &SPANISH } else { &ENGLISH }
    }

    fn shaped(&self, words: String) -> String {
        match self.language {
            Language::English | Language::Spanish => words,
            Language::Longer => pseudo::longer(&words),
            Language::Mirrored => pseudo::mirrored(&words),
        }
    }
}

/// The names of all messages a language has: `name` and `name.attribute`.
pub fn messages(language: Language) -> Vec<String> {
    names(|owner, _| owner == language.written())
}

/// The names of the messages that are recognised by their English.
fn retold() -> Vec<String> {
    names(|owner, file| owner == Language::English && TOLD.contains(&file))
}

/// Every message whose sentence is written in English where it arises: its name and how a language says it, with
/// `{$name}` for a value.
pub fn told_sentences(language: Language) -> Vec<(String, String)> {
    retell::sentences(language.written(), &retold())
}

fn names(wanted: impl Fn(Language, &str) -> bool) -> Vec<String> {
    let mut names = Vec::new();
    for (_, _, text) in FILES.iter().filter(|(owner, file, _)| wanted(*owner, file)) {
        let mut message = "";
        for line in text.lines() {
            let Some((left, right)) = line.split_once('=') else { continue };
            if line.starts_with(|sign: char| sign.is_ascii_alphabetic()) {
                message = left.trim();
                if !right.trim().is_empty() || !text.contains(&format!("\n{message} =\n    .")) {
                    names.push(message.to_owned());
                }
            } else if let Some(attribute) = left.trim().strip_prefix('.') {
                names.push(format!("{message}.{}", attribute.trim()));
            }
        }
    }
    names
}

fn bundle(language: Language) -> FluentBundle<FluentResource> {
    let tags = language.tag().parse().into_iter().collect();
    let mut bundle = FluentBundle::new_concurrent(tags);
    bundle.set_use_isolating(false);
    for (_, _, text) in FILES.iter().filter(|(owner, name, _)| *owner == language && !TOLD.contains(name)) {
        // A file with a fault still gives its sound messages; the suite reads every file and lets no fault pass.
        let resource = FluentResource::try_new((*text).to_owned()).unwrap_or_else(|(sound, _faults)| sound);
        let _twice = bundle.add_resource(resource);
    }
    bundle
}

/// Faults of a language's files, each with its file's name; none in a sound build.
pub fn faults(language: Language) -> Vec<String> {
    let mut found = Vec::new();
    let mut bundle = FluentBundle::new_concurrent(language.tag().parse().into_iter().collect());
    for (_, name, text) in FILES.iter().filter(|(owner, ..)| *owner == language) {
        let resource = match FluentResource::try_new((*text).to_owned()) {
            Ok(resource) => resource,
            Err((sound, faults)) => {
                found.extend(faults.iter().map(|fault| format!("{name}: {fault}")));
                sound
            }
        };
        if let Err(twice) = bundle.add_resource(resource) {
            found.extend(twice.iter().map(|fault| format!("{name}: {fault}")));
        }
    }
    found
}

fn look_up(bundle: &FluentBundle<FluentResource>, id: &str, values: &[(&str, Said)]) -> Option<String> {
    let (name, attribute) = id.split_once('.').map_or((id, None), |(name, attribute)| (name, Some(attribute)));
    let message = bundle.get_message(name)?;
    let pattern = match attribute {
        Some(attribute) => message.get_attribute(attribute)?.value(),
        None => message.value()?,
    };
    let mut arguments = FluentArgs::new();
    for (name, value) in values {
        match value {
            Said::Words(words) => arguments.set(*name, words.as_str()),
            Said::Count(count) => arguments.set(*name, FluentValue::from(*count)),
        }
    }
    let mut faults = Vec::new();
    let said = bundle.format_pattern(pattern, Some(&arguments), &mut faults).into_owned();
    // A missing value is a fault of this program, not of the reader; the suite says every message with its values.
    Some(said)
}
