//! The local page and the papers in a real browser: Chromium through its WebDriver. Needs `chromium`, `chromium-driver`
//! and `poppler-utils`, `imagemagick`, and the node packages of this folder; `tests/run` installs them.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod access;
mod carry;
mod carry_figures;
mod carry_kept;
mod carry_sheets;
mod driver;
mod firefox;
mod house;
mod looks;
mod microphone;
mod overflow;
mod paper;
mod phone;
mod practice;
mod print;
mod walks;
