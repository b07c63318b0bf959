//! Planning again from where a child stands, and planning for one adult alone: both change an input before it is planned.

use super::input::{LadderInput, Level, LevelLabel};
use super::split;

/// How far one distractor has come on an earlier plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Reached {
    /// The distractor.
    pub id: String,
    /// Its level there.
    pub label: LevelLabel,
    /// The levels that the earlier plan put in up to there, from the lowest, each with the number of the level of the input
    /// below it.
    pub inserted: Vec<(u32, Level)>,
}

/// What an input does not have as the earlier plan had it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Shift {
    /// It is no longer planned.
    Gone {
        /// The distractor.
        id: String,
    },
    /// It stands higher than the room to cope with has it now.
    Above {
        /// The distractor.
        id: String,
    },
}

impl LadderInput {
    /// Starts where an earlier plan has come to; what is not named starts as it stands. Tells what does not fit.
    pub fn begin_at(&mut self, reached: &[Reached]) -> Vec<Shift> {
        let mut shifts = Vec::new();
        for one in reached {
            let absent = one.label == LevelLabel::ABSENT;
            match self.distractors.iter().position(|distractor| distractor.id == one.id) {
                None if absent => {}
                None => shifts.push(Shift::Gone { id: one.id.clone() }),
                Some(index) => shifts.extend(self.begin_one(index, one)),
            }
        }
        shifts
    }

    fn begin_one(&mut self, index: usize, one: &Reached) -> Option<Shift> {
        for (below, level) in &one.inserted {
            let at = self.place_of(index, &LevelLabel::Plain(*below))?;
            // After the levels that were put in there already.
            let levels = &self.distractors[index].levels;
            let after = levels[at..].iter().take_while(|level| matches!(level.label, LevelLabel::Inserted(_))).count();
            if self.distractors[index].goal > at + after {
                split::insert(self, index, at + after, vec![level.clone()]);
            }
        }
        let place = self.place_of(index, &one.label);
        let distractor = &mut self.distractors[index];
        match place {
            Some(place) if place <= distractor.goal => {
                distractor.start = place.max(distractor.start);
                None
            }
            _ => {
                distractor.start = distractor.goal;
                Some(Shift::Above { id: one.id.clone() })
            }
        }
    }

    /// Where a level of that name stands; 0 is absent.
    fn place_of(&self, index: usize, label: &LevelLabel) -> Option<usize> {
        if *label == LevelLabel::ABSENT {
            return Some(0);
        }
        self.distractors[index].levels.iter().position(|level| level.label == *label).map(|place| place + 1)
    }

    /// Leaves out what one adult alone cannot stage, and what needs it. Gives the names of what would have risen.
    pub fn leave_out_company(&mut self) -> Vec<String> {
        let mut left_out = Vec::new();
        loop {
            let reach = |id: &str| self.distractors.iter().find(|other| other.id == id).map_or(0, |other| other.goal);
            let stuck = self.distractors.iter().position(|one| {
                let unmet = one.needs.as_ref().is_some_and(|need| reach(&need.id) < need.level);
                one.goal > one.start && (one.people_needed() > 0 || unmet)
            });
            let Some(index) = stuck else { break };
            let one = &mut self.distractors[index];
            one.goal = one.start;
            left_out.push(one.id.clone());
        }
        self.distractors.retain(|one| one.goal > 0);
        left_out
    }
}
