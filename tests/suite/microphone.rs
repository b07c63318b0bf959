//! The microphone, against a real sound server without a sound card: what is played into it comes back at its level.

#[cfg(feature = "alsa")]
mod alsa;
mod calibrating;
mod faults;
mod levels;
mod server;
mod targets;
