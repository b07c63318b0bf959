//! Outside checks: photo.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "small whole numbers drawn into and read from pictures"
)]

mod colour;
mod compare;
mod drawn;
mod hostile;
mod laws;
mod vectors;
