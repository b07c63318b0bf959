//! Why a decision is what it is: a code for programs, a sentence for people that says what to do next.

use std::fmt;

use jiff::civil::Date;

/// How many were answered alone on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Score {
    /// The day.
    pub date: Date,
    /// Answered alone.
    pub independent: u64,
    /// Opportunities given.
    pub opportunities: u64,
}

impl fmt::Display for Score {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} of {} ({})", self.independent, self.opportunities, self.date)
    }
}

/// How many rows of the safety window call for a pause.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pause {
    /// Rows with distress or without assent.
    pub affected: usize,
    /// Rows in the window.
    pub window: usize,
}

/// One reason. The reason that decided comes first in a review; the others are told as well.
#[derive(Clone, Debug, PartialEq)]
pub enum Reason {
    /// Somebody was hurt or the child ran off.
    Harm {
        /// When.
        dates: Vec<Date>,
    },
    /// The child was distressed.
    Distress {
        /// When.
        dates: Vec<Date>,
        /// Whether practice pauses for it.
        pause: Option<Pause>,
    },
    /// The child did not come or stay willingly.
    AssentWithdrawn {
        /// When.
        dates: Vec<Date>,
        /// Whether practice pauses for it.
        pause: Option<Pause>,
    },
    /// Half or fewer alone, twice running.
    TwoLowSessions {
        /// The rung.
        rung: u32,
        /// The two, older first.
        scores: [Score; 2],
    },
    /// The passed rung no longer holds, seen twice.
    MaintenanceLost {
        /// The passed rung.
        rung: u32,
        /// The two, older first.
        scores: [Score; 2],
    },
    /// The passed rung was weak when last looked at.
    MaintenanceLow {
        /// The passed rung.
        rung: u32,
        /// The look back.
        score: Score,
    },
    /// Mastery.
    CriterionMet {
        /// The rung.
        rung: u32,
        /// The passes in a row, oldest first.
        scores: Vec<Score>,
    },
    /// Many sessions without a rise.
    Stalled {
        /// The rung.
        rung: u32,
        /// Sessions counted.
        counted: usize,
        /// The slope's lower bound, share a day.
        low: f64,
    },
    /// Passes enough, but on one day.
    SameDaySessions {
        /// The day.
        date: Date,
        /// Passes in a row.
        streak: usize,
    },
    /// Passes begun, not yet enough.
    OneSessionShort {
        /// Passes in a row.
        streak: usize,
        /// Passes needed.
        needed: usize,
        /// The newest pass.
        score: Score,
    },
    /// Fewer than two sessions count.
    NotEnoughData {
        /// Sessions counted.
        counted: usize,
        /// The rung.
        rung: u32,
    },
    /// Not there yet, and rising or not shown to be flat.
    Rising {
        /// Sessions counted.
        counted: usize,
        /// Share a day.
        per_day: f64,
        /// Lower bound.
        low: f64,
    },
    /// Neither mastered nor low.
    BetweenBounds {
        /// Sessions counted.
        counted: usize,
        /// The newest of them.
        score: Score,
    },
    /// Safety events keep coming back.
    DistressPattern {
        /// Rows with one.
        affected: usize,
        /// Rows looked at.
        of: usize,
    },
    /// A second step back from the same rung.
    BackAgain {
        /// The rung.
        rung: u32,
    },
    /// Sessions without their distractor.
    DistractorAbsent {
        /// When.
        dates: Vec<Date>,
    },
    /// Sessions too short to count.
    TooFewOpportunities {
        /// Those.
        scores: Vec<Score>,
    },
    /// A long gap, after which counting starts anew.
    GapRestartsCount {
        /// The last session before it.
        from: Date,
        /// The first session after it.
        to: Date,
    },
    /// A look back at the passed rung is due.
    MaintenanceDue {
        /// The passed rung.
        rung: u32,
        /// The day on which it fell due.
        due: Date,
    },
}

/// What distress asks of the next session. Convention; the sentence is the same wherever distress is named.
const GENTLER: &str = "Next time begin in the cleared room, with half as many opportunities, and end early.";

impl Reason {
    /// The code for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Harm { .. } => "harm",
            Self::Distress { .. } => "distress",
            Self::AssentWithdrawn { .. } => "assent-withdrawn",
            Self::TwoLowSessions { .. } => "two-low-sessions",
            Self::MaintenanceLost { .. } => "maintenance-lost",
            Self::MaintenanceLow { .. } => "maintenance-low",
            Self::CriterionMet { .. } => "criterion-met",
            Self::Stalled { .. } => "stalled",
            Self::SameDaySessions { .. } => "same-day-sessions",
            Self::OneSessionShort { .. } => "one-session-short",
            Self::NotEnoughData { .. } => "not-enough-data",
            Self::Rising { .. } => "rising",
            Self::BetweenBounds { .. } => "between-bounds",
            Self::DistressPattern { .. } => "distress-pattern",
            Self::BackAgain { .. } => "back-again",
            Self::DistractorAbsent { .. } => "distractor-absent",
            Self::TooFewOpportunities { .. } => "too-few-opportunities",
            Self::GapRestartsCount { .. } => "gap-restarts-count",
            Self::MaintenanceDue { .. } => "maintenance-due",
        }
    }

    /// What was seen, with numbers and dates, and what to do next.
    pub fn text(&self) -> String {
        match self {
            Self::Harm { dates } => format!(
                "Someone was hurt or the child ran off on {}. Stop practice and call the clinician; go on only after \
                 the clinician has written down that it may go on. {GENTLER}",
                list(dates)
            ),
            Self::Distress { dates, pause } => {
                format!("The child was distressed on {}. {}{GENTLER}", list(dates), paused(pause.as_ref()))
            }
            Self::AssentWithdrawn { dates, pause } => format!(
                "The child did not want to come or to stay on {}; leaving was the right of the child. {}{GENTLER}",
                list(dates),
                paused(pause.as_ref())
            ),
            Self::TwoLowSessions { rung: 0, scores } => format!(
                "In the cleared room two sessions running were answered alone half of the time or less: {}. The task \
                 is too long or too hard as it stands: break it into smaller parts and begin with one of them.",
                list(scores)
            ),
            Self::TwoLowSessions { rung, scores } => format!(
                "On rung {rung} two sessions running were answered alone half of the time or less: {}. Go back to \
                 rung {} and look for a smaller step up: fewer, farther, quieter, shorter or covered.",
                list(scores),
                rung.saturating_sub(1)
            ),
            Self::MaintenanceLost { rung, scores } => format!(
                "Rung {rung} was passed, but two looks back at it were under 8 of 10: {}. Go back to rung {rung} \
                 until it holds again.",
                list(scores)
            ),
            Self::MaintenanceLow { rung, score } => format!(
                "Rung {rung} was passed, but the last look back at it was {score}, under 8 of 10. Stay here and look \
                 back at rung {rung} again within 3 days."
            ),
            Self::CriterionMet { rung, scores } => format!(
                "Rung {rung} is mastered: {} alone, calm and willing. Go on to rung {}, and look back at rung {rung} \
                 after a week.",
                list(scores),
                rung + 1
            ),
            Self::Stalled { rung, counted, low } => format!(
                "{counted} sessions count on rung {rung} and their share does not clearly rise (lower bound of the \
                 trend {} a day). Break this rung into smaller steps and look at the list of what to try when stuck.",
                signed_points(*low)
            ),
            Self::SameDaySessions { date, streak } => format!(
                "{streak} passes in a row, all on {date}. Stay on this rung for one more pass on another day; going \
                 on needs two days."
            ),
            Self::OneSessionShort { streak, needed, score } => format!(
                "{streak} of {needed} passes in a row, the newest {score}. Stay on this rung: {} more like it, on \
                 another day, will do.",
                plural(needed.saturating_sub(*streak), "session")
            ),
            Self::NotEnoughData { counted, rung } => format!(
                "{} on rung {rung} so far with 10 opportunities or more{}; a decision needs at least two. Stay on \
                 this rung and go on.",
                plural(*counted, "session"),
                if *rung == 0 { "" } else { " and the distractor on" }
            ),
            Self::Rising { counted, per_day, low } => format!(
                "{counted} sessions count and the trend is {} a day (lower bound {}). Stay on this rung and go on as \
                 now.",
                signed_points(*per_day),
                signed_points(*low)
            ),
            Self::BetweenBounds { counted, score } => format!(
                "{} so far, the newest {score}: not mastered yet, and not low twice running. Stay on this rung and go on.",
                plural(*counted, "session")
            ),
            Self::DistressPattern { affected, of } => format!(
                "Distress, leaving or harm in {affected} of the last {}. Talk with the clinician about what the child \
                 needs before the next step.",
                plural(*of, "session")
            ),
            Self::BackAgain { rung } => format!(
                "This is not the first step back from rung {rung}. Ask the clinician for a half step below it: fewer, \
                 farther, quieter, shorter or covered."
            ),
            Self::DistractorAbsent { dates } => format!(
                "The distractor of this rung was not on on {}, so those sessions do not count for it. Check that it \
                 is on before the next one.",
                list(dates)
            ),
            Self::TooFewOpportunities { scores } => format!(
                "Fewer than 10 opportunities: {}. They do not count towards a pass. Stopping early can be right; \
                 when the child is willing, give 10 or spread them over the day.",
                list(scores)
            ),
            Self::GapRestartsCount { from, to } => format!(
                "More than 10 days lie between {from} and {to}, so counting starts anew on {to}. Practise on two days \
                 a week or more to keep it going."
            ),
            Self::MaintenanceDue { rung, due } => format!(
                "A look back at rung {rung} has been due since {due}. Give it at least 4 opportunities and begin the \
                 note with `maintenance`."
            ),
        }
    }
}

fn paused(pause: Option<&Pause>) -> String {
    pause.map_or_else(String::new, |Pause { affected, window }| {
        format!(
            "Together, {affected} of the last {} had distress or were left: pause, and call the clinician before the \
             next session. ",
            plural(*window, "session")
        )
    })
}

/// `a`, `a and b`, or `a, b and c`; beyond six the oldest are only counted.
fn list<T: fmt::Display>(things: &[T]) -> String {
    const SHOWN: usize = 6;
    let hidden = things.len().saturating_sub(SHOWN);
    let mut words: Vec<String> = things[hidden..].iter().map(ToString::to_string).collect();
    if hidden > 0 {
        words.insert(0, format!("{hidden} earlier"));
    }
    match words.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
    }
}

fn plural(count: usize, thing: &str) -> String {
    if count == 1 { format!("1 {thing}") } else { format!("{count} {thing}s") }
}

/// A share a day as percentage points.
fn signed_points(share: f64) -> String {
    let points = share * 100.0;
    // A rounded zero must not carry a sign.
    let points = if points.abs() < 0.05 { 0.0 } else { points };
    format!("{points:+.1} points").replace("+0.0", "0.0")
}
