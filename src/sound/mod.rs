//! The sound room: bytes of a recording in, levels and cautions out. No microphone, no files, no screen.
//!
//! [`open`] tells by the content what a recording is and stands before its first sample. [`analyse`] reads it through
//! once, in blocks, and tells everything: levels, bands, room criteria, how the level changes, the decay, and how far
//! all of it can be trusted. [`ribbon()`] reads a long one as a stream and keeps some figures a block. [`Calibration`] turns dBFS into dB; [`margin()`] compares a voice with the background.
//! 0 dBFS is an RMS of 1; channels are meant in power.

mod analysis;
mod ballistics;
mod band_history;
mod bands;
mod biquad;
mod calibration;
mod capture;
mod changes;
mod coded;
mod criteria;
mod decay;
mod doubts;
mod feed;
mod halver;
mod lanes;
mod live;
mod low_bands;
mod mp4;
mod num;
mod refusal;
mod ribbon;
mod rumble;
mod samples;
mod samples_seen;
mod sniff;
mod source;
mod spectrum;
mod stepped;
mod thin;
mod warning;
mod wav;
mod weighting;

pub use analysis::{Analysis, BandLevel, Changes, Levels, Quality, Settings, SourceFacts, analyse};
pub use ballistics::HISTORY_SECONDS;
pub use band_history::BandHistory;
pub use bands::{Band, label};
pub use calibration::{Calibration, CalibrationKind, Margin, margin};
pub use criteria::{Criteria, NC_OCTAVES_HZ, NoiseCriterion, nc_curve, nr_curve};
pub use decay::{BandDecay, CURVE_STEP_S, Decay, DecayCurve};
pub use feed::{Feed, FeedInfo};
pub use live::{LiveFigures, LiveMeter};
pub use refusal::{Fault, Refusal};
pub use ribbon::{Ribbon, RibbonBlock, RibbonSettings, ribbon};
pub use source::{Info, Recording, Source, gather, open, open_long};
pub use warning::Warning;
pub use weighting::{a_power, c_power};
