//! Where and when: the calmest corner of a home and the calmest twenty minutes of its day, each difference with its interval, and
//! "no clear difference" as an answer. Figures in, figures out: no recording, no file, no clock.
//!
//! [`day`] holds a day of five-minute figures, [`recur`] finds what comes back at the same time of day, [`corners`] compares
//! places, [`moves`] weighs another place or time against tidying.

pub mod corners;
pub mod day;
pub mod moves;
pub mod recur;
mod shared;
