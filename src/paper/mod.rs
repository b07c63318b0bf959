//! The paper room: sheets that are filled in with a pen and read back from a photo.
//!
//! A sheet ([`Sheet`]) is circles at known places between four corner marks, with a row of dots that says which sheet it is
//! ([`Label`]). `svg` draws it; `read` finds it in a photo, straightens it, evens the light and says of every circle how
//! full it is. What is doubtful is said to be doubtful: a person decides. Handwriting is not read.

mod bytes;
mod cast;
mod code;
mod draw;
mod fault;
mod find;
mod light;
mod number;
mod plain;
mod questions;
mod read;
mod reading;
mod sheet;
mod straighten;
mod warp;

pub use code::{Label, alias_code, cells};
pub use draw::svg;
pub use fault::Fault;
pub use number::{NumberFault, checked, spoken};
pub use questions::{Answering, Question, pages};
pub use read::{Seen, seen};
pub use reading::{Filled, Mark, Reading};
pub use sheet::{Circle, Field, HEIGHT, Kind, LAYOUT, RADIUS, Sheet, Text, WIDTH, Words, marked};
