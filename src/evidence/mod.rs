//! What a child's own sessions say of the scale: how strongly each distractor draws this child, what the next rung would be
//! like, and whether such a forecast beats a plain guess. The model stands at the head of `model.rs`, on one page.
//!
//! Solved by Laplace's approximation, one a shape (`solve.rs`), and for what is told of a single number once more for each of its
//! values (`marginal.rs`). Error, against long chains of an independent sampler on fixed data (tests/oracle/evidence): means within
//! 0.1 of their standard deviation for a thing and 0.2 for a half-way point, standard deviations within 10 %.

mod belief;
mod marginal;
mod model;
mod pool;
mod share;
mod solve;

pub use belief::{Belief, Learned};
pub use model::{Part, Rungs, Sitting};
pub use pool::{CHILDREN, Pooled, pool};
pub use share::{BINS, JUDGED, Record, Scored, ShareBelief, score};
