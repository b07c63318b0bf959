//! The ladder room: from a calm start to the room the child has to cope with, one distractor one level at a time.
//!
//! `read` reads an input, `check` says whether it makes sense, `room` is the arithmetic, `search` finds the best order
//! phase by phase (`lattice` whole, `forest` and `beam` when that is too large), `split` puts levels in where a
//! step is too large, `plan` tells the rungs, `from_case` makes an
//! input from answers, `distance` says what moving a sound source does.

mod again;
mod beam;
mod beyond;
mod bounds;
mod card;
mod caution;
mod check;
mod distance;
mod fault;
mod fields;
mod forest;
mod from_case;
mod input;
mod lattice;
mod phase;
mod plan;
mod read;
mod refusal;
mod room;
mod search;
mod split;
mod words;

pub use again::{Reached, Shift};
pub use beyond::{BeyondRung, Elsewhere, MAINTENANCE_WEEKS, maintenance};
pub use card::{Card, Target};
pub use caution::Caution;
pub use check::SOUND_CAP_MOST_DB;
pub use distance::{ASSUMED_DECAY_S, DecayTime};
pub use fault::{Fault, Faults, Wrong};
pub use from_case::{CaseRooms, FromCase, LeftOut, Sounds, Why, from_case};
pub use input::{Acoustics, Distractor, LadderInput, Level, LevelDraw, LevelLabel, Need, Sensitivity};
pub use plan::{Ladder, Obstacle, Rung, plan, plan_after, plan_within};
pub use read::{FORMAT, parse};
pub use refusal::{End, Refusal};
pub use search::Effort;
