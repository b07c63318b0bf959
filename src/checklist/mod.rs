//! Checklists: what is asked about a room, how answers are read, and what they score.

mod model;

pub use model::{Answer, Answers, Checklist, Choice, Draw, Item, ItemId, ItemLevel, Unit};
