//! Charts drawn by hand as SVG: bars, bands, level history, decay, staircase, single-case graph, outlines on a photo.
//!
//! Each chart is drawn twice, for a wide page and for a telephone, so that one unit is always about one pixel and its
//! text never shrinks; the style sheet shows one of the two. Meaning never rests on colour alone: patterns, outlines
//! and words say it too.

mod axis;
mod bands;
mod bars;
mod decay;
mod draw;
mod history;
mod overlay;
mod ribbon;
mod sessions;
mod sheet;
mod stair;

pub use bands::bands_svg;
pub use sheet::{ladder_svg, sessions_svg, sound_svg};

pub(crate) use bands::Bands;
pub(crate) use bars::{Bar, Bars};
pub(crate) use decay::DecayChart;
pub(crate) use draw::{Fill, Layout, figure};
pub(crate) use history::History;
pub(crate) use overlay::Overlay;
pub(crate) use ribbon::Ribbons;
pub(crate) use sessions::{SESSIONS_NARROW, SESSIONS_WIDE, SessionGraph};
pub(crate) use sheet::stacked;
pub(crate) use stair::{Stair, Tread};
