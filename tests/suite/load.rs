//! Outside checks: load. Hand-worked numbers, a second implementation, laws, and simulated rooms.
#![allow(clippy::float_cmp, reason = "what is claimed to be exact is compared exactly")]

mod by_hand;
mod calculation;
mod comparing;
mod laws;
mod rooms;
mod scale_files;
mod simulated;
mod twin;
mod worked;
