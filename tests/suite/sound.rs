//! Outside checks of the sound room.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "made recordings: numbers are known to fit"
)]

mod coded;
mod decays;
mod doubts;
mod hostile;
mod laws;
mod made;
mod oracle;
mod standards;
