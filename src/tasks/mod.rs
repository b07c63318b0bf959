//! The tasks room.
