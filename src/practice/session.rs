//! A session as it was written down, and a log of them in order.

use jiff::civil::Date;

use super::details::Details;

/// One session at one rung: what was asked, how it went, how the child was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Session {
    /// The day.
    pub date: Date,
    /// The rung practised; 0 is the cleared room.
    pub rung: u32,
    /// Opportunities given.
    pub opportunities: u32,
    /// Answered rightly and alone; an answer given while rocking, humming or looking away is a right answer.
    pub independent: u32,
    /// Answered rightly with a prompt; never counts towards a pass.
    pub prompted: u32,
    /// Answered wrongly; what is left of the opportunities had no answer.
    pub errors: u32,
    /// Whether the child was distressed.
    pub distress: bool,
    /// Whether the child came and stayed willingly.
    pub assent: bool,
    /// Whether the rung's distractor was really on.
    pub distractor_on: bool,
    /// How long it took, where noted.
    pub minutes: Option<u32>,
    /// Free words; the first may mark a kind, see [`Session::kind`].
    pub note: String,
    /// The task.
    pub task: Option<String>,
    /// The place.
    pub place: Option<String>,
    /// Who ran it, by a role or an alias.
    pub by: Option<String>,
    /// Which exemplar of the distractor it was.
    pub exemplar: Option<String>,
    /// Unsettled for more than 30 minutes afterwards, or a bad night; counts as distress.
    pub after: bool,
    /// The cells of the log's further columns, kept as they were.
    pub further: Vec<String>,
    /// What else was noted; none of it enters a score.
    pub details: Details,
}

/// What the first word of a note makes of a session.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Taught as planned.
    Ordinary,
    /// Measured, not taught.
    Baseline,
    /// A one-off try.
    Probe,
    /// A look back at a rung that was passed.
    Maintenance,
    /// Ill or unslept: counts for safety only.
    Unwell,
    /// Somebody was hurt or the child ran off: ordinary, and a safety event.
    Harm,
    /// The first session after a clinician lifted a pause; ordinary otherwise.
    Cleared,
}

impl Kind {
    /// The word for people.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ordinary => "ordinary",
            Self::Baseline => "baseline",
            Self::Probe => "probe",
            Self::Maintenance => "maintenance",
            Self::Unwell => "unwell",
            Self::Harm => "harm",
            Self::Cleared => "cleared",
        }
    }

    /// The kind a note marks.
    ///
    /// A word is a run of letters, so that `Baseline, no help` and `maintenance:` mark. A note that lifts a pause
    /// must be `cleared` alone or begin `cleared by` with somebody after it: "Cleared the table first" lifts nothing.
    pub fn of_note(note: &str) -> Self {
        let first: String = note
            .chars()
            .skip_while(|sign| !sign.is_alphabetic())
            .take_while(|sign| sign.is_alphabetic())
            .flat_map(char::to_lowercase)
            .collect();
        match first.as_str() {
            "baseline" => Self::Baseline,
            "probe" => Self::Probe,
            "maintenance" => Self::Maintenance,
            "unwell" => Self::Unwell,
            "harm" => Self::Harm,
            "cleared" if lifts(note) => Self::Cleared,
            _ => Self::Ordinary,
        }
    }
}

/// Whether a note beginning with `cleared` says that a pause was lifted.
fn lifts(note: &str) -> bool {
    let words: Vec<String> = note.split_whitespace().map(str::to_lowercase).collect();
    match words.as_slice() {
        [only] => only.trim_end_matches(['.', '!']) == "cleared",
        [first, second, ..] => first == "cleared" && second == "by" && words.len() > 2,
        [] => false,
    }
}

impl Session {
    /// The kind that the note marks.
    pub fn kind(&self) -> Kind {
        Kind::of_note(&self.note)
    }

    /// Whether the distractor that makes the rung was absent, so that the answers say nothing about the rung.
    pub fn is_void(&self) -> bool {
        !self.distractor_on && self.rung >= 1
    }

    /// Distress during the session or after it.
    pub fn was_distressed(&self) -> bool {
        self.distress || self.after
    }

    /// Whether the answers fit into the opportunities.
    pub fn adds_up(&self) -> bool {
        let answers = u64::from(self.independent) + u64::from(self.prompted) + u64::from(self.errors);
        answers <= u64::from(self.opportunities)
    }
}

/// Sessions in order: by date, and within a day as they were written.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Log {
    sessions: Vec<Session>,
    further: Vec<String>,
}

impl Log {
    /// A log of these sessions, put in order of date; those of one day keep their order.
    pub fn new(sessions: Vec<Session>) -> Self {
        Self::with_further(sessions, Vec::new())
    }

    /// A log whose sessions carry cells for these further columns.
    pub fn with_further(mut sessions: Vec<Session>, further: Vec<String>) -> Self {
        sessions.sort_by_key(|session| session.date);
        Self { sessions, further }
    }

    /// The sessions, oldest first.
    pub fn sessions(&self) -> &[Session] {
        &self.sessions
    }

    /// The names of columns beyond those that are read.
    pub fn further(&self) -> &[String] {
        &self.further
    }

    /// The newest day.
    pub fn newest_date(&self) -> Option<Date> {
        self.sessions.last().map(|session| session.date)
    }
}

/// Days from one date to a later one.
pub(super) fn days_between(from: Date, to: Date) -> i64 {
    to.duration_since(from).as_hours() / 24
}

#[cfg(test)]
mod tests {
    use super::Kind;

    #[track_caller]
    fn check(note: &str, kind: Kind) {
        assert_eq!(Kind::of_note(note), kind, "{note:?}");
    }

    #[test]
    fn the_letters_of_the_first_word_mark_the_kind_in_any_case() {
        check("Baseline, no help", Kind::Baseline);
        check("maintenance: toys out of sight again", Kind::Maintenance);
        check("  PROBE", Kind::Probe);
        check("(unwell) slept badly", Kind::Unwell);
        check("harm,bit the table edge", Kind::Harm);
    }

    #[test]
    fn a_kind_is_marked_by_its_own_word() {
        let kinds =
            [Kind::Baseline, Kind::Probe, Kind::Maintenance, Kind::Unwell, Kind::Harm, Kind::Cleared, Kind::Ordinary];
        for kind in kinds {
            check(kind.word(), kind);
        }
        assert_eq!(Kind::Ordinary.word(), "ordinary");
    }

    #[test]
    fn a_word_further_on_or_inside_another_marks_nothing() {
        check("no harm done", Kind::Ordinary);
        check("harmless fun", Kind::Ordinary);
        check("first baseline", Kind::Ordinary);
        check("", Kind::Ordinary);
        check("12", Kind::Ordinary);
    }

    #[test]
    fn only_a_clear_statement_lifts_a_pause() {
        check("cleared", Kind::Cleared);
        check("Cleared.", Kind::Cleared);
        check("cleared by the clinician", Kind::Cleared);
        check("Cleared the table first", Kind::Ordinary);
        check("cleared by", Kind::Ordinary);
        check("cleared. By the door he waited", Kind::Ordinary);
        check("clearedby the clinician", Kind::Ordinary);
    }
}
