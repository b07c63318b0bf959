//! The load of a place: pulls of the checklist, the photos and the recording pooled into one figure.

mod assess;
mod caution;
mod compare;
mod doubt;
mod explain;
mod heard;
mod inputs;
mod margin;
mod moves;
mod normal;
mod note;
mod pool;
mod scale;
mod scale_fault;
mod scale_file;

pub use assess::{Assessment, ChannelPull, Disagreement, FirstMoves, Share, assess, names_item};
pub use caution::Caution;
pub use compare::{Comparison, ItemChange, Verdict, compare, compare_among, compare_carried};
pub use explain::{WorkLine, explain, explain_doubt};
pub use heard::{HeardTable, TableFault};
pub use inputs::{AuditInputs, PhotoReading, SoundLevel, SoundReading};
pub use margin::MarginTable;
pub use normal::quantile as normal_quantile;
pub use note::CompareNote;
pub use scale::{Doubt, Grade, Scale, ScaleTable, Sensitivity};
pub use scale_fault::{ScaleFault, ScaleFaults, ScaleProblem};
