//! Whether an input makes sense: ranges, names, levels, `needs`. Asked by the reader and again by the planner,
//! because an input can also be built from a case.

use super::fault::Wrong;
use super::input::{Distractor, LadderInput, LevelDraw};
use crate::words::{Channel, did_you_mean, printable};

/// No rung is planned above this level at the child's ear, dB LAeq. Convention.
pub const SOUND_CAP_MOST_DB: f64 = 65.0;
/// A cap below this leaves no room for any sound, dB.
const SOUND_CAP_LEAST_DB: f64 = 20.0;
/// Levels outside are no levels at an ear, dB.
const LEVEL_DB: (f64, f64) = (-20.0, 120.0);
/// Doubt of a device; a larger one says nothing about a level.
const READING_SD_DB: (f64, f64) = (0.0, 10.0);
/// A clinician's sensitivities.
const SENSITIVITY: (f64, f64) = (0.5, 2.0);
/// A pull of 50 leaves 2e-22 of the attention: beyond it only a slip of the pen.
const PULL_MOST: f64 = 50.0;
/// Splitting below this step would need thousands of levels.
const MAX_STEP_LEAST: f64 = 0.001;
/// Distractors in one ladder.
const DISTRACTORS_MOST: usize = 500;
/// Levels of one distractor.
const LEVELS_MOST: usize = 100;
/// Rungs of one ladder, whether of the input or after splitting: each carries the whole state.
pub(crate) const RUNGS_MOST: usize = 2000;
/// Signs of a name.
const NAME_MOST: usize = 200;
/// Volume of a room, m³.
const VOLUME: (f64, f64) = (1.0, 100_000.0);
/// Reverberation time of a room, s.
const DECAY: (f64, f64) = (0.05, 20.0);

/// What a fault is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Spot {
    /// A key of the file.
    Top(&'static str),
    /// A key of a distractor; an empty key is the distractor itself.
    Distractor(usize, &'static str),
    /// A key of a level, counted from 0; an empty key is the level itself.
    Level(usize, usize, &'static str),
}

impl Spot {
    /// What it stands in.
    pub(crate) const fn around(&self) -> Option<Self> {
        match self {
            Self::Top(_) => None,
            Self::Distractor(index, _) => Some(Self::Distractor(*index, "")),
            Self::Level(index, level, _) => Some(Self::Level(*index, *level, "")),
        }
    }

    /// Its name for people.
    pub(crate) fn item(&self, input: &LadderInput) -> Option<String> {
        let name = |index: usize| input.distractors.get(index).map(|distractor| printable(&distractor.id));
        match self {
            Self::Top(_) => None,
            Self::Distractor(index, _) => name(*index),
            Self::Level(index, level, _) => name(*index).map(|name| format!("{name}, level {}", level + 1)),
        }
    }
}

/// Everything that makes no sense.
pub(crate) fn faults_of(input: &LadderInput) -> Vec<(Spot, Wrong)> {
    let mut faults = Vec::new();
    top(input, &mut faults);
    let count = input.distractors.len();
    if count > DISTRACTORS_MOST {
        let wrong = Wrong::TooMany { count, what: "distractors", most: DISTRACTORS_MOST };
        faults.push((Spot::Top("distractor"), wrong));
        return faults;
    }
    for (index, distractor) in input.distractors.iter().enumerate() {
        one(input, index, distractor, &mut faults);
    }
    let count = input.rungs();
    if count > RUNGS_MOST {
        faults.push((
            Spot::Top("distractor"),
            Wrong::TooMany { count, what: "rungs from start to goal", most: RUNGS_MOST },
        ));
    }
    if faults.is_empty() {
        circles(input, &mut faults);
    }
    faults
}

fn range(spot: Spot, key: &'static str, value: f64, (least, most): (f64, f64), faults: &mut Vec<(Spot, Wrong)>) {
    if !(least..=most).contains(&value) {
        faults.push((spot, Wrong::Range { key, value, least, most }));
    }
}

fn top(input: &LadderInput, faults: &mut Vec<(Spot, Wrong)>) {
    range(Spot::Top("background_db"), "background_db", input.background.db(), LEVEL_DB, faults);
    let cap = input.sound_cap.db();
    if cap > SOUND_CAP_MOST_DB {
        faults.push((Spot::Top("sound_cap_db"), Wrong::CapTooHigh { value: cap, most: SOUND_CAP_MOST_DB }));
    } else {
        let bounds = (SOUND_CAP_LEAST_DB, SOUND_CAP_MOST_DB);
        range(Spot::Top("sound_cap_db"), "sound_cap_db", cap, bounds, faults);
    }
    range(Spot::Top("reading_sd_db"), "reading_sd_db", input.reading_sd_db, READING_SD_DB, faults);
    range(Spot::Top("novelty"), "novelty", input.novelty, (0.0, 1.0), faults);
    if let Some(step) = input.max_step {
        range(Spot::Top("max_step"), "max_step", step.u(), (MAX_STEP_LEAST, PULL_MOST), faults);
    }
    for channel in Channel::ALL {
        range(Spot::Top("sensitivity"), channel.word(), input.sensitivity.of(channel), SENSITIVITY, faults);
    }
    for &(db, pull) in input.heard.rows() {
        range(Spot::Top("heard"), "db", db, LEVEL_DB, faults);
        range(Spot::Top("heard"), "pull", pull, (0.0, PULL_MOST), faults);
    }
    if let Some(acoustics) = input.acoustics {
        range(Spot::Top("room"), "volume_m3", acoustics.volume_m3, VOLUME, faults);
        range(Spot::Top("room"), "decay_s", acoustics.decay_s, DECAY, faults);
    }
    let sorted = {
        let mut order = input.order;
        order.sort_unstable();
        order
    };
    if sorted != Channel::ALL {
        faults.push((Spot::Top("order"), Wrong::Order));
    }
    for name in &input.keep {
        named(Spot::Top("keep"), "keep", name, faults);
    }
}

fn named(spot: Spot, key: &'static str, name: &str, faults: &mut Vec<(Spot, Wrong)>) {
    if name.trim().is_empty() || name.chars().count() > NAME_MOST || name.chars().any(char::is_control) {
        faults.push((spot, Wrong::Name { key, most: NAME_MOST }));
    }
}

fn one(input: &LadderInput, index: usize, distractor: &Distractor, faults: &mut Vec<(Spot, Wrong)>) {
    let spot = |key| Spot::Distractor(index, key);
    named(spot("id"), "id", &distractor.id, faults);
    for (key, text) in [("name", &distractor.name), ("set_up", &distractor.set_up)] {
        if let Some(text) = text {
            named(spot(key), key, text, faults);
        }
    }
    for text in &distractor.exemplars {
        named(spot("exemplars"), "exemplars", text, faults);
    }
    if input.distractors.iter().take(index).any(|other| other.id == distractor.id) {
        faults.push((spot("id"), Wrong::Double { id: printable(&distractor.id) }));
    }
    if input.keep.contains(&distractor.id) {
        faults.push((spot("id"), Wrong::Kept { id: printable(&distractor.id) }));
    }
    for (key, minutes) in [("set_up_minutes", distractor.set_up_minutes), ("minutes", distractor.minutes)] {
        if let Some(minutes) = minutes {
            range(spot(key), key, minutes, (0.0, 240.0), faults);
        }
    }
    for (key, number, most) in [("people", distractor.people, 20.0), ("trials", distractor.trials, 200.0)] {
        if let Some(number) = number {
            range(spot(key), key, f64::from(number), (0.0, most), faults);
        }
    }
    levels(index, distractor, faults);
    if let Some(need) = &distractor.needs {
        let ids = || input.distractors.iter().map(|other| other.id.as_str());
        match input.distractors.iter().find(|other| other.id == need.id) {
            None => {
                let hint = did_you_mean(&need.id, ids());
                faults.push((spot("needs"), Wrong::UnknownNeed { id: printable(&need.id), hint }));
            }
            Some(other) if need.level == 0 || need.level > other.levels.len() => {
                let (id, levels) = (printable(&other.id), other.levels.len());
                faults.push((spot("needs"), Wrong::NeedLevel { id, level: need.level, levels }));
            }
            Some(_) => {}
        }
    }
}

fn levels(index: usize, distractor: &Distractor, faults: &mut Vec<(Spot, Wrong)>) {
    let spot = |key| Spot::Distractor(index, key);
    let levels = distractor.levels.len();
    if levels == 0 {
        faults.push((spot(""), Wrong::NoLevel));
        return;
    }
    if levels > LEVELS_MOST {
        faults.push((spot("level"), Wrong::TooMany { count: levels, what: "levels", most: LEVELS_MOST }));
    }
    let (start, goal) = (distractor.start, distractor.goal);
    for (key, value) in [("start", start), ("goal", goal)] {
        if value > levels {
            faults.push((spot(key), Wrong::BeyondLevels { key, value, levels }));
        }
    }
    if start > goal {
        faults.push((spot("start"), Wrong::StartAboveGoal { start, goal }));
    }
    for (number, level) in distractor.levels.iter().enumerate() {
        let at = |key| Spot::Level(index, number, key);
        named(at("name"), "name", &level.name, faults);
        let heard = distractor.channel == Channel::Heard;
        match level.draw {
            LevelDraw::Sound { level, .. } if heard => range(at("db"), "db", level.db(), LEVEL_DB, faults),
            LevelDraw::Pull { pull, count } if !heard => {
                range(at("pull"), "pull", pull.u(), (0.0, PULL_MOST), faults);
                if count == Some(0) {
                    faults.push((at("count"), Wrong::Below { key: "count", least: "1" }));
                }
            }
            LevelDraw::Sound { .. } => {
                faults.push((at("db"), Wrong::Misplaced { key: "db", channel: distractor.channel }));
            }
            LevelDraw::Pull { .. } => {
                faults.push((at("pull"), Wrong::Misplaced { key: "pull", channel: distractor.channel }));
            }
        }
    }
}

/// Every circle of `needs`, told once, at the first of its distractors in the input.
fn circles(input: &LadderInput, faults: &mut Vec<(Spot, Wrong)>) {
    let next: Vec<Option<usize>> = input
        .distractors
        .iter()
        .map(|distractor| {
            let need = distractor.needs.as_ref()?;
            input.distractors.iter().position(|other| other.id == need.id)
        })
        .collect();
    for first in 0..next.len() {
        let mut walk = vec![first];
        let mut at = next[first];
        while let Some(index) = at {
            if index == first {
                let ids = walk.iter().chain([&first]).map(|&index| printable(&input.distractors[index].id)).collect();
                faults.push((Spot::Distractor(first, "needs"), Wrong::Circle { ids }));
                break;
            }
            // A circle is told at its first member; one that does not lead back here is another's.
            if index < first && leads_to(&next, index, first) || walk.contains(&index) {
                break;
            }
            walk.push(index);
            at = next[index];
        }
    }
}

fn leads_to(next: &[Option<usize>], from: usize, to: usize) -> bool {
    let mut at = Some(from);
    for _ in 0..=next.len() {
        match at {
            Some(index) if index == to => return true,
            Some(index) => at = next[index],
            None => return false,
        }
    }
    false
}
