//! The load of a place: pulls of the checklist, the photos and the recording pooled into one figure.

mod heard;

pub use heard::{HeardTable, TableFault};
