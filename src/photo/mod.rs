//! The photo room.
