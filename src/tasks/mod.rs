//! What each command does, without a screen: the terminal and any other face call the same tasks.

pub mod aim;
pub mod audits;
pub mod case_view;
pub mod caseload;
pub mod cases;
pub mod checklists;
pub mod demo;
pub mod exports;
pub mod files;
pub mod handovers;
pub mod keep;
pub mod keeping;
pub mod ladders;
pub mod photos;
pub mod practised;
pub mod profiles;
pub mod recordings;
mod refusal;
pub mod reports;
pub mod reviews;
pub mod sounds;

pub use audits::{AuditRequest, AuditResult};
pub use cases::NewCase;
pub use files::Named;
pub use keeping::Adding;
pub use ladders::LadderRequest;
pub use refusal::Refusal;
pub use sounds::{Calibration, Occasion, SoundRequest};
