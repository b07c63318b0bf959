//! Sheets read back from photos: rendered ones with known marks, what is not whole, pictures of other
//! things, and whole commands. tests/browser/paper.rs has a second source: sheets that a browser printed and ImageMagick warped.

mod again;
mod checklists;
mod commands;
mod faults;
mod others;
mod pens;
mod rays;
mod render;
mod rendered;
mod terminal;
