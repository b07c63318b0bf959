//! The sound room.
