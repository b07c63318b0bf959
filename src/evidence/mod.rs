//! What a child's own sessions say of the scale: how strongly each distractor draws this child, what the next rung would be
//! like, and whether such a forecast beats a plain guess. The model stands at the head of `model.rs`, on one page.
//!
//! Solved by Laplace's approximation, one a shape (`solve.rs`). Error, against long chains of an independent sampler on fixed
//! data (tests/oracle/evidence): means of `w` and `θ` within 0.6 of their standard deviation (where all went well the
//! chances have a long tail that the top does not show; else within 0.3), the standard deviations within 25 %.

mod belief;
mod model;
mod share;
mod solve;

pub use belief::{Belief, Learned};
pub use model::{Part, Rungs, Sitting};
pub use share::{BINS, JUDGED, Record, Scored, ShareBelief, score};
