//! stillroom measures how distracting a room is and plans the graded way back. The map, a room a line;
//! an arrow between rooms only ever goes to a lower floor (see DEVELOPERS.md and `tests/suite/tidy.rs`).

pub mod files; // 0  the machine's files, or a browser's tree of them
pub mod language; // 0  the words of a language, from message files
pub mod quantity; // 0  units as types
pub mod words; // 0  channels, surfaces, evidence, spelling

#[cfg(not(target_family = "wasm"))]
pub mod devices; // 1  the clock; only faces name it

pub mod checklist; // 1  questions, answers, scores
pub mod photo; // 1  bytes of a picture in, measures and cautions out
pub mod sound; // 1  bytes of a recording in, levels and cautions out

pub mod load; // 2  the scale, pooling, doubt, shares, first moves
pub mod paper; // 2  sheets that are filled with a pen, and read back from a photo

pub mod calm; // 3  the calmest corner and the calmest time of day
pub mod evidence; // 3  what a child's sessions say of the scale
pub mod ladder; // 3  the lattice of rooms, its search, rungs
pub mod practice; // 3  sessions, statistics, decisions

pub mod contract; // 4  wire forms: what is printed as JSON and stored as TOML

pub mod case; // 5  the folder of records
pub mod report; // 5  data in, HTML and SVG out

pub mod tasks; // 6  what a command does, without a screen

#[cfg(not(target_family = "wasm"))]
pub mod cli; // 7  the terminal
pub mod page; // 7  the local page, on this computer or carried in a browser
