//! The practice room.
