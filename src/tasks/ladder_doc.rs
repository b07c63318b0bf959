//! A plan as programs read it, and what a stored plan gives back to the ladder room for planning on from one of its rungs.

use crate::contract::{
    BeyondDoc, CardDoc, DrawDoc, LadderDoc, MaintenanceDoc, NoteDoc, ObstacleDoc, RungDoc, RungTargetDoc,
};
use crate::ladder::{Card, Ladder, Level, LevelDraw, LevelLabel, MAINTENANCE_WEEKS, Reached, Rung, maintenance};
use crate::quantity::{Decibels, Load, Pull};

/// A plan as programs read it.
pub(super) fn document(ladder: &Ladder) -> LadderDoc {
    let top = !ladder.rungs.is_empty();
    LadderDoc {
        start_load: ladder.start_load.points(),
        goal_load: ladder.goal_load.points(),
        largest_step: ladder.largest_step,
        sum_of_loads: ladder.sum_of_loads,
        optimal: ladder.optimal,
        gap: ladder.gap,
        obstacles: ladder
            .obstacles
            .iter()
            .map(|one| ObstacleDoc {
                id: one.id.clone(),
                step: one.step,
                probe: one.probe.clone(),
                level: Some(label_value(&one.level)),
                level_name: Some(one.level_name.clone()),
            })
            .collect(),
        rungs: ladder.rungs.iter().map(rung).collect(),
        cautions: ladder.cautions.iter().map(|caution| NoteDoc::new(caution.code(), caution.text())).collect(),
        kept_to: None,
        never: Vec::new(),
        beyond: ladder
            .beyond
            .iter()
            .map(|one| BeyondDoc {
                number: one.number,
                what: one.what.word().to_owned(),
                set_up: one.set_up.clone(),
                check: one.check.clone(),
                mastery: one.mastery.clone(),
                step_back: one.step_back.clone(),
            })
            .collect(),
        maintenance: MAINTENANCE_WEEKS
            .into_iter()
            .filter(|_| top)
            .map(|weeks| MaintenanceDoc { weeks, text: maintenance(weeks) })
            .collect(),
        learned: Vec::new(),
        scale_start_load: ladder.scale_start_load.map(Load::points),
    }
}

fn label_value(label: &LevelLabel) -> serde_json::Value {
    match label {
        LevelLabel::Plain(number) => (*number).into(),
        LevelLabel::Inserted(name) => name.clone().into(),
    }
}

fn rung(rung: &Rung) -> RungDoc {
    RungDoc {
        number: rung.number,
        distractor: rung.distractor.clone(),
        level: label_value(&rung.level),
        load: rung.load.points(),
        rise: rung.rise,
        step: rung.step,
        state: rung.state.iter().map(|(id, level)| (id.clone(), label_value(level))).collect(),
        set_up: rung.set_up.clone(),
        check: rung.check.clone(),
        exemplars: rung.exemplars.clone(),
        minutes: rung.minutes,
        trials: rung.trials,
        mastery: rung.mastery.clone(),
        step_back: rung.step_back.clone(),
        card: Some(card(&rung.card)),
        scale_load: rung.scale_load.map(Load::points),
    }
}

fn card(card: &Card) -> CardDoc {
    let draw = match card.draw {
        LevelDraw::Pull { pull, count } => DrawDoc { pull: Some(pull.u()), count, ..DrawDoc::default() },
        LevelDraw::Sound { level, speech } => {
            DrawDoc { db: Some(level.db()), speech: Some(speech), ..DrawDoc::default() }
        }
    };
    CardDoc {
        name: card.name.clone(),
        level_name: card.level_name.clone(),
        channel: card.channel.word().to_owned(),
        set_up: card.set_up.clone(),
        already_on: card.already_on.clone(),
        set_up_minutes: card.set_up_minutes,
        people: card.people,
        otherwise: card.otherwise.clone(),
        stop: card.stop.clone(),
        present: card.present.clone(),
        target: RungTargetDoc {
            level_db: card.target.level_db,
            alone_db: card.target.alone_db,
            cap_db: card.target.cap_db,
            count: card.target.count,
            distance_m: card.target.distance_m,
        },
        draw,
    }
}

/// How far every distractor has come on these rungs, the last of which is the one that is stood on.
pub(super) fn reached(kept: &[RungDoc]) -> Vec<Reached> {
    let Some(last) = kept.last() else { return Vec::new() };
    last.state
        .iter()
        .map(|(id, level)| Reached {
            id: id.clone(),
            label: label(level),
            inserted: kept.iter().filter(|rung| rung.distractor == *id).filter_map(inserted).collect(),
        })
        .collect()
}

fn label(value: &serde_json::Value) -> LevelLabel {
    match value.as_u64().and_then(|number| u32::try_from(number).ok()) {
        Some(number) => LevelLabel::Plain(number),
        None => LevelLabel::Inserted(value.as_str().unwrap_or_default().to_owned()),
    }
}

/// The level that a rung's plan put in, with the number of the level below it.
fn inserted(rung: &RungDoc) -> Option<(u32, Level)> {
    let LevelLabel::Inserted(name) = label(&rung.level) else { return None };
    let card = rung.card.as_ref()?;
    let below = name.split(|sign: char| !sign.is_ascii_digit()).next()?.parse().ok()?;
    let draw = match (card.draw.pull, card.draw.db) {
        (Some(pull), _) => LevelDraw::Pull { pull: Pull::new(pull)?, count: card.draw.count },
        (None, Some(db)) => LevelDraw::Sound { level: Decibels::new(db), speech: card.draw.speech.unwrap_or(false) },
        (None, None) => return None,
    };
    Some((below, Level { label: LevelLabel::Inserted(name), name: card.level_name.clone(), draw }))
}
