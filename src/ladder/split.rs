//! Splits steps that are too large, by levels put in between.
//!
//! Counts: between `a < b` things (absent is 0) the count `⌊(a+b)/2⌋`, its pull linear in the count; again on each half
//! until the step fits or `b = a+1`. The step of a count is the same in every order, so this needs no search.
//! Sounds: from the louder of the level below and the background up to the level above in equal parts of at most
//! 5 dB; the background's level itself is the first when the step begins below it. If a part of at most 5 dB is still too
//! large a step it is halved, but no two levels come closer than 2 dB: closer ones cannot be told apart by the check at the
//! child's chair. Which sounds are too large depends on the plan: plan, split the steps above `max_step`, plan again.
//! What is left above `max_step` is an obstacle. Both rules are conventions of this tool.

use super::check::RUNGS_MOST;
use super::input::{Distractor, LadderInput, Level, LevelDraw, LevelLabel};
use super::room::{Room, nano};
use crate::quantity::{Decibels, Pull};
use crate::words::Channel;

/// Two neighbouring levels of a split sound are at most so far apart, dB.
const SOUND_STEP_DB: f64 = 5.0;
/// And at least so far, dB.
const SOUND_APART_DB: f64 = 2.0;
/// A width of a whole number of parts may miss it by its rounding, in parts.
const PART_ROUNDING: f64 = 1e-9;
/// No distractor is split into more levels than this.
const LEVELS_MOST: usize = 200;

/// Splits every count whose step is above `max_step`, as far as it goes.
pub(crate) fn counts(input: &mut LadderInput, max_step: Pull) {
    for index in 0..input.distractors.len() {
        if input.distractors[index].channel == Channel::Heard {
            continue;
        }
        let sensitivity = input.sensitivity.of(input.distractors[index].channel);
        let mut level = input.distractors[index].start;
        while level < input.distractors[index].goal {
            let middle = between_counts(&input.distractors[index], level, sensitivity, max_step)
                .filter(|_| has_place(input, index, 1));
            match middle {
                Some(middle) => insert(input, index, level, vec![middle]),
                None => level += 1,
            }
        }
    }
}

/// Splits the sounds that rise from these levels (distractor, level below), as far as they can be; whether any could.
pub(crate) fn sounds(input: &mut LadderInput, mut rises: Vec<(usize, usize)>) -> bool {
    // From the top down, so that what is put in does not move the levels still to be split.
    rises.sort_unstable_by(|a, b| b.cmp(a));
    let mut any = false;
    for (index, level) in rises {
        let between = between_sounds(&input.distractors[index], level, input.background);
        if !between.is_empty() && has_place(input, index, between.len()) {
            insert(input, index, level, between);
            any = true;
        }
    }
    any
}

/// The sounds whose step in this order of rungs is above `max_step`.
pub(crate) fn too_large(room: &Room<'_>, order: &[usize], max_step: Pull) -> Vec<(usize, usize)> {
    let mut levels = room.start();
    let mut rises = Vec::new();
    for &index in order {
        let heard = room.input.distractors[index].channel == Channel::Heard;
        if heard && nano(room.step_from(index, &levels)) > nano(max_step.u()) {
            rises.push((index, levels[index]));
        }
        levels[index] += 1;
    }
    rises
}

fn between_counts(distractor: &Distractor, level: usize, sensitivity: f64, max_step: Pull) -> Option<Level> {
    let (low, low_count) = drawn(distractor, level)?;
    let (high, high_count) = drawn(distractor, level + 1)?;
    if nano(sensitivity * distractor.draws * distractor.weighs * (high - low)) <= nano(max_step.u())
        || high_count <= low_count.saturating_add(1)
    {
        return None;
    }
    let middle = low_count.midpoint(high_count);
    let share = f64::from(middle - low_count) / f64::from(high_count - low_count);
    Some(Level {
        label: LevelLabel::Inserted(String::new()),
        name: format!("{middle} of them"),
        draw: LevelDraw::Pull { pull: Pull::new(low + share * (high - low))?, count: Some(middle) },
    })
}

/// Whether a distractor, and the ladder, may have that many more levels.
fn has_place(input: &LadderInput, index: usize, more: usize) -> bool {
    input.distractors[index].levels.len() + more <= LEVELS_MOST && input.rungs() + more <= RUNGS_MOST
}

/// Pull and count of a level; absent is none of both.
fn drawn(distractor: &Distractor, level: usize) -> Option<(f64, u32)> {
    if level == 0 {
        return Some((0.0, 0));
    }
    match distractor.level(level)?.draw {
        LevelDraw::Pull { pull, count } => count.map(|count| (pull.u(), count)),
        LevelDraw::Sound { .. } => None,
    }
}

fn between_sounds(distractor: &Distractor, level: usize, background: Decibels) -> Vec<Level> {
    let sound = |number| match distractor.level(number).map(|level| level.draw) {
        Some(LevelDraw::Sound { level, speech }) => Some((level.db(), speech)),
        _ => None,
    };
    let Some((high, speech)) = sound(level + 1) else { return Vec::new() };
    let low = sound(level).map(|(low, _)| low);
    sound_points(low, high, background.db())
        .into_iter()
        .map(|db| Level {
            label: LevelLabel::Inserted(String::new()),
            name: format!("at {db:.1} dB"),
            draw: LevelDraw::Sound { level: Decibels::new(db), speech },
        })
        .collect()
}

/// Levels between two, dB, rising; `low` is `None` from absent.
fn sound_points(low: Option<f64>, high: f64, background: f64) -> Vec<f64> {
    let below = low.is_none_or(|low| low < background);
    let from = low.map_or(background, |low| low.max(background));
    let width = high - from;
    if width < SOUND_APART_DB {
        return Vec::new();
    }
    let mut points = if below { vec![from] } else { Vec::new() };
    let parts = (width / SOUND_STEP_DB - PART_ROUNDING).ceil().max(1.0);
    // Nothing else to put in: the part is small already and still too large a step.
    let halved = points.is_empty() && parts < 2.0 && width / 2.0 >= SOUND_APART_DB;
    let parts = if halved { 2.0 } else { parts };
    let mut part = 1.0;
    while part < parts {
        points.push(from + width * part / parts);
        part += 1.0;
    }
    points
}

/// Puts levels in above `level`, and moves every number that counts levels of this distractor.
pub(crate) fn insert(input: &mut LadderInput, index: usize, level: usize, between: Vec<Level>) {
    let added = between.len();
    let id = input.distractors[index].id.clone();
    for need in input.distractors.iter_mut().filter_map(|other| other.needs.as_mut()) {
        if need.id == id && need.level > level {
            need.level += added;
        }
    }
    let distractor = &mut input.distractors[index];
    distractor.levels.splice(level..level, between);
    distractor.goal += added;
    if distractor.start > level {
        distractor.start += added;
    }
    label(distractor);
}

/// The letters of inserted levels; `z` begins the next round, so that the names stay in order.
const LETTERS: &[u8; 25] = b"abcdefghijklmnopqrstuvwxy";

/// Names the inserted levels anew: `1a`, `1b`, … `1y`, `1za`, … after the plain level below them.
fn label(distractor: &mut Distractor) {
    let (mut below, mut after) = (0, 0);
    for level in &mut distractor.levels {
        match &mut level.label {
            LevelLabel::Plain(number) => (below, after) = (*number, 0),
            LevelLabel::Inserted(name) => {
                let letter = char::from(LETTERS[after % LETTERS.len()]);
                *name = format!("{below}{}{letter}", "z".repeat(after / LETTERS.len()));
                after += 1;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{between_counts, insert, sound_points};
    use crate::ladder::read::parse;
    use crate::quantity::Pull;

    #[test]
    fn what_needs_a_level_waits_for_that_level_and_no_longer() {
        let text = "format = \"stillroom.ladder-input/1\"\norder = [\"seen\", \"heard\", \"company\"]\nbackground_db = 30\nsound_cap_db = 65\nnovelty = 0.5\n[sensitivity]\n[heard]\ndb = [35.0, 70.0]\npull = [0.0, 0.8]\nspeech_db = 10.0\n\
                    [[distractor]]\nid = \"a\"\nchannel = \"seen\"\nstart = 0\ngoal = 2\n[[distractor.level]]\npull = 0.1\ncount = 2\n[[distractor.level]]\npull = 0.5\ncount = 8\n\
                    [[distractor]]\nid = \"b\"\nchannel = \"seen\"\nstart = 0\ngoal = 1\nneeds = { id = \"a\", level = LEVEL }\n[[distractor.level]]\npull = 0.1\n";
        for (level, after) in [(1, 1), (2, 3)] {
            let mut input = parse(&text.replace("LEVEL", &level.to_string()), "room.toml").unwrap();
            let middle = between_counts(&input.distractors[0], 1, 1.0, Pull::new(0.05).unwrap()).unwrap();
            insert(&mut input, 0, 1, vec![middle]);
            assert_eq!(input.distractors[0].goal, 3);
            assert_eq!(input.distractors[1].needs.as_ref().unwrap().level, after);
        }
    }

    #[track_caller]
    fn check(low: Option<f64>, high: f64, background: f64, expect: &[f64]) {
        let points = sound_points(low, high, background);
        assert_eq!(points.len(), expect.len(), "{points:?}");
        assert!(points.iter().zip(expect).all(|(a, b)| (a - b).abs() < 1e-9), "{points:?}");
    }

    #[test]
    fn a_sound_starts_at_the_background_and_rises_by_at_most_five_decibels() {
        check(None, 56.0, 36.0, &[36.0, 41.0, 46.0, 51.0]);
        check(None, 55.0, 36.0, &[36.0, 40.75, 45.5, 50.25]);
        check(Some(30.0), 45.0, 36.0, &[36.0, 40.5]);
        check(Some(40.0), 52.0, 36.0, &[44.0, 48.0]);
    }

    #[test]
    fn a_part_that_is_small_already_is_halved_but_not_below_two_decibels() {
        check(Some(40.0), 45.0, 36.0, &[42.5]);
        check(Some(40.0), 43.9, 36.0, &[]);
        check(None, 37.0, 36.0, &[]);
        check(None, 30.0, 36.0, &[]);
    }
}
