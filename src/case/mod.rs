//! The case room.
