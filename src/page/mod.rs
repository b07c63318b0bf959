//! The local page: the whole tool in a browser, for this computer alone. Pages are made here and work without script; a
//! small script adds what only a browser can do.

mod answer;
mod asked;
mod beads;
mod carried;
mod caseload;
mod change;
mod decide;
mod desk;
mod form;
mod found;
mod frame;
#[cfg(not(target_family = "wasm"))]
mod gate;
mod hand_over;
mod home;
mod ladder;
mod listening;
mod meter;
mod papers;
mod photo;
mod practice;
mod room;
mod route;
mod sample;
#[cfg(not(target_family = "wasm"))]
mod served;
#[cfg(not(target_family = "wasm"))]
mod server;
mod sheets;
mod sitting;
mod sound;
mod stuck;
mod where_when;

pub use carried::{Answered, Carried, document};

#[cfg(not(target_family = "wasm"))]
pub use served::serve;
