//! Reads ladder input (TOML): strict, with the line of every fault and the nearest right spelling.
//!
//! All faults of a file are told at once. What is written in the file is read here; whether it makes sense
//! (ranges, `needs`, doubles) is looked at in `check`, which the planner asks too.

use toml::de::DeTable;

use super::check::{Spot, faults_of};
use super::fault::{Fault, Faults, Wrong};
use super::fields::{Fields, Source};
use super::input::{Acoustics, Distractor, LadderInput, Level, LevelDraw, LevelLabel, Need, Sensitivity};
use crate::load::HeardTable;
use crate::quantity::{Decibels, Pull};
use crate::words::Channel;

/// The format this reads.
pub const FORMAT: &str = "stillroom.ladder-input/1";

/// Keys of the file.
const TOP: &[&str] = &[
    "format",
    "order",
    "background_db",
    "sound_cap_db",
    "reading_sd_db",
    "novelty",
    "max_step",
    "sensitivity",
    "heard",
    "distractor",
    "keep",
    "room",
];
/// Keys of a distractor.
const DISTRACTOR: &[&str] = &[
    "id",
    "channel",
    "start",
    "goal",
    "needs",
    "level",
    "name",
    "exemplars",
    "set_up",
    "set_up_minutes",
    "people",
    "minutes",
    "trials",
];
/// Keys of a level.
const LEVEL: &[&str] = &["name", "pull", "count", "db", "speech"];

/// Reads ladder input; `file` is its name in messages.
pub fn parse(text: &str, file: &str) -> Result<LadderInput, Faults> {
    let source = Source::new(text);
    let table = match DeTable::parse(text) {
        Ok(table) => table,
        Err(error) => {
            let line = error.span().map_or(1, |span| source.line(span.start));
            let fault = Fault { line, item: None, wrong: Wrong::Toml(error.message().to_owned()) };
            return Err(Faults { file: file.to_owned(), faults: vec![fault] });
        }
    };
    let mut faults = Vec::new();
    let read = read_top(table.get_ref(), &source, &mut faults);
    match read {
        Some((input, spots)) if faults.is_empty() => {
            let faults: Vec<Fault> = faults_of(&input)
                .into_iter()
                .map(|(spot, wrong)| Fault { line: spots.line(&spot), item: spot.item(&input), wrong })
                .collect();
            if faults.is_empty() { Ok(input) } else { Err(Faults { file: file.to_owned(), faults }) }
        }
        _ => {
            faults.sort_by_key(|fault| fault.line);
            Err(Faults { file: file.to_owned(), faults })
        }
    }
}

/// Where things stand in the file.
#[derive(Default)]
struct Spots {
    keys: Vec<(Spot, usize)>,
}

impl Spots {
    fn line(&self, spot: &Spot) -> usize {
        let at = |wanted: &Spot| self.keys.iter().find(|(key, _)| key == wanted).map(|(_, line)| *line);
        at(spot).or_else(|| spot.around().and_then(|around| at(&around))).unwrap_or(1)
    }

    fn note(&mut self, fields: &Fields<'_>, spot: impl Fn(&'static str) -> Spot, keys: &[&'static str]) {
        for &key in keys {
            if let Some(line) = fields.line_of(key) {
                self.keys.push((spot(key), line));
            }
        }
    }
}

fn read_top(table: &DeTable<'_>, source: &Source<'_>, faults: &mut Vec<Fault>) -> Option<(LadderInput, Spots)> {
    let top = Fields::new(table, source, 1, None);
    let mut spots = Spots::default();
    top.only(TOP, faults);
    spots.note(&top, Spot::Top, TOP);

    if let Some(format) = top.text("format", faults).filter(|format| format != FORMAT) {
        faults.push(top.fault("format", Wrong::Format { found: format, wanted: FORMAT }));
    }
    let order = read_order(&top, faults);
    let background = top.number("background_db", faults);
    let sound_cap = top.number("sound_cap_db", faults);
    let reading_sd = top.optional_number("reading_sd_db", faults);
    let novelty = top.number("novelty", faults);
    let max_step = top.optional_number("max_step", faults);
    let sensitivity = read_sensitivity(&top, source, faults);
    let heard = read_heard(&top, source, faults);
    let keep = top.texts("keep", faults);
    let acoustics = read_acoustics(&top, source, faults);
    let distractors = read_distractors(&top, source, &mut spots, faults);
    let max_step = match max_step.map(|step| (step, Pull::new(step).filter(|pull| pull.u() > 0.0))) {
        Some((_, None)) => {
            faults.push(top.fault("max_step", Wrong::NotAbove { key: "max_step" }));
            None
        }
        Some((_, pull)) => pull,
        None => None,
    };
    let input = LadderInput {
        order: order?,
        background: Decibels::new(background?),
        sound_cap: Decibels::new(sound_cap?),
        reading_sd_db: reading_sd.unwrap_or(0.0),
        novelty: novelty?,
        max_step,
        sensitivity: sensitivity?,
        heard: heard?,
        distractors: distractors?,
        keep,
        acoustics,
        by_list: false,
    };
    Some((input, spots))
}

fn read_order(top: &Fields<'_>, faults: &mut Vec<Fault>) -> Option<[Channel; 3]> {
    top.required("order", faults)?;
    let before = faults.len();
    let words = top.texts("order", faults);
    if faults.len() > before {
        return None;
    }
    let mut order = Vec::new();
    for word in &words {
        match Channel::from_word(word) {
            Some(channel) => order.push(channel),
            None => faults.push(top.fault("order", Wrong::channel(word))),
        }
    }
    if order.len() < words.len() {
        return None;
    }
    // Whether each is named once is checked with the rest (`check`).
    let three = <[Channel; 3]>::try_from(order).ok();
    if three.is_none() {
        faults.push(top.fault("order", Wrong::Order));
    }
    three
}

fn read_sensitivity(top: &Fields<'_>, source: &Source<'_>, faults: &mut Vec<Fault>) -> Option<Sensitivity> {
    let table = top.table("sensitivity", source, faults)?;
    table.only(&["seen", "heard", "company"], faults);
    // A channel that is left out is 1, which is what "not set by a clinician" means everywhere.
    let mut of = |key| table.optional_number(key, faults).unwrap_or(1.0);
    Some(Sensitivity { seen: of("seen"), heard: of("heard"), company: of("company") })
}

fn read_heard(top: &Fields<'_>, source: &Source<'_>, faults: &mut Vec<Fault>) -> Option<HeardTable> {
    let table = top.table("heard", source, faults)?;
    table.only(&["db", "pull", "speech_db"], faults);
    let (db, pull) = (table.numbers("db", faults), table.numbers("pull", faults));
    let speech_db = table.number("speech_db", faults);
    match HeardTable::new(&db?, &pull?, speech_db?) {
        Ok(table) => Some(table),
        Err(fault) => {
            faults.push(table.fault("pull", Wrong::Table(fault)));
            None
        }
    }
}

fn read_acoustics(top: &Fields<'_>, source: &Source<'_>, faults: &mut Vec<Fault>) -> Option<Acoustics> {
    top.line_of("room")?;
    let table = top.table("room", source, faults)?;
    table.only(&["volume_m3", "decay_s"], faults);
    let (volume_m3, decay_s) = (table.number("volume_m3", faults), table.number("decay_s", faults));
    Some(Acoustics { volume_m3: volume_m3?, decay_s: decay_s? })
}

fn read_distractors(
    top: &Fields<'_>,
    source: &Source<'_>,
    spots: &mut Spots,
    faults: &mut Vec<Fault>,
) -> Option<Vec<Distractor>> {
    let tables = top.tables("distractor", source, faults);
    let count = tables.len();
    let mut distractors = Vec::with_capacity(count);
    for (number, fields) in tables.into_iter().enumerate() {
        let fields = fields.named("distractor", number);
        spots.keys.push((Spot::Distractor(number, ""), fields.line()));
        spots.note(&fields, |key| Spot::Distractor(number, key), DISTRACTOR);
        distractors.extend(read_distractor(&fields, number, source, spots, faults));
    }
    (distractors.len() == count).then_some(distractors)
}

fn read_distractor(
    fields: &Fields<'_>,
    number: usize,
    source: &Source<'_>,
    spots: &mut Spots,
    faults: &mut Vec<Fault>,
) -> Option<Distractor> {
    fields.only(DISTRACTOR, faults);
    let id = fields.text("id", faults);
    let channel = fields.text("channel", faults).and_then(|word| {
        let channel = Channel::from_word(&word);
        if channel.is_none() {
            faults.push(fields.fault("channel", Wrong::channel(&word)));
        }
        channel
    });
    let (start, goal) = (fields.whole("start", faults), fields.whole("goal", faults));
    let needs = read_need(fields, source, faults);
    let name = fields.optional_text("name", faults);
    let exemplars = fields.texts("exemplars", faults);
    let set_up = fields.optional_text("set_up", faults);
    let set_up_minutes = fields.optional_number("set_up_minutes", faults);
    let people = fields.optional_small("people", faults);
    let minutes = fields.optional_number("minutes", faults);
    let trials = fields.optional_small("trials", faults);
    let tables = fields.tables("level", source, faults);
    let count = tables.len();
    let mut levels = Vec::with_capacity(count);
    for (level, table) in tables.into_iter().enumerate() {
        let table = table.inside(fields, level + 1);
        spots.keys.push((Spot::Level(number, level, ""), table.line()));
        spots.note(&table, |key| Spot::Level(number, level, key), LEVEL);
        levels.extend(read_level(&table, level, channel, faults));
    }
    if levels.len() < count {
        return None;
    }
    Some(Distractor {
        id: id?,
        name,
        channel: channel?,
        start: start?,
        goal: goal?,
        needs: needs?,
        levels,
        exemplars,
        set_up,
        set_up_minutes,
        people,
        minutes,
        trials,
        draws: 1.0,
        weighs: 1.0,
    })
}

/// The outer option is whether it could be read, the inner one whether it is there.
#[expect(clippy::option_option, reason = "unreadable and absent are two things, and only the first stops the reading")]
fn read_need(fields: &Fields<'_>, source: &Source<'_>, faults: &mut Vec<Fault>) -> Option<Option<Need>> {
    if fields.line_of("needs").is_none() {
        return Some(None);
    }
    let table = fields.table("needs", source, faults)?;
    table.only(&["id", "level"], faults);
    let (id, level) = (table.text("id", faults), table.whole("level", faults));
    Some(Some(Need { id: id?, level: level? }))
}

fn read_level(fields: &Fields<'_>, index: usize, channel: Option<Channel>, faults: &mut Vec<Fault>) -> Option<Level> {
    fields.only(LEVEL, faults);
    let number = u32::try_from(index + 1).unwrap_or(u32::MAX);
    let name = fields.optional_text("name", faults).unwrap_or_else(|| format!("level {number}"));
    let channel = channel?;
    let misplaced: &[&'static str] = if channel == Channel::Heard { &["pull", "count"] } else { &["db", "speech"] };
    let before = faults.len();
    for &key in misplaced {
        if fields.line_of(key).is_some() {
            faults.push(fields.fault(key, Wrong::Misplaced { key, channel }));
        }
    }
    let draw = if channel == Channel::Heard {
        let (level, speech) = (fields.number("db", faults), fields.optional_flag("speech", faults));
        LevelDraw::Sound { level: Decibels::new(level?), speech: speech.unwrap_or(false) }
    } else {
        let (pull, count) = (fields.number("pull", faults), fields.optional_small("count", faults));
        let pull = pull?;
        let Some(pull) = Pull::new(pull) else {
            faults.push(fields.fault("pull", Wrong::Below { key: "pull", least: "0" }));
            return None;
        };
        LevelDraw::Pull { pull, count }
    };
    (faults.len() == before).then_some(Level { label: LevelLabel::Plain(number), name, draw })
}
