//! What can be typed after `where`.

use std::path::PathBuf;

use clap::Args;

use super::arguments::CalibrationArguments;

#[derive(Debug, Args)]
pub(super) struct WhereArguments {
    /// The case folder
    #[arg(long, value_name = "DIR")]
    pub(super) case: PathBuf,
    /// Recordings by the clock, or folders of them; files are named by when they began: 2026-10-05 15.00.wav
    #[arg(value_name = "RECORDING")]
    pub(super) recordings: Vec<PathBuf>,
    /// When the one recording began, such as "2026-10-05 15:00"; left out: its name tells
    #[arg(long, value_name = "DAY TIME", requires = "recordings")]
    pub(super) at: Option<String>,
    /// What made the recordings, in a word: two devices are not compared with each other
    #[arg(long, value_name = "NAME", requires = "recordings")]
    pub(super) device: Option<String>,
    /// Where the recordings were made, and where it is practised now; left out: the place practised last
    #[arg(long)]
    pub(super) place: Option<String>,
    /// A folder with one corner: answers.toml, photos, a minute of sound, if wanted clap.wav and voice.wav; up to six
    #[arg(long = "corner", value_name = "FOLDER")]
    pub(super) corners: Vec<PathBuf>,
    #[command(flatten)]
    pub(super) calibration: CalibrationArguments,
    /// A time that is taken, and why: 17:00-18:30=cooking; may be given several times, and replaces what was said before
    #[arg(long, value_name = "FROM-TO=WHY")]
    pub(super) taken: Vec<String>,
    /// What moving to a place takes: "window table=10" minutes, or "kitchen=no"
    #[arg(long, value_name = "PLACE=MINUTES|no")]
    pub(super) moving: Vec<String>,
    /// When it is practised now
    #[arg(long, value_name = "HH:MM")]
    pub(super) learning: Option<String>,
    /// Minutes that another time costs
    #[arg(long, value_name = "N")]
    pub(super) time_minutes: Option<f64>,
    /// Who said what is possible
    #[arg(long)]
    pub(super) by: Option<String>,
    /// Minutes there are for rearranging
    #[arg(long, value_name = "N", default_value_t = 15.0)]
    pub(super) minutes: f64,
    /// Write the picture: corners side by side, the days' ribbons of loudness
    #[arg(long, value_name = "OUT.svg")]
    pub(super) chart: Option<PathBuf>,
}
