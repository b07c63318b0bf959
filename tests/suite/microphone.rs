//! The microphone, against a real sound server without a sound card: what is played into it comes back at its level.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "tests make small whole numbers and f32 samples"
)]

#[cfg(feature = "alsa")]
mod alsa;
mod calibrating;
mod faults;
mod levels;
mod pipewire;
mod server;
mod targets;
