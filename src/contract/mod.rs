//! The contract room.
