//! What can be typed for practice: sessions, reviews, decisions, what to do when stuck, reinforcers, needs, screens, dose.

use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};

/// The commands of practice.
#[derive(Debug, Subcommand)]
pub(super) enum PracticeCommand {
    /// Note a session, take in a table of them, or sample an observation
    ///
    /// At a terminal it asks what was not given, with the likely answers ready: under half a minute. Safety is always
    /// asked and never assumed. A table is taken whole or not at all. A right answer given while rocking, flapping,
    /// humming or looking away is a right answer. On paper: `stillroom form session-sheet` prints a sheet to fill in.
    #[command(
        after_help = "Examples:\n  stillroom session --case clover\n  stillroom session --case clover --independent 8 --prompted 1 --errors 1 --distractor-on yes --distress no --assent yes\n  stillroom session --case clover --import log.csv --date-form dmy --dry-run\n  stillroom session --case clover --export sessions.csv\n  stillroom session --case clover --sample momentary --interval 15 --for 5"
    )]
    Session(Box<SessionArguments>),
    /// Decide from the sessions so far: advance, hold, step back, break down or pause
    ///
    /// One answer for each task and place, the one practised last first. The tool recommends; the clinician decides
    /// (`stillroom decide`).
    #[command(
        after_help = "Examples:\n  stillroom review --log sessions.csv --on 2026-11-20\n  stillroom review --case clover\n  stillroom review --case clover --explain --criterion 80x3\n  stillroom review --case clover --chart sessions.svg"
    )]
    Review(Box<ReviewArguments>),
    /// Store what the clinician decides
    ///
    /// It may differ from what the rules propose, with a reason. It alone lifts a pause in a case, and it alone sets
    /// another rule of mastery, which is kept with the ladder.
    #[command(
        after_help = "Examples:\n  stillroom decide --case clover --by clinician\n  stillroom decide --case clover --by clinician --decision hold --why \"one more week with grandfather\"\n  stillroom decide --case clover --by clinician --lift-pause --why \"hearing checked, vacuum cleaner stays out\"\n  stillroom decide --case clover --by clinician --criterion 80x3 --why \"tires early; keeps what it learns\""
    )]
    Decide(DecideArguments),
    /// Say what to look at when practice is stuck, and one or two things to try this week
    #[command(after_help = "Example:\n  stillroom troubleshoot --case clover")]
    Troubleshoot(TroubleshootArguments),
    /// Say what the child's own sessions tell of the scale, and how good its forecasts were
    ///
    /// How strongly each distractor draws this child against what the scale says, with 90 % intervals; for the first session of
    /// each rung a forecast from what was known before it, held against "same as last time"; and the rung whose session
    /// would teach most. Nothing is stored, and no plan or decision changes by it.
    #[command(
        after_help = "Examples:\n  stillroom evidence --case clover\n  stillroom evidence --case clover --on 2026-11-20 --format json"
    )]
    Evidence(TroubleshootArguments),
    /// Find what the child likes to work for, and when to look again
    ///
    /// Without more than --case it shows the newest scores. --offer makes the sheet of a full assessment in pairs.
    #[command(
        after_help = "Examples:\n  stillroom reinforcers --case clover\n  stillroom reinforcers --case clover --item bubbles --item train --item top --quick train\n  stillroom reinforcers --offer pairs --item bubbles --item train --item top > pairs.csv\n  stillroom reinforcers --case clover --pairs pairs.csv\n  stillroom reinforcers --case clover --item bubbles --item train --item top --round bubbles,train --round bubbles,top,train"
    )]
    Reinforcers(ReinforcerArguments),
    /// Keep notes on what self-stimulation may serve, in words
    ///
    /// It regulates and speaks. It is never counted, never brought down, and enters no decision.
    #[command(
        after_help = "Examples:\n  stillroom needs --case clover\n  stillroom needs --case clover --seen \"hums and rocks\" --before \"the vacuum cleaner next door\" --serves \"shutting the noise out\" --offered \"ear defenders\" --room \"the big cushion, whenever it likes\" --break-sign \"the red card\""
    )]
    Needs(NeedArguments),
    /// Keep a diary of screens beside the published guidance
    #[command(
        after_help = "Examples:\n  stillroom screens --case clover\n  stillroom screens --case clover --minutes 20 --what \"the train film\" --with parent --repeat"
    )]
    Screens(ScreenArguments),
    /// Plan learning times through the day, and see what was done
    #[command(
        after_help = "Examples:\n  stillroom dose --case clover\n  stillroom dose --case clover --days 5 --at \"at breakfast=3\" --at \"while cooking=4:sort the spoons\" --at \"after tea=0\""
    )]
    Dose(DoseArguments),
}

/// Yes or no.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum YesNo {
    /// Yes.
    #[value(alias = "1")]
    Yes,
    /// No.
    #[value(alias = "0")]
    No,
}

/// How dates are written in a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum DateOrder {
    /// Day, month, year.
    Dmy,
    /// Month, day, year.
    Mdy,
}

/// How an observation is sampled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Sampling {
    /// At the last instant of each interval.
    Momentary,
    /// Throughout the interval.
    Whole,
    /// At any time in the interval.
    Partial,
}

#[derive(Debug, Args)]
pub(super) struct SessionArguments {
    /// The case folder
    #[arg(long, value_name = "DIR", required_unless_present = "sample")]
    pub(super) case: Option<PathBuf>,
    /// Only say what would be stored
    #[arg(long)]
    pub(super) dry_run: bool,
    #[command(flatten)]
    pub(super) table: TableArguments,
    #[command(flatten)]
    pub(super) counts: CountArguments,
    #[command(flatten)]
    pub(super) around: AroundArguments,
    #[command(flatten)]
    pub(super) sampling: SamplingArguments,
}

/// Tables in and out.
#[derive(Debug, Args)]
#[command(next_help_heading = "Tables")]
pub(super) struct TableArguments {
    /// Take in a table; commas, semicolons or tabs, with decimal commas if need be; `-` for standard input
    #[arg(long, value_name = "FILE.csv", conflicts_with_all = ["export", "sample", "independent"])]
    pub(super) import: Option<PathBuf>,
    /// How its dates are written, where they are not 2026-10-20
    #[arg(long, value_enum, requires = "import")]
    pub(super) date_form: Option<DateOrder>,
    /// Write all sessions to a table; `-` for standard output
    #[arg(long, value_name = "FILE.csv", conflicts_with_all = ["sample", "independent"])]
    pub(super) export: Option<PathBuf>,
}

/// How the child answered.
#[derive(Debug, Args)]
#[command(next_help_heading = "The session")]
pub(super) struct CountArguments {
    /// The rung; 0 is the cleared room. Left out: the one the decision leads to
    #[arg(long)]
    pub(super) rung: Option<u32>,
    /// Opportunities given
    #[arg(long)]
    pub(super) opportunities: Option<u32>,
    /// Right without help
    #[arg(long)]
    pub(super) independent: Option<u32>,
    /// Right with help
    #[arg(long)]
    pub(super) prompted: Option<u32>,
    /// Wrong
    #[arg(long)]
    pub(super) errors: Option<u32>,
    /// Help by level: gesture, model, partial, full, such as 1,0,0,1
    #[arg(long, value_name = "G,M,P,F")]
    pub(super) prompts: Option<String>,
    /// Was the rung's distractor really on?
    #[arg(long, value_enum)]
    pub(super) distractor_on: Option<YesNo>,
    /// Was there distress?
    #[arg(long, value_enum)]
    pub(super) distress: Option<YesNo>,
    /// Did the child come and stay willingly?
    #[arg(long, value_enum)]
    pub(super) assent: Option<YesNo>,
    /// Unsettled for more than half an hour afterwards, or a bad night
    #[arg(long)]
    pub(super) after: bool,
}

/// What was around it.
#[derive(Debug, Args)]
#[command(next_help_heading = "Around it")]
pub(super) struct AroundArguments {
    /// The day; left out: today
    #[arg(long, value_name = "DATE")]
    pub(super) date: Option<String>,
    /// When it began
    #[arg(long, value_name = "HH:MM")]
    pub(super) time: Option<String>,
    /// Minutes
    #[arg(long)]
    pub(super) minutes: Option<u32>,
    /// The task; left out: as last time
    #[arg(long)]
    pub(super) task: Option<String>,
    /// The place; left out: as last time
    #[arg(long)]
    pub(super) place: Option<String>,
    /// Who ran it, by alias or role; left out: as last time
    #[arg(long)]
    pub(super) by: Option<String>,
    /// Which thing was the distractor
    #[arg(long)]
    pub(super) exemplar: Option<String>,
    /// What was worked for
    #[arg(long)]
    pub(super) reinforcer: Option<String>,
    /// The longest time at the task, in seconds
    #[arg(long, value_name = "S")]
    pub(super) attention_s: Option<u32>,
    /// Time until the answer began, in seconds
    #[arg(long, value_name = "S")]
    pub(super) latency_s: Option<u32>,
    /// Breaks the child asked for
    #[arg(long)]
    pub(super) breaks: Option<u32>,
    /// Who scored it as well
    #[arg(long)]
    pub(super) observer: Option<String>,
    /// Free words; the first may mark a kind: baseline, probe, maintenance, unwell, harm
    #[arg(long)]
    pub(super) note: Option<String>,
}

/// An observation in intervals.
#[derive(Debug, Args)]
#[command(next_help_heading = "Sampling an observation")]
pub(super) struct SamplingArguments {
    /// Watch in intervals, with a timer on the screen
    #[arg(long, value_enum)]
    pub(super) sample: Option<Sampling>,
    /// Seconds of an interval
    #[arg(long, value_name = "S", default_value_t = 15, requires = "sample", value_parser = clap::value_parser!(u32).range(2..=600))]
    pub(super) interval: u32,
    /// Minutes to watch
    #[arg(long = "for", value_name = "MINUTES", default_value_t = 5, requires = "sample", value_parser = clap::value_parser!(u32).range(1..=60))]
    pub(super) length: u32,
    /// What to look for, in words; left out: at the task
    #[arg(long, requires = "sample")]
    pub(super) what: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct ReviewArguments {
    /// The case folder
    #[arg(long, value_name = "DIR", conflicts_with = "log", required_unless_present = "log")]
    pub(super) case: Option<PathBuf>,
    /// A session log; `-` for standard input
    #[arg(long, value_name = "FILE.csv")]
    pub(super) log: Option<PathBuf>,
    /// The day to decide for; left out: the log's newest day, in a case today
    #[arg(long, value_name = "DATE")]
    pub(super) on: Option<String>,
    /// Tell how often the rule would move a child of 70, 80 or 90 % up or back within 12 sessions
    #[arg(long)]
    pub(super) explain: bool,
    /// Try another rule of mastery without storing it: 90x2, 80x3, 80x3/2 (percent x sessions / days)
    #[arg(long, value_name = "RULE")]
    pub(super) criterion: Option<String>,
    /// One task only
    #[arg(long)]
    pub(super) task: Option<String>,
    /// One place only
    #[arg(long)]
    pub(super) place: Option<String>,
    /// Draw the graph as a picture too
    #[arg(long, value_name = "FILE.svg")]
    pub(super) chart: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct DecideArguments {
    /// The case folder
    #[arg(long, value_name = "DIR")]
    pub(super) case: PathBuf,
    /// Who answers for it, by role or initials
    #[arg(long)]
    pub(super) by: String,
    /// advance, hold, step-back, break-down or pause; left out: what the rules propose
    #[arg(long, value_name = "DECISION")]
    pub(super) decision: Option<String>,
    /// Why; needed where it differs from what the rules propose
    #[arg(long)]
    pub(super) why: Option<String>,
    /// Practice goes on after a pause
    #[arg(long)]
    pub(super) lift_pause: bool,
    /// Another rule of mastery from now on, kept with the ladder: 90x2, 80x3
    #[arg(long, value_name = "RULE")]
    pub(super) criterion: Option<String>,
    /// The task, where there are several
    #[arg(long)]
    pub(super) task: Option<String>,
    /// The place, where there are several
    #[arg(long)]
    pub(super) place: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct TroubleshootArguments {
    /// The case folder
    #[arg(long, value_name = "DIR")]
    pub(super) case: PathBuf,
    /// The day; left out: today
    #[arg(long, value_name = "DATE")]
    pub(super) on: Option<String>,
    /// One task only
    #[arg(long)]
    pub(super) task: Option<String>,
    /// One place only
    #[arg(long)]
    pub(super) place: Option<String>,
}

/// What a sheet is made for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Offer {
    /// Two at a time, every pair once.
    Pairs,
}

#[derive(Debug, Args)]
#[command(group = clap::ArgGroup::new("found").args(["quick", "nothing", "pairs", "round", "offer"]))]
pub(super) struct ReinforcerArguments {
    /// The case folder
    #[arg(long, value_name = "DIR", required_unless_present = "offer")]
    pub(super) case: Option<PathBuf>,
    /// Something on offer; given several times
    #[arg(long = "item", value_name = "THING")]
    pub(super) items: Vec<String>,
    /// Quick check: what the child took of the items
    #[arg(long, value_name = "THING", requires = "items")]
    pub(super) quick: Option<String>,
    /// Quick check: it took nothing
    #[arg(long, requires = "items")]
    pub(super) nothing: bool,
    /// A filled sheet of pairs; `-` for standard input
    #[arg(long, value_name = "FILE.csv")]
    pub(super) pairs: Option<PathBuf>,
    /// One round without putting back: the things in the order they were taken; given for each round
    #[arg(long, value_name = "THING,THING…", requires = "items")]
    pub(super) round: Vec<String>,
    /// Make the sheet of an assessment
    #[arg(long, value_enum, requires = "items")]
    pub(super) offer: Option<Offer>,
    /// Who was there
    #[arg(long)]
    pub(super) by: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct NeedArguments {
    /// The case folder
    #[arg(long, value_name = "DIR")]
    pub(super) case: PathBuf,
    /// What was seen, in words
    #[arg(long, requires = "before")]
    pub(super) seen: Option<String>,
    /// What was there before it
    #[arg(long, requires = "seen")]
    pub(super) before: Option<String>,
    /// The need it may serve
    #[arg(long, requires = "seen")]
    pub(super) serves: Option<String>,
    /// What was offered for it
    #[arg(long, requires = "seen")]
    pub(super) offered: Option<String>,
    /// Where and when there is room for it outside learning time
    #[arg(long = "room", requires = "seen")]
    pub(super) room_for_it: Option<String>,
    /// How the child asks for a break
    #[arg(long, requires = "seen")]
    pub(super) break_sign: Option<String>,
    /// Who writes it
    #[arg(long)]
    pub(super) by: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct ScreenArguments {
    /// The case folder
    #[arg(long, value_name = "DIR")]
    pub(super) case: PathBuf,
    /// Minutes of one stretch
    #[arg(long)]
    pub(super) minutes: Option<u32>,
    /// What ran
    #[arg(long, requires = "minutes")]
    pub(super) what: Option<String>,
    /// With whom: alone, parent, grandparent, adult, sibling …
    #[arg(long, value_name = "WHOM", requires = "minutes")]
    pub(super) with: Option<String>,
    /// The same again, as seen before
    #[arg(long, requires = "minutes")]
    pub(super) repeat: bool,
    /// The day; left out: today
    #[arg(long, value_name = "DATE")]
    pub(super) date: Option<String>,
    /// Who writes it
    #[arg(long)]
    pub(super) by: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct DoseArguments {
    /// The case folder
    #[arg(long, value_name = "DIR")]
    pub(super) case: PathBuf,
    /// A time of the day and its opportunities, such as "while cooking=4:sort the spoons"; 0 is the child's own time
    #[arg(long, value_name = "WHEN=N[:WHAT]")]
    pub(super) at: Vec<String>,
    /// Days a week it is meant for
    #[arg(long, value_name = "N", default_value_t = 5, requires = "at")]
    pub(super) days: u32,
    /// Who plans
    #[arg(long)]
    pub(super) by: Option<String>,
}
