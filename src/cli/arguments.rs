//! What can be typed: commands, options, help with examples. Meaning is given to it in the rooms below.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use super::arguments_audit::{AgreeArguments, AuditArguments};
use super::arguments_case::{CarryArguments, CaseloadArguments, CollectArguments, KeepCommand};
use super::arguments_practice::PracticeCommand;
use super::arguments_where::WhereArguments;
use super::form::FormArguments;
use super::ladder_arguments::{ChairArguments, ChildArguments, LadderArguments};
use super::paper::PaperArguments;
use crate::tasks::recordings::Target;

/// Measure how distracting a room is, and plan the graded way back
///
/// stillroom measures rooms, not children: clutter by checklist, background noise by recording, visual busyness by
/// photo. It says what to move first, and lays a ladder of small steps by which distractions come back one at a time.
/// Its figures are conventions, not diagnoses; local rules and licensed practice come first.
#[derive(Debug, Parser)]
#[command(
    name = "stillroom",
    version,
    arg_required_else_help = true,
    after_help = "Examples:\n  stillroom demo\n  stillroom audit --checklist home-corner --answers corner.toml --photo corner.jpg\n  stillroom ladder --from plan.toml"
)]
pub(super) struct Arguments {
    /// Print for people, or one JSON document for programs
    #[arg(long, global = true, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
    /// Speak that language: en or es; left out: the one this computer is set to, or English
    #[arg(long, global = true, value_name = "LANGUAGE")]
    pub(super) language: Option<String>,
    #[command(subcommand)]
    pub(super) command: Command,
}

/// How a result is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    /// Plain sentences and small tables.
    Text,
    /// One document on standard output; a refusal as one document on standard error.
    Json,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Audit an invented room from real files and write its report
    ///
    /// Reads the sample case that comes with the program (answers of two dates, recordings, photos, sessions), runs
    /// it through the same code as your own files, and writes one folder: a report, the case, the pictures.
    #[command(after_help = "Example:\n  stillroom demo --into clover-demo")]
    Demo {
        /// The folder to write; it must be empty or not there yet
        #[arg(long, value_name = "DIR")]
        into: Option<PathBuf>,
        /// Read the sample case from this folder instead of the one inside the program
        #[arg(long, value_name = "DIR")]
        from: Option<PathBuf>,
    },
    /// List, show, check and score checklists
    #[command(subcommand)]
    Checklist(ChecklistCommand),
    /// Measure the background noise of a recording in bands
    ///
    /// Reads WAV, FLAC, MP3, OGG Vorbis and M4A. Without a calibration the levels are dBFS: only differences,
    /// shapes and the listening margin mean something. Nothing of the recording is kept.
    ///
    /// With --record it records the room itself, from the microphone of this computer.
    #[command(
        after_help = "Examples:\n  stillroom sound room.wav\n  stillroom sound room.wav --offset 96.5\n  stillroom sound room.wav --reference tone.wav --reference-db 94\n  stillroom sound room.wav --voice voice.wav\n  stillroom sound room.wav --band-history --format json\n  stillroom sound --devices\n  stillroom sound --record 60 --when learning\n  stillroom sound --calibrate laptop --record 30 --reference-db 52.5\n  stillroom sound --record 20 --profile laptop --target 50\n  stillroom sound --record 20 --voice voice.wav --target voice"
    )]
    Sound(Box<SoundArguments>),
    /// Measure how busy photos of a room look, and where
    ///
    /// Reads JPEG, PNG, WebP, GIF and BMP. It speaks of the picture, never of where a child looks. Nothing of a photo
    /// is kept.
    #[command(
        after_help = "How to take the photo:\n  - sit where the child sits and hold the phone at the child's eye height, level, upright or across\n  - daylight or the usual lamp, no flash, not against the window, screens as they are at learning time\n  - nobody in the picture; wipe the lens and hold still\n  - for a second photo stand in the same spot, hold the phone the same way, use the same lens\n  - the photo stays in the phone's gallery and in its backup: delete it there\n\nExamples:\n  stillroom photo corner.jpg\n  stillroom photo left.jpg right.jpg\n  stillroom photo corner.jpg --map busy.png --stays 2\n  stillroom photo --compare before.jpg after.jpg"
    )]
    Photo {
        /// The photos, taken from the child's seat at the child's eye height; `-` for standard input
        #[arg(value_name = "FILE", required_unless_present = "compare", conflicts_with = "compare")]
        files: Vec<PathBuf>,
        /// Write the photo dimmed, with its busy places outlined
        #[arg(long, value_name = "OUT.png", conflicts_with = "compare")]
        map: Option<PathBuf>,
        /// Mark a busy place by its number as what must stay, such as a picture schedule
        #[arg(long, value_name = "N", conflicts_with = "compare")]
        stays: Vec<usize>,
        /// The checklist whose items are offered beside the busy places
        #[arg(long, value_name = "ID|FILE", default_value = "home-corner", conflicts_with = "compare")]
        checklist: String,
        /// Say whether the second photo is less busy than the first
        #[arg(long, num_args = 2, value_names = ["BEFORE", "AFTER"])]
        compare: Option<Vec<PathBuf>>,
    },
    /// Audit a place: checklist answers, a recording and photos become one load
    ///
    /// Without --answers it asks item by item at a terminal, one surface at a time; what was answered is kept when the
    /// walk is interrupted. Without --case nothing is stored. A recheck asks only what carries the load, what was to be
    /// moved and one item at random, and carries the rest over.
    #[command(
        after_help = "Examples:\n  stillroom audit --checklist home-corner\n  stillroom audit --checklist home-corner --answers corner.toml\n  stillroom audit --case clover --place \"window table\" --checklist home-corner --answers corner.toml \\\n      --sound room.wav --offset 96.5 --photo left.jpg --photo right.jpg --minutes 15\n  stillroom audit --case clover --checklist home-corner --answers corner.toml \\\n      --sensitivity heard=1.5 --sensitivity-note \"covers the ears at the hoover\"\n  stillroom audit --case clover --recheck 2026-10-05 --photo left.jpg"
    )]
    Audit(Box<AuditArguments>),
    /// Say how well two people agree, in two answers files or two session logs
    ///
    /// Percent agreement, kappa on present or absent, weighted kappa of counts and choices, how unsure an answer of these
    /// two is against what the scale assumes, and the items to look at together.
    #[command(
        after_help = "Examples:\n  stillroom agree visitor.toml parent.toml\n  stillroom agree first.csv second.csv"
    )]
    Agree(AgreeArguments),
    /// Say what changed between two audits, and whether the change is real
    #[command(
        after_help = "Examples:\n  stillroom compare --case clover\n  stillroom compare --case clover 2026-10-05 2026-10-19"
    )]
    Compare {
        /// The case folder
        #[arg(long, value_name = "DIR")]
        case: PathBuf,
        /// Two audits, by id or date; left out: the last two of the place
        #[arg(value_name = "AUDIT", num_args = 0..=2)]
        audits: Vec<String>,
        /// The place, when the case has several
        #[arg(long)]
        place: Option<String>,
    },
    /// Find the calmest corner and the calmest twenty minutes of the day
    ///
    /// Corners are the audited places of the case, the newest audit of each. Recordings are read as streams and only figures of
    /// every five minutes are kept. Every difference comes with its interval; "no clear difference" is an answer.
    #[command(
        after_help = "Examples:\n  stillroom where --case clover\n  stillroom where --case clover --corner window-table --corner bedroom --corner hall\n  stillroom where --case clover week/ --place \"window table\" --device phone\n  stillroom where --case clover evening.wav --at \"2026-10-05 15:00\" --place \"window table\"\n  stillroom where --case clover --taken 19:00-07:00=bedtime --taken 17:00-18:30=cooking --moving bedroom=10 --learning 16:30"
    )]
    Where(Box<WhereArguments>),
    /// Plan the ladder: the way back in the smallest steps
    ///
    /// From a case, the goal is the room of the audit that found most there (or --goal), the start is the same room
    /// with everything movable absent (or --start). What an earlier plan was asked holds on unless it is asked anew. A
    /// ladder nobody signed is a draft; one that is planned again is a new record that names the one it replaces.
    #[command(
        after_help = "Examples:\n  stillroom ladder --from plan.toml\n  stillroom ladder --case clover --by \"clinician\" --cards cards.html\n  stillroom ladder --case clover --start 2026-10-19 --goal 2026-10-05 --order heard --never \"vacuum cleaner\"\n  stillroom ladder --case clover --from-rung 4 --max-step 0.15 --why \"stepped back from rung 5\" --by \"clinician\""
    )]
    Ladder(Box<LadderArguments>),
    #[command(flatten)]
    Practice(PracticeCommand),
    /// Write the report of a case
    #[command(
        after_help = "Examples:\n  stillroom report --case clover --out clover.html\n  stillroom report --case clover --for family --language es --out fridge.html"
    )]
    Report {
        /// The case folder
        #[arg(long, value_name = "DIR")]
        case: PathBuf,
        /// The file to write
        #[arg(long, value_name = "FILE", default_value = "report.html")]
        out: PathBuf,
        /// Whom it is for
        #[arg(long = "for", value_enum, default_value_t = ReportFor::Clinician)]
        reader: ReportFor,
        /// The place, when the case has several
        #[arg(long)]
        place: Option<String>,
    },
    /// Print a blank sheet: checklist, practice, preference, diary, plan and more
    ///
    /// With --case a sheet carries the case's own words: task, rung, what stays in reach. A sheet is one HTML file
    /// without script: open it in a browser and print it, on A4 or Letter.
    #[command(
        after_help = "Examples:\n  stillroom form --list\n  stillroom form session-sheet --case clover\n  stillroom form checklist --checklist play-floor --language es --out list.html"
    )]
    Form(FormArguments),
    /// Open the local page: the whole tool in a browser, on this computer alone
    ///
    /// Prints the page's address with its key and answers until it is stopped (Ctrl-C). Nothing leaves this computer.
    #[command(
        after_help = "Examples:\n  stillroom serve --case clover\n  stillroom serve --case clover --port 4100 --language es"
    )]
    Serve {
        /// The case that is open at the start; left out: one is chosen on the page
        #[arg(long, value_name = "DIR")]
        case: Option<PathBuf>,
        /// The port; left out: one that is free
        #[arg(long, value_name = "N", default_value_t = 0, hide_default_value = true)]
        port: u16,
    },
    /// Make one file for a phone: the whole tool in a browser, without any network
    ///
    /// With --case it already carries the child's ladder, task, practice and newest looks. What is entered stays in that
    /// browser until it is handed over; `case merge` takes that file in.
    #[command(after_help = "Example:\n  stillroom carry --case clover --out clover.html")]
    Carry(CarryArguments),
    /// Read filled sheets from photos, ask about what is doubtful, and store what they say
    ///
    /// Reads the sheets that `form` prints: practice sheet, on-task sheet, screen diary, checklist. Print them with the
    /// case, fill or cross the circles with a dark pen, and photograph each whole sheet, lying flat. Several at once are
    /// fine. Handwriting is not read, and nothing of a photo is kept.
    #[command(
        after_help = "Examples:\n  stillroom paper monday.jpg --case clover\n  stillroom paper *.jpg --case clover --by parent --yes\n  stillroom paper monday.jpg --case clover --mark 2.try-3.0=yes --yes"
    )]
    Paper(Box<PaperArguments>),
    /// Make a case folder, look into it, keep it, hand it over
    #[command(subcommand)]
    Case(CaseCommand),
    /// See all cases of a clinician at a glance, who needs a person today first
    #[command(
        after_help = "Examples:\n  stillroom caseload cases\n  stillroom caseload cases --print today.html\n  stillroom caseload cases --learn --out own-scale.toml"
    )]
    Caseload(CaseloadArguments),
    /// Open the packs that came in, and merge each into its case
    #[command(after_help = "Example:\n  stillroom collect inbox --into cases --passphrase-file keys.txt")]
    Collect(CollectArguments),
}

/// Whom a report is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum ReportFor {
    /// One page in plain words: one thing to do now, before and now, the next step.
    Family,
    /// All figures, intervals, evidence, graphs and the calculation.
    Clinician,
    /// What was measured, when, with what, and what was agreed.
    Visitor,
}

#[derive(Debug, Subcommand)]
pub(super) enum ChecklistCommand {
    /// List the shipped checklists
    List,
    /// Show a checklist, or the scale (`scale`)
    #[command(after_help = "Examples:\n  stillroom checklist show home-corner\n  stillroom checklist show scale")]
    Show {
        /// A shipped checklist's id, a file, or `scale`
        #[arg(value_name = "ID|FILE")]
        list: String,
    },
    /// Print an answers file to fill in, every item "not seen"
    #[command(after_help = "Example:\n  stillroom checklist blank home-corner > corner.toml")]
    Blank {
        /// A shipped checklist's id or a file
        #[arg(value_name = "ID|FILE")]
        list: String,
    },
    /// Check a checklist of your own
    #[command(after_help = "Example:\n  stillroom checklist check my-list.toml")]
    Check {
        /// The file; `-` for standard input
        file: PathBuf,
    },
    /// Score answers, surface by surface
    #[command(after_help = "Example:\n  stillroom checklist score home-corner --answers corner.toml")]
    Score {
        /// A shipped checklist's id or a file
        #[arg(value_name = "ID|FILE")]
        list: String,
        /// The answers; `-` for standard input
        #[arg(long, value_name = "FILE")]
        answers: PathBuf,
    },
}

#[derive(Debug, Args)]
#[command(group = clap::ArgGroup::new("referenced").multiple(true))]
pub(super) struct CalibrationArguments {
    /// Added to dBFS to give dB, from a note about this device (doubt 3 dB)
    #[arg(long, value_name = "DB", allow_hyphen_values = true, conflicts_with_all = ["reference", "reference_db"])]
    pub(super) offset: Option<f64>,
    /// A recording by the same device during which a sound level meter was read
    #[arg(long, value_name = "FILE", requires = "reference_db", group = "referenced")]
    pub(super) reference: Option<PathBuf>,
    /// What the meter read, as LAeq
    #[arg(long, value_name = "DB", allow_hyphen_values = true, requires = "referenced")]
    pub(super) reference_db: Option<f64>,
    /// A calibration that was stored with `sound --calibrate`
    #[arg(long, value_name = "NAME", conflicts_with_all = ["offset", "reference", "reference_db"])]
    pub(super) profile: Option<String>,
    /// Another standard uncertainty of the calibration, in dB
    #[arg(long, value_name = "DB")]
    pub(super) sd: Option<f64>,
}

#[derive(Debug, Args)]
pub(super) struct SoundArguments {
    /// The recording, a minute or more; `-` for standard input
    #[arg(value_name = "FILE", required_unless_present_any = ["record", "devices", "calibrate"], conflicts_with_all = ["record", "devices", "calibrate"])]
    pub(super) file: Option<PathBuf>,
    #[command(flatten)]
    pub(super) microphone: MicrophoneArguments,
    #[command(flatten)]
    pub(super) calibration: CalibrationArguments,
    /// An adult's ordinary voice, recorded by the same device at the child's chair with the usual background running
    #[arg(long, value_name = "FILE")]
    pub(super) voice: Option<PathBuf>,
    /// Find the decay time from a clap or a sound that stops; the child is out of the room for it
    #[arg(long)]
    pub(super) decay: bool,
    /// Tell every third octave in every 125 ms as well, in the JSON form
    #[arg(long)]
    pub(super) band_history: bool,
    /// The child's own sounds are in the recording: figures, but no pull
    #[arg(long)]
    pub(super) child_audible: bool,
    #[command(flatten)]
    pub(super) chair: ChairArguments,
    /// When it was recorded: a home is quieter while a guest is there
    #[arg(long, value_enum)]
    pub(super) when: Option<When>,
    /// Write a picture: bands, level over time with its sudden sounds, and the decay if it was asked for
    #[arg(long, value_name = "FILE.svg")]
    pub(super) chart: Option<PathBuf>,
}

/// What a microphone of this computer is asked for.
#[derive(Debug, Args)]
#[command(next_help_heading = "Microphone")]
pub(super) struct MicrophoneArguments {
    /// Record the room now for so many seconds; nothing of the sound is kept
    #[arg(long, value_name = "SECONDS", group = "referenced")]
    pub(super) record: Option<f64>,
    /// The device to record with; left out: the microphone this computer uses
    #[arg(long, value_name = "DEVICE")]
    pub(super) device: Option<String>,
    /// List what can record, and the stored calibrations
    #[arg(long, conflicts_with_all = ["record", "calibrate"])]
    pub(super) devices: bool,
    /// Keep the recording as a WAV file that only you can read; a recording of a home is personal
    #[arg(long, value_name = "FILE.wav", requires = "record")]
    pub(super) keep: Option<PathBuf>,
    /// Set a rung's sound at the child's chair: DB as a meter would read it, or `voice` (quieter than --voice)
    #[arg(long, value_name = "DB|voice", requires = "record", value_parser = target)]
    pub(super) target: Option<Target>,
    /// Store this device's calibration under NAME, from --offset, --reference or --record with --reference-db
    #[arg(long, value_name = "NAME", conflicts_with_all = ["profile", "target", "voice", "decay"])]
    pub(super) calibrate: Option<String>,
    /// What --reference-db was read from
    #[arg(long, value_enum, requires = "calibrate", default_value_t = Reading::Meter)]
    pub(super) against: Reading,
}

/// What a level was read from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Reading {
    /// A sound level meter of class 2 (doubt 1.5 dB).
    Meter,
    /// Another telephone (doubt 4 dB).
    Phone,
    /// A calibrator of 1 kHz on the microphone (doubt 2 dB).
    Calibrator,
}

/// When a recording was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum When {
    /// While the child usually learns.
    Learning,
    /// While a visitor was there.
    Visit,
}

fn target(word: &str) -> Result<Target, String> {
    if word == "voice" {
        return Ok(Target::Voice);
    }
    word.parse().map(Target::Level).map_err(|_| "a number of decibels, or `voice`".to_owned())
}

#[derive(Debug, Subcommand)]
pub(super) enum CaseCommand {
    /// Make a case folder
    #[command(
        after_help = "Example:\n  stillroom case new clover --alias Clover --born 2022-07 --keep \"picture schedule\""
    )]
    New {
        /// The folder, which must be empty or not there yet
        dir: PathBuf,
        /// A name that only the people of the case know: a plant, an animal; never the child's
        #[arg(long)]
        alias: String,
        /// The alias looks like a name or a date, and is neither
        #[arg(long)]
        sure: bool,
        /// Month of birth, never a day
        #[arg(long, value_name = "YYYY-MM")]
        born: Option<String>,
        /// What must stay in reach; may be given several times
        #[arg(long)]
        keep: Vec<String>,
        /// Does any sound make the child cover the ears, cry, freeze or leave?
        #[arg(long, value_enum, default_value_t = Asked::Open)]
        sound_sensitive: Asked,
        /// Has hearing been checked?
        #[arg(long, value_enum, default_value_t = Asked::Open)]
        hearing_checked: Asked,
        /// A sound that is never used, in a few words; may be given several times
        #[arg(long, value_name = "NAME")]
        excluded_sound: Vec<String>,
    },
    /// Write the child's record anew: keep, sounds, hearing
    ///
    /// What is left out stays as it is. The newer record names the one it replaces, which stays readable.
    #[command(
        after_help = "Example:\n  stillroom case child clover --sound-sensitive yes --excluded-sound \"vacuum cleaner\" --hearing-checked yes --by clinician"
    )]
    Child(ChildArguments),
    /// List the records of a case, oldest first
    List {
        /// The case folder
        dir: PathBuf,
    },
    /// Show a case at a glance
    Show {
        /// The case folder
        dir: PathBuf,
    },
    #[command(flatten)]
    Keep(KeepCommand),
}

/// An answer to a question that may not have been asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Asked {
    /// Yes.
    Yes,
    /// No.
    No,
    /// Not asked yet.
    #[value(name = "not-asked")]
    Open,
}

impl Asked {
    /// The word stored in a record.
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Yes => "yes",
            Self::No => "no",
            Self::Open => "not asked",
        }
    }
}
