//! What can be typed about ladders, about the level at the child's chair, and about the child of a case.

use std::path::PathBuf;

use clap::Args;

use super::arguments::Asked;

#[derive(Debug, Args)]
pub(super) struct LadderArguments {
    /// The case folder
    #[arg(long, value_name = "DIR", conflicts_with = "from", required_unless_present = "from")]
    pub(super) case: Option<PathBuf>,
    /// A ladder input file; `-` for standard input
    #[arg(long, value_name = "FILE")]
    pub(super) from: Option<PathBuf>,
    /// The audit whose room is the start, by id or date; `cleared`, the usual: everything movable is absent
    #[arg(long, value_name = "AUDIT", requires = "case")]
    pub(super) start: Option<String>,
    /// The audit whose room is the goal, by id or date; `fullest`, the usual: the audit with the highest load
    #[arg(long, value_name = "AUDIT", requires = "case")]
    pub(super) goal: Option<String>,
    /// The place, when the case has several
    #[arg(long, requires = "case")]
    pub(super) place: Option<String>,
    /// The task the plan belongs to
    #[arg(long, requires = "case")]
    pub(super) task: Option<String>,
    /// Which channel comes back first: seen,heard,company; those not named follow in this order
    #[arg(long, value_name = "CHANNELS")]
    pub(super) order: Option<String>,
    /// Never use this, in a few words; may be given several times and holds for later plans too
    #[arg(long, value_name = "ITEM", requires = "case")]
    pub(super) never: Vec<String>,
    /// Leave this as it is: there on every rung, raised by none; may be given several times
    #[arg(long, value_name = "ITEM", requires = "case")]
    pub(super) fixed: Vec<String>,
    /// Lift an earlier --never or --fixed
    #[arg(long, value_name = "ITEM", requires = "case")]
    pub(super) allow: Vec<String>,
    /// How sensitive the child is on a channel, 0.5 to 2, set by a clinician; left out: as in the scale
    #[arg(long, value_name = "CHANNEL=FACTOR", requires = "case")]
    pub(super) sensitivity: Vec<String>,
    /// Plan only what one adult alone can stage
    #[arg(long)]
    pub(super) alone: bool,
    /// Split steps above this pull
    #[arg(long, value_name = "PULL", allow_hyphen_values = true)]
    pub(super) max_step: Option<f64>,
    /// The sound cap at the child's ear, 65 dB at most; 50 at most once a sound was too much for the child
    #[arg(long, value_name = "DB", requires = "case", allow_hyphen_values = true)]
    pub(super) sound_cap: Option<f64>,
    /// Volume of the room: then the cards say how far away a source stands
    #[arg(long, value_name = "M3", allow_hyphen_values = true)]
    pub(super) volume: Option<f64>,
    /// Decay time of the room; left out: the one measured in an audit, else 0.5 s with its doubt
    #[arg(long, value_name = "S", requires = "volume", allow_hyphen_values = true)]
    pub(super) decay_s: Option<f64>,
    /// Keep the plan in force up to this rung and plan anew what follows
    #[arg(long, value_name = "N", requires = "case")]
    pub(super) from_rung: Option<u32>,
    /// The same, up to the rung that the child's estimated tolerance bears; the step after it is halved
    #[arg(long, requires = "case", conflicts_with = "from_rung")]
    pub(super) from_tolerance: bool,
    /// Plan by the scale alone, without what the child's own sessions say of it
    #[arg(long, requires = "case")]
    pub(super) scale_only: bool,
    /// Sign a stored draft as it stands, by its id
    #[arg(long, value_name = "PLAN", requires_all = ["case", "by"], conflicts_with_all = ["from_rung", "from_tolerance", "scale_only", "start", "goal", "order", "never", "fixed", "allow", "sensitivity", "alone", "max_step", "sound_cap", "volume"])]
    pub(super) sign: Option<String>,
    /// Why it is planned again, for the record
    #[arg(long, value_name = "TEXT", requires = "case")]
    pub(super) why: Option<String>,
    /// The clinician who answers for the plan
    #[arg(long, requires = "case")]
    pub(super) by: Option<String>,
    /// Show the plan without storing it in the case
    #[arg(long, requires = "case")]
    pub(super) dry_run: bool,
    /// Write the staircase as a picture: loads, phases, rises, and the child's place on it
    #[arg(long, value_name = "FILE.svg")]
    pub(super) chart: Option<PathBuf>,
    /// Write every rung as a card, two to an A4 page
    #[arg(long, value_name = "FILE.html")]
    pub(super) cards: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct ChairArguments {
    /// Metres from the source of the sound to the recording device
    #[arg(long, value_name = "M", requires = "chair", allow_hyphen_values = true)]
    pub(super) at: Option<f64>,
    /// Metres from the source to the child's chair: tells the level there
    #[arg(long, value_name = "M", requires_all = ["at", "volume"], allow_hyphen_values = true)]
    pub(super) chair: Option<f64>,
    /// Volume of the room
    #[arg(long, value_name = "M3", requires = "chair", allow_hyphen_values = true)]
    pub(super) volume: Option<f64>,
    /// Decay time of the room, measured with --decay; left out: 0.5 s with its doubt
    #[arg(long, value_name = "S", requires = "chair", allow_hyphen_values = true)]
    pub(super) decay_s: Option<f64>,
}

#[derive(Debug, Args)]
pub(super) struct ChildArguments {
    /// The case folder
    pub(super) dir: PathBuf,
    /// Another alias
    #[arg(long)]
    pub(super) alias: Option<String>,
    /// Month of birth, never a day
    #[arg(long, value_name = "YYYY-MM")]
    pub(super) born: Option<String>,
    /// Must stay in reach too; may be given several times
    #[arg(long)]
    pub(super) keep: Vec<String>,
    /// Need no longer stay in reach
    #[arg(long, value_name = "KEEP")]
    pub(super) not_keep: Vec<String>,
    /// Does any sound make the child cover the ears, cry, freeze or leave?
    #[arg(long, value_enum)]
    pub(super) sound_sensitive: Option<Asked>,
    /// Has hearing been checked?
    #[arg(long, value_enum)]
    pub(super) hearing_checked: Option<Asked>,
    /// A sound that is never used, in a few words; may be given several times
    #[arg(long, value_name = "NAME")]
    pub(super) excluded_sound: Vec<String>,
    /// A sound that may be used again
    #[arg(long, value_name = "NAME")]
    pub(super) allowed_sound: Vec<String>,
    /// Who says so, by alias or role
    #[arg(long)]
    pub(super) by: Option<String>,
}
