//! What each command does, without a screen: the terminal and any other face call the same tasks.

pub mod agreements;
pub mod aim;
pub mod audits;
pub mod case_view;
pub mod cases;
pub mod checklists;
pub mod demo;
pub mod files;
pub mod keep;
pub mod keeping;
pub mod ladders;
pub mod papers;
pub mod photos;
pub mod profiles;
pub mod rechecks;
pub mod recordings;
mod refusal;
pub mod reports;
pub mod reviews;
pub mod sensitivities;
pub mod serving;
pub mod sounds;
pub mod walks;

pub use audits::{AuditRequest, AuditResult};
pub use cases::NewCase;
pub use files::Named;
pub use keeping::Adding;
pub use ladders::LadderRequest;
pub use refusal::Refusal;
pub use sounds::{Calibration, Occasion, SoundRequest};
