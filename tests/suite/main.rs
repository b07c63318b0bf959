//! The outside checks, one binary: a room's published tables and reference values, and whole commands.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod case;
mod checklist;
mod commands;
mod evidence;
mod examples;
mod ladder;
mod load;
mod messages;
#[cfg(all(target_os = "linux", feature = "microphone"))]
mod microphone;
mod page;
mod paper;
mod photo;
mod practice;
mod report;
mod sound;
mod tidy;
