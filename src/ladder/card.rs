//! What a rung's card tells beside what to set up and how to check it: what is already on, minutes and people, the figures
//! to check against, the way on when nobody can be there, who may be present, when to stop for the day.

use super::input::{LevelDraw, LevelLabel};
use super::room::Room;
use super::words::{ANIMALS, Telling, listed, speaks_of};
use crate::words::Channel;

/// What a rung's card tells.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// The name of what is raised, for people.
    pub name: String,
    /// The name of its new level.
    pub level_name: String,
    /// The way in.
    pub channel: Channel,
    /// How the new level draws, so that a plan can be gone on with from here.
    pub draw: LevelDraw,
    /// What is new and how it is set up, without what is there already.
    pub set_up: String,
    /// What is there already, besides what is raised.
    pub already_on: Vec<String>,
    /// Minutes to set it up.
    pub set_up_minutes: Option<f64>,
    /// People needed besides the one who teaches.
    pub people: u32,
    /// The way on when they cannot or do not like to be there; `None` when nobody is needed.
    pub otherwise: Option<String>,
    /// What to check against at the child's chair.
    pub target: Target,
    /// When to stop for the day.
    pub stop: String,
    /// Who may be present.
    pub present: String,
}

/// What to check against at the child's chair.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Target {
    /// Everything that sounds together with the background, dB.
    pub level_db: Option<f64>,
    /// The sound that was raised alone, dB.
    pub alone_db: Option<f64>,
    /// What the reading plus twice its doubt may not pass, dB.
    pub cap_db: Option<f64>,
    /// Things in view.
    pub count: Option<u32>,
    /// How far away the source stands, where the room is known and distance alone can set the level, m.
    pub distance_m: Option<f64>,
}

/// When to stop for the day, the same on every rung.
const STOP: &str = "At any distress, and whenever the child wants to leave: at once, and what the child needs comes first. After three errors in a row: end on something easy that goes well, then stop.";

/// The card of the newest rung told.
pub(crate) fn card(telling: &Telling<'_>) -> Option<Card> {
    let (input, index) = (telling.room.input, telling.index);
    let distractor = &input.distractors[index];
    let level = distractor.level(telling.levels[index])?;
    let already_on = (0..telling.levels.len())
        .filter(|&other| other != index && telling.levels[other] > 0)
        .map(|other| telling.with_level(other))
        .collect();
    let people = distractor.people_needed();
    Some(Card {
        name: distractor.shown().to_owned(),
        level_name: level.name.clone(),
        channel: distractor.channel,
        draw: level.draw,
        set_up: telling.new_thing(),
        already_on,
        set_up_minutes: distractor.set_up_minutes,
        people,
        otherwise: None,
        target: target(telling, &level.draw),
        stop: STOP.to_owned(),
        present: present(distractor.channel, people, speaks_of(distractor, ANIMALS)),
    })
}

fn target(telling: &Telling<'_>, draw: &LevelDraw) -> Target {
    match *draw {
        LevelDraw::Sound { level, .. } => Target {
            level_db: Some(telling.room.plain_level(telling.levels).db()),
            alone_db: Some(level.db()),
            cap_db: Some(telling.room.input.sound_cap.db()),
            count: None,
            distance_m: telling.far_m(level.db()),
        },
        LevelDraw::Pull { count, .. } => Target { count, ..Target::default() },
    }
}

fn present(channel: Channel, people: u32, animal: bool) -> String {
    let who = match (channel, people) {
        (Channel::Company, _) if animal => {
            "The child, the adult who teaches, and the animal for as long as it likes to stay.".to_owned()
        }
        (_, 0) => "The child and the adult who teaches.".to_owned(),
        (_, 1) => {
            "The child, the adult who teaches, and one more person, who was asked today and may leave at any time."
                .to_owned()
        }
        (_, people) => format!(
            "The child, the adult who teaches, and {people} more people, each of whom was asked today and may leave at any time."
        ),
    };
    format!("{who} Nobody else watches, unless as a second observer.")
}

/// For every rung of an order that needs a person, the way on without one: a rung that needs a person is never the only
/// way on.
pub(crate) fn ways_on(room: &Room<'_>, order: &[usize], labels: &[LevelLabel], kept: u32) -> Vec<Option<String>> {
    let things = &room.input.distractors;
    let needs_a_person = |index: usize| things[index].people_needed() > 0;
    (0..order.len())
        .zip(kept..)
        .map(|(at, below)| {
            if !needs_a_person(order[at]) {
                return None;
            }
            // What waits for a person, and whatever needs what waits, is passed over.
            let mut waiting = vec![order[at]];
            let next = (at + 1..order.len()).find(|&later| {
                let index = order[later];
                let blocked = waiting.contains(&index)
                    || needs_a_person(index)
                    || things[index]
                        .needs
                        .as_ref()
                        .is_some_and(|need| waiting.iter().any(|&one| things[one].id == need.id));
                if blocked {
                    waiting.push(index);
                }
                !blocked
            });
            let on = next.map_or_else(
                || {
                    let here = if below == 0 { "in the start room".to_owned() } else { format!("on rung {below}") };
                    format!(
                        "practise {here} with something else to rotate, or the same in another place; this rung waits"
                    )
                },
                |later| {
                    let what = listed(std::iter::once(format!("{}, {}", things[order[later]].shown(), labels[later])));
                    let ahead = u32::try_from(later - at).unwrap_or(u32::MAX);
                    let number = below.saturating_add(ahead).saturating_add(1);
                    format!("go on to rung {number} ({what}) and come back to this one another day")
                },
            );
            Some(format!("Nobody can be there, or somebody says no: {on}. Nobody is to blame."))
        })
        .collect()
}
