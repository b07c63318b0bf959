//! The ladder room.
