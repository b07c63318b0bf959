//! What can be typed after `audit` and `agree`.

use std::path::PathBuf;

use clap::Args;

use super::arguments::{CalibrationArguments, When};

#[derive(Debug, Args)]
pub(super) struct AuditArguments {
    /// The case folder to store the audit in
    #[arg(long, value_name = "DIR")]
    pub(super) case: Option<PathBuf>,
    /// The place; left out: the one in the answers
    #[arg(long)]
    pub(super) place: Option<String>,
    /// A shipped checklist's id, or a file
    #[arg(long, value_name = "ID|FILE", required_unless_present = "recheck", conflicts_with = "recheck")]
    pub(super) checklist: Option<String>,
    /// The answers; `-` for standard input; left out: asked item by item at a terminal
    #[arg(long, value_name = "FILE")]
    pub(super) answers: Option<PathBuf>,
    /// Ask again only what matters of an earlier audit, by id or date, and carry the rest over
    #[arg(long, value_name = "AUDIT", requires = "case", conflicts_with = "place")]
    pub(super) recheck: Option<String>,
    /// Print the questions of the recheck as an answers file to fill in, and do nothing else
    #[arg(long, requires = "recheck", conflicts_with = "answers")]
    pub(super) blank: bool,
    /// A recording of the room at learning time, the child elsewhere
    #[arg(long, value_name = "FILE")]
    pub(super) sound: Option<PathBuf>,
    #[command(flatten)]
    pub(super) calibration: CalibrationArguments,
    /// An adult's ordinary voice, recorded by the same device with the usual background running
    #[arg(long, value_name = "FILE", requires = "sound")]
    pub(super) voice: Option<PathBuf>,
    /// The child's own sounds are in the recording: figures, but no pull
    #[arg(long, requires = "sound")]
    pub(super) child_audible: bool,
    /// When it was recorded: a home is quieter while a guest is there
    #[arg(long, value_enum, requires = "sound")]
    pub(super) when: Option<When>,
    /// A photo from the child's seat at the child's eye height; may be given several times
    #[arg(long = "photo", value_name = "FILE")]
    pub(super) photos: Vec<PathBuf>,
    /// Keep a reduced copy of each photo in the case: 512 pixels, without place, time or device; else photos are forgotten
    #[arg(long, requires_all = ["case", "photos"])]
    pub(super) keep_photos: bool,
    /// Another scale than the shipped one
    #[arg(long, value_name = "FILE")]
    pub(super) scale: Option<PathBuf>,
    /// How strongly a channel draws this child, 0.5 to 2, set by the clinician, such as heard=1.5; holds until set anew
    #[arg(long, value_name = "CHANNEL=FACTOR")]
    pub(super) sensitivity: Vec<String>,
    /// The clinician's reason for it
    #[arg(long, value_name = "TEXT")]
    pub(super) sensitivity_note: Option<String>,
    /// Minutes there are for rearranging
    #[arg(long, value_name = "N", default_value_t = 15.0)]
    pub(super) minutes: f64,
    /// Write out the whole calculation, line by line
    #[arg(long)]
    pub(super) explain: bool,
}

#[derive(Debug, Args)]
pub(super) struct AgreeArguments {
    /// The first person's answers (.toml) or session log (.csv); `-` for standard input
    #[arg(value_name = "FILE")]
    pub(super) first: PathBuf,
    /// The second person's
    #[arg(value_name = "FILE")]
    pub(super) second: PathBuf,
    /// The checklist they answer, when it is not a shipped one
    #[arg(long, value_name = "ID|FILE")]
    pub(super) checklist: Option<String>,
}
