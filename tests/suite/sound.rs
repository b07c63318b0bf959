//! Outside checks of the sound room.

mod made;
mod oracle;
