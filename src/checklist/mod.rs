//! Checklists: what is asked about a room, how answers are read, and what they score.

mod advice;
mod answers;
mod fault;
mod model;
mod needs;
mod read;
mod reader;
mod score;
mod shares;
mod shipped;
mod walk;

pub use advice::{Advice, advice};
pub use answers::{ANSWERS_FORMAT, blank_answers, parse_answers, written_answers};
pub use fault::{Fault, Faults, Wrong};
pub use model::{Answer, Answers, Checklist, Choice, Draw, Item, ItemId, ItemLevel, SharedWork, Unit};
pub use read::{FORMAT, parse};
pub use reader::decode;
pub use score::{ItemScore, Scores, SurfaceScore, score};
pub use shipped::{shipped, worded_as};
pub use walk::{COULD_NOT_SEE, Question, Step, Walk, accepts};
