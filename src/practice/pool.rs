//! The rows that the decision table reads: one a session, or one a day where sittings are added up.
//!
//! Sittings of one date, task, place, rung and kind make one row. A sitting without its distractor gives no answers
//! to the row, but its distress does count; the row is void only when every sitting was. The row stands where its
//! last sitting stood, so that the newest row always holds the newest sitting.

use jiff::civil::Date;

use super::session::{Kind, Log, Session};

/// What the decision table knows of a session or a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Row {
    pub(super) date: Date,
    pub(super) rung: u32,
    pub(super) opportunities: u64,
    pub(super) independent: u64,
    pub(super) distress: bool,
    pub(super) assent: bool,
    /// Every sitting lacked the distractor of its rung.
    pub(super) void: bool,
    /// At least one sitting did.
    pub(super) partly_void: bool,
    /// Never [`Kind::Harm`] or [`Kind::Cleared`]: those are ordinary, with a flag.
    pub(super) kind: Kind,
    pub(super) harm: bool,
    pub(super) cleared: bool,
    /// A clinician has lifted the pause since.
    pub(super) lifted: bool,
}

impl Row {
    fn of(session: &Session) -> Self {
        let kind = session.kind();
        let (harm, cleared) = (kind == Kind::Harm, kind == Kind::Cleared);
        Self {
            date: session.date,
            rung: session.rung,
            opportunities: session.opportunities.into(),
            independent: session.independent.into(),
            distress: session.was_distressed(),
            assent: session.assent,
            void: session.is_void(),
            partly_void: session.is_void(),
            kind: if harm || cleared { Kind::Ordinary } else { kind },
            harm,
            cleared,
            lifted: session.details.lifted,
        }
    }

    fn add(&mut self, other: &Self) {
        if self.void && !other.void {
            (self.opportunities, self.independent) = (other.opportunities, other.independent);
        } else if self.void == other.void {
            self.opportunities += other.opportunities;
            self.independent += other.independent;
        }
        self.void &= other.void;
        self.partly_void |= other.partly_void;
        self.distress |= other.distress;
        self.assent &= other.assent;
        self.harm |= other.harm;
    }

    /// Answered alone, as a share of the opportunities; `None` without opportunities.
    pub(super) fn share(&self) -> Option<f64> {
        (self.opportunities > 0).then(|| self.independent as f64 / self.opportunities as f64)
    }

    /// Something that counts for safety.
    pub(super) fn is_safety_event(&self) -> bool {
        self.distress || !self.assent || self.harm
    }
}

/// The rows of a log, oldest first.
pub(super) fn rows(log: &Log, pool_by_day: bool) -> Vec<Row> {
    if !pool_by_day {
        return log.sessions().iter().map(Row::of).collect();
    }
    let mut pooled = Vec::new();
    for day in log.sessions().chunk_by(|a, b| a.date == b.date) {
        pool_day(day, &mut pooled);
    }
    pooled
}

fn pool_day(day: &[Session], pooled: &mut Vec<Row>) {
    let mut groups: Vec<(&Session, usize, Row)> = Vec::new();
    for (at, session) in day.iter().enumerate() {
        let row = Row::of(session);
        // The latest group of that kind; a session after a lifted pause starts its own, for what came before is behind it.
        let same = groups.iter_mut().rev().find(|(first, _, group)| {
            first.task == session.task
                && first.place == session.place
                && group.rung == row.rung
                && group.kind == row.kind
                && group.lifted == row.lifted
        });
        match same {
            Some((_, last, group)) if !row.cleared => {
                *last = at;
                group.add(&row);
            }
            _ => groups.push((session, at, row)),
        }
    }
    groups.sort_by_key(|(_, last, _)| *last);
    pooled.extend(groups.into_iter().map(|(_, _, row)| row));
}
