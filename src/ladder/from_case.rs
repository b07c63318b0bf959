//! From the answers about the room to cope with (and about the start room) to a ladder input.
//!
//! A distractor is an item that has levels and is there in the room to cope with. Its goal is the highest level
//! that the answer bears out:
//!
//! - a count: the highest level of at most that many; a level given as a share counts when it draws no more than the answer;
//! - a choice: the level of that option, or the highest that draws no more; where levels are sounds, options and
//!   levels are both taken to rise, and the i-th of m options with a pull bears out the i-th m-th part of the levels;
//! - yes: the highest level.
//!
//! Its start is the same for the start room; without answers about the start room, and where they say "not seen", it
//! is absent, because the start room is set up so. What is fixed starts where it ends. A start above its goal is left
//! out with that reason, and the face refuses it. Nothing that must stay in reach, that is excluded, or that could not be seen
//! is planned: each item left out is told with its reason. Sounds whose goals together would pass the cap
//! are lowered, the loudest first, one level at a time.

use super::caution::Caution;
use super::input::{Acoustics, Distractor, LadderInput, Level, LevelDraw, LevelLabel, Need, Sensitivity};
use super::room::CAP_ROUNDING_DB;
use crate::checklist::{Answer, Answers, Checklist, Draw, Item, ItemId, Unit};
use crate::load::{HeardTable, names_item};
use crate::quantity::{Decibels, Pull};
use crate::words::{Channel, id_in_words};

/// A level draws no more than an answer when its pull passes the answer's by less than rounding.
const SAME_PULL: f64 = 1e-9;

/// A case's two rooms and its settings.
#[derive(Clone, Debug)]
pub struct CaseRooms<'a> {
    /// What was asked.
    pub checklist: &'a Checklist,
    /// About the room to cope with.
    pub goal: &'a Answers,
    /// About the start room, if it was audited.
    pub start: Option<&'a Answers>,
    /// The scale's heard table.
    pub heard: &'a HeardTable,
    /// The child's sensitivities.
    pub sensitivity: Sensitivity,
    /// Rating level of the start room without any sound distractor.
    pub background: Decibels,
    /// The sound cap.
    pub sound_cap: Decibels,
    /// Doubt of the device that checks levels, dB; 0 when it is not known.
    pub reading_sd_db: f64,
    /// How new a hidden sound still is.
    pub novelty: f64,
    /// Split steps above it.
    pub max_step: Option<Pull>,
    /// The order of channels.
    pub order: [Channel; 3],
    /// Whether sounds may be added.
    pub sounds: Sounds,
    /// Left out by the clinician, or because of a named sound.
    pub excluded: &'a [ItemId],
    /// Stays as it is: part of every room of the ladder, raised by no rung.
    pub fixed: &'a [ItemId],
    /// What must stay in reach for this child, besides what the two rooms' answers say.
    pub keep: &'a [String],
    /// Size and decay of the room, when known.
    pub acoustics: Option<Acoustics>,
}

/// Whether sounds may be added.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sounds {
    /// A clinician has signed for them, or the question about sounds was answered with no.
    Open,
    /// Not until a clinician signs.
    Locked,
}

/// What came of a case.
#[derive(Clone, Debug, PartialEq)]
pub struct FromCase {
    /// What to plan.
    pub input: LadderInput,
    /// What is not in it, and why, in the order of the checklist.
    pub left_out: Vec<LeftOut>,
    /// What to mind, besides the cautions of the plan.
    pub cautions: Vec<Caution>,
}

/// An item that is not planned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// The item.
    pub id: ItemId,
    /// Why.
    pub why: Why,
}

/// Why an item is not planned.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Why {
    /// The checklist gives no levels.
    #[error("the checklist has no levels for it")]
    NoLevels,
    /// Nobody looked.
    #[error("not seen in the room to cope with: look again and answer it")]
    NotSeen,
    /// Not there.
    #[error("absent from the room to cope with")]
    Absent,
    /// There is less of it than the first level.
    #[error("the room to cope with has less of it than the first level")]
    BelowFirstLevel,
    /// Must stay.
    #[error("stays in reach: never part of a ladder")]
    Kept,
    /// Ruled out.
    #[error("excluded for this child")]
    Excluded,
    /// Sounds wait.
    #[error("no sound is added until the clinician signs")]
    SoundsLocked,
    /// The start room has more of it.
    #[error("the start room has more of it (level {start}) than the room to cope with (level {goal})")]
    StartBeyondGoal {
        /// The level of the start room.
        start: usize,
        /// The level of the room to cope with.
        goal: usize,
    },
    /// A level that cannot be weighed.
    #[error("level {level} has no {}", if *.heard { "sound level in dB" } else { "pull that follows from the question" })]
    Unweighable {
        /// The level, from 1.
        level: usize,
        /// Whether it is heard.
        heard: bool,
    },
    /// Above the cap at its first level.
    #[error("already its first level would pass the sound cap")]
    AboveCap,
    /// Needs something that is not there.
    #[error("it needs `{needs}` at level {level}, which the ladder does not reach")]
    NeedsMissing {
        /// The other one.
        needs: ItemId,
        /// Its least level.
        level: usize,
    },
}

/// The ladder input of a case.
pub fn from_case(case: &CaseRooms<'_>) -> FromCase {
    let mut left_out = Vec::new();
    let mut cautions = Vec::new();
    let mut distractors = Vec::new();
    for item in &case.checklist.items {
        match distractor(case, item, &mut cautions) {
            Ok(distractor) => distractors.push(distractor),
            Err(why) => left_out.push(LeftOut { id: item.id.clone(), why }),
        }
    }
    let locked: Vec<String> =
        left_out.iter().filter(|left| left.why == Why::SoundsLocked).map(|left| left.id.to_string()).collect();
    if !locked.is_empty() {
        cautions.push(Caution::HeardLocked { ids: locked });
    }
    lower_to_cap(case, &mut distractors, &mut left_out, &mut cautions);
    drop_without_needs(&mut distractors, &mut left_out);
    left_out.sort_by_key(|left| case.checklist.items.iter().position(|item| item.id == left.id));
    cautions.retain(|caution| match caution {
        Caution::MoreThanLevels { id, .. } => distractors.iter().any(|distractor| distractor.id == *id),
        _ => true,
    });
    let mut keep: Vec<String> = Vec::new();
    for kept in all_kept(case) {
        if !keep.contains(kept) {
            keep.push(kept.clone());
        }
    }
    let input = LadderInput {
        order: case.order,
        background: case.background,
        sound_cap: case.sound_cap,
        reading_sd_db: case.reading_sd_db,
        novelty: case.novelty,
        max_step: case.max_step,
        sensitivity: case.sensitivity,
        heard: case.heard.clone(),
        distractors,
        keep,
        acoustics: case.acoustics,
        by_list: false,
    };
    FromCase { input, left_out, cautions }
}

fn distractor(case: &CaseRooms<'_>, item: &Item, cautions: &mut Vec<Caution>) -> Result<Distractor, Why> {
    if is_kept(case, item) {
        return Err(Why::Kept);
    }
    if case.excluded.contains(&item.id) {
        return Err(Why::Excluded);
    }
    if item.levels.is_empty() {
        return Err(Why::NoLevels);
    }
    let heard = item.channel == Channel::Heard;
    let mut levels = Vec::with_capacity(item.levels.len());
    for (level, number) in item.levels.iter().zip(1u32..) {
        let draw = weigh(item, &level.draw).ok_or(Why::Unweighable { level: levels.len() + 1, heard })?;
        levels.push(Level { label: LevelLabel::Plain(number), name: level.name.clone(), draw });
    }
    let answer = case.goal.to(&item.id);
    let goal = reached(item, answer).ok_or(Why::NotSeen)?;
    let mut start = case.start.and_then(|start| reached(item, start.to(&item.id))).unwrap_or(0);
    if goal.max(start) == 0 {
        return Err(if is_there(item, answer) { Why::BelowFirstLevel } else { Why::Absent });
    }
    if case.fixed.contains(&item.id) {
        start = goal.max(start);
    } else if heard && case.sounds == Sounds::Locked {
        return Err(Why::SoundsLocked);
    } else if start > goal {
        return Err(Why::StartBeyondGoal { start, goal });
    }
    if let (Answer::Count(count), Some(Draw::Count(most))) = (answer, item.levels.last().map(|level| &level.draw))
        && count > most
    {
        cautions.push(Caution::MoreThanLevels { id: item.id.to_string(), answer: count.to_string() });
    }
    let needs = item
        .needs
        .as_ref()
        .map(|(other, level)| Need { id: other.to_string(), level: usize::try_from(*level).unwrap_or(usize::MAX) });
    Ok(Distractor {
        id: item.id.to_string(),
        name: Some(id_in_words(item.id.as_str())),
        channel: item.channel,
        start,
        goal: goal.max(start),
        needs,
        levels,
        exemplars: item.exemplars.clone(),
        set_up: None,
        // Putting a thing back is taken to last as long as taking it away.
        set_up_minutes: Some(item.minutes),
        people: None,
        minutes: None,
        trials: None,
        draws: 1.0,
        weighs: 1.0,
    })
}

/// Whether the item must stay in reach.
fn is_kept(case: &CaseRooms<'_>, item: &Item) -> bool {
    all_kept(case).any(|kept| names_item(kept, &item.id))
}

/// What must stay in reach: of either room's answers and of the child's record.
fn all_kept<'a>(case: &'a CaseRooms<'_>) -> impl Iterator<Item = &'a String> {
    case.goal.keep.iter().chain(case.start.iter().flat_map(|start| &start.keep)).chain(case.keep)
}

/// How a level of an item draws; `None` when it cannot be weighed, or is not of the item's channel.
fn weigh(item: &Item, draw: &Draw) -> Option<LevelDraw> {
    let heard = item.channel == Channel::Heard;
    match draw {
        Draw::Sound { db, speech } => heard.then(|| LevelDraw::Sound { level: Decibels::new(*db), speech: *speech }),
        _ if heard => None,
        Draw::Count(count) => {
            let pull = item.pull(&Answer::Count(*count)).filter(|_| *count > 0)?;
            Some(LevelDraw::Pull { pull, count: Some(*count) })
        }
        Draw::Option(key) => item.pull(&Answer::Option(key.clone())).map(|pull| LevelDraw::Pull { pull, count: None }),
        Draw::Alone(percent) => Pull::of_share(percent / 100.0).map(|pull| LevelDraw::Pull { pull, count: None }),
    }
}

/// Whether an answer says that something is there.
fn is_there(item: &Item, answer: &Answer) -> bool {
    match answer {
        Answer::Count(count) => *count > 0,
        Answer::Yes(there) => *there,
        Answer::Option(_) => item.pull(answer).is_some_and(|pull| pull > Pull::ZERO),
        Answer::NotSeen => false,
    }
}

/// The highest level that an answer bears out, 0 for none; `None` for an answer that says nothing.
fn reached(item: &Item, answer: &Answer) -> Option<usize> {
    let pull = item.pull(answer)?;
    let levels = item.levels.len();
    if !is_there(item, answer) {
        return Some(0);
    }
    if matches!(answer, Answer::Yes(true)) {
        return Some(levels);
    }
    let bears_out = |number: usize| match (&item.levels[number - 1].draw, answer) {
        (Draw::Count(count), Answer::Count(there)) => count <= there,
        (Draw::Sound { .. }, Answer::Option(_)) => number <= part_of_levels(item, pull),
        (Draw::Sound { .. }, _) => true,
        (draw, _) => match weigh(item, draw) {
            Some(LevelDraw::Pull { pull: level, .. }) => level.u() <= pull.u() + SAME_PULL,
            _ => false,
        },
    };
    Some((1..=levels).rev().find(|&number| bears_out(number)).unwrap_or(0))
}

/// The levels of a sound that an option with this pull bears out: `⌈levels·i/m⌉`, i-th of m options with a pull.
fn part_of_levels(item: &Item, pull: Pull) -> usize {
    let Unit::Choice(options) = &item.unit else { return item.levels.len() };
    let pulls =
        options.iter().filter_map(|option| Pull::of_share(option.alone / 100.0)).filter(|pull| *pull > Pull::ZERO);
    let (mut all, mut up_to) = (0, 0);
    for option in pulls {
        all += 1;
        up_to += usize::from(option.u() <= pull.u() + SAME_PULL);
    }
    (item.levels.len() * up_to).div_ceil(all.max(1))
}

/// Lowers goals until the sounds together keep the cap, the loudest first.
fn lower_to_cap(
    case: &CaseRooms<'_>,
    distractors: &mut Vec<Distractor>,
    left_out: &mut Vec<LeftOut>,
    cautions: &mut Vec<Caution>,
) {
    let wanted: Vec<(String, usize)> = distractors.iter().map(|one| (one.id.clone(), one.goal)).collect();
    let level_at_goal = |one: &Distractor| match one.level(one.goal).map(|level| level.draw) {
        Some(LevelDraw::Sound { level, .. }) => Some(level),
        _ => None,
    };
    loop {
        let on: Vec<Decibels> = distractors.iter().filter_map(level_at_goal).chain([case.background]).collect();
        let together = Decibels::energy_sum(&on).unwrap_or(case.background);
        if together.above(case.sound_cap.raised_by(-2.0 * case.reading_sd_db)) <= CAP_ROUNDING_DB {
            break;
        }
        let loudest = (0..distractors.len())
            .filter(|&index| distractors[index].goal > distractors[index].start)
            .filter_map(|index| level_at_goal(&distractors[index]).map(|level| (level.db(), index)))
            .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
        // Nothing left to lower: the planner refuses and says what is too loud.
        let Some((_, index)) = loudest else { break };
        distractors[index].goal -= 1;
    }
    for (id, from) in wanted {
        let Some(place) = distractors.iter().position(|one| one.id == id) else { continue };
        let to = distractors[place].goal;
        if to < from {
            cautions.push(Caution::GoalLowered { id: id.clone(), from, to });
        }
        if to == 0 {
            distractors.remove(place);
            left_out.push(LeftOut { id: ItemId::new(id), why: Why::AboveCap });
        }
    }
}

/// Takes out what needs something that the ladder does not reach, until nothing does.
fn drop_without_needs(distractors: &mut Vec<Distractor>, left_out: &mut Vec<LeftOut>) {
    loop {
        let missing = distractors.iter().position(|one| {
            one.needs.as_ref().is_some_and(|need| {
                let other = distractors.iter().find(|other| other.id == need.id);
                other.is_none_or(|other| other.goal < need.level)
            })
        });
        let Some(place) = missing else { return };
        let one = distractors.remove(place);
        if let Some(need) = one.needs {
            let why = Why::NeedsMissing { needs: ItemId::new(need.id), level: need.level };
            left_out.push(LeftOut { id: ItemId::new(one.id), why });
        }
    }
}

impl Why {
    /// A short name for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NoLevels => "no-levels",
            Self::NotSeen => "not-seen",
            Self::Absent => "absent",
            Self::BelowFirstLevel => "below-first-level",
            Self::Kept => "kept",
            Self::Excluded => "excluded",
            Self::SoundsLocked => "sounds-locked",
            Self::StartBeyondGoal { .. } => "start-beyond-goal",
            Self::Unweighable { .. } => "unweighable",
            Self::AboveCap => "above-cap",
            Self::NeedsMissing { .. } => "needs-missing",
        }
    }
}
