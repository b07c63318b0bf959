//! What the decision table looks at: the run on one rung, what of it is live, the streak, the safety window, the looks
//! back at the passed rung.
//!
//! The definitions are this tool's own conventions; where a number follows a published finding it is named.

use jiff::civil::Date;

use super::pool::Row;
use super::reason::Score;
use super::session::{Kind, days_between};

/// A pass needs as many opportunities; trials of the trade come in tens. Convention.
pub(super) const COUNTED: u64 = 10;
/// A session is low, and a look back counts, from as many. Convention: a failing session is ended early.
const ENOUGH: u64 = 4;
/// Days without practice after which counting starts anew. Convention: who practises every Saturday has no gap.
const GAP_DAYS: i64 = 10;
/// Rows looked at for safety, and for a pattern.
const WINDOW: usize = 5;
const PATTERN_WINDOW: usize = 15;
/// Looks back at a passed rung fall due after as many days, and may come this much earlier. Common practice, no source.
const MAINTENANCE_DAYS: [i64; 4] = [7, 14, 28, 56];
const EARLY_DAYS: i64 = 3;

/// What mastery of a rung is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Criterion {
    /// Tenths of the opportunities answered alone.
    pub tenths: u64,
    /// Sessions in a row.
    pub sessions: usize,
    /// Different days among them.
    pub dates: usize,
}

impl Criterion {
    /// Nine tenths in two sessions on two dates. 90 % keeps better than 80 % [FULLER2018, LONGINO2022].
    pub const NINE_TENTHS_TWICE: Self = Self { tenths: 9, sessions: 2, dates: 2 };
    /// Eight tenths in three sessions on two dates or more.
    pub const EIGHT_TENTHS_THRICE: Self = Self { tenths: 8, sessions: 3, dates: 2 };

    fn share_reached(self, row: &Row) -> bool {
        10 * row.independent >= self.tenths * row.opportunities
    }
}

impl Default for Criterion {
    fn default() -> Self {
        Self::NINE_TENTHS_TWICE
    }
}

/// The rung that was passed last, and the looks back at it.
pub(super) struct Passed<'a> {
    pub(super) rung: u32,
    left: Date,
    pub(super) probes: Vec<&'a Row>,
}

/// All that the table needs.
pub(super) struct Findings<'a> {
    pub(super) rung: u32,
    pub(super) newest: Option<&'a Row>,
    /// Live rows, oldest first.
    pub(super) live: Vec<&'a Row>,
    pub(super) counted: Vec<&'a Row>,
    /// The passes of the streak, oldest first.
    pub(super) streak: Vec<&'a Row>,
    pub(super) window: Vec<&'a Row>,
    pub(super) pattern: Vec<&'a Row>,
    pub(super) gap: Option<(Date, Date)>,
    /// Days since the last gap on which the distractor was absent.
    pub(super) absent: Vec<Date>,
    pub(super) passed: Option<Passed<'a>>,
}

/// Looks through the rows of one task at one place, oldest first. Safety looks at `whole`, the rows of all tasks and
/// places, of which those before `lifted` (an index) and those marked so lie behind a lifted pause.
pub(super) fn find<'a>(rows: &'a [Row], whole: &'a [Row], lifted: usize, criterion: Criterion) -> Findings<'a> {
    let since: Vec<&Row> = whole[lifted.min(whole.len())..].iter().filter(|row| !row.lifted).collect();
    let newest = |most: usize| since[since.len().saturating_sub(most)..].to_vec();
    let run = newest_run(rows);
    let rung = run.first().or(rows.last().as_ref()).map_or(0, |row| row.rung);
    let first_live = first_live(&run);
    let live: Vec<&Row> = run[first_live..].iter().copied().filter(|row| !row.void).collect();
    let counted: Vec<&Row> = live.iter().copied().filter(|row| row.opportunities >= COUNTED).collect();
    let gap = (first_live > 0)
        .then(|| run[..first_live].iter().rev().find(|row| !row.void).map(|row| row.date))
        .flatten()
        .zip(live.first().map(|row| row.date));
    let mut absent: Vec<Date> = run[first_live..].iter().filter(|row| row.partly_void).map(|row| row.date).collect();
    absent.dedup();
    Findings {
        rung,
        newest: whole.last(),
        streak: streak(&live, criterion),
        live,
        counted,
        window: newest(WINDOW),
        pattern: newest(PATTERN_WINDOW),
        gap,
        absent,
        passed: passed(rows, rung),
    }
}

/// The newest unbroken block of ordinary rows on one rung, oldest first.
fn newest_run(rows: &[Row]) -> Vec<&Row> {
    let mut ordinary = rows.iter().rev().filter(|row| row.kind == Kind::Ordinary).peekable();
    let rung = ordinary.peek().map(|row| row.rung);
    let mut run: Vec<&Row> = ordinary.take_while(|row| Some(row.rung) == rung).collect();
    run.reverse();
    run
}

/// Where the part after the last gap begins: 0 without a gap, else at the first row that is not void after it.
fn first_live(run: &[&Row]) -> usize {
    let (mut first, mut before) = (0, None);
    for (at, row) in run.iter().enumerate().filter(|(_, row)| !row.void) {
        if before.replace(row.date).is_some_and(|before| days_between(before, row.date) > GAP_DAYS) {
            first = at;
        }
    }
    first
}

fn is_pass(row: &Row, criterion: Criterion) -> bool {
    row.opportunities >= COUNTED && criterion.share_reached(row) && !row.distress && row.assent
}

fn streak<'a>(live: &[&'a Row], criterion: Criterion) -> Vec<&'a Row> {
    let mut passes = Vec::new();
    for row in live.iter().rev() {
        if is_pass(row, criterion) {
            passes.push(*row);
            continue;
        }
        let short_and_well = row.opportunities < COUNTED && criterion.share_reached(row) && !row.distress && row.assent;
        if !short_and_well {
            break;
        }
    }
    passes.reverse();
    passes
}

fn passed(rows: &[Row], rung: u32) -> Option<Passed<'_>> {
    let ordinary = || rows.iter().filter(|row| row.kind == Kind::Ordinary);
    let rung = ordinary().map(|row| row.rung).filter(|passed| *passed < rung).max()?;
    let left = ordinary().rfind(|row| row.rung == rung)?.date;
    let is_probe = |row: &&Row| {
        row.kind == Kind::Maintenance
            && row.rung == rung
            && row.date >= left
            && row.opportunities >= ENOUGH
            && !row.void
    };
    Some(Passed { rung, left, probes: rows.iter().filter(is_probe).collect() })
}

impl Row {
    /// Half or fewer answered alone, of enough to tell.
    fn is_low(&self) -> bool {
        2 * self.independent <= self.opportunities
    }

    /// Under eight tenths in a look back.
    pub(super) fn is_weak(&self) -> bool {
        10 * self.independent < 8 * self.opportunities
    }

    pub(super) fn score(&self) -> Score {
        Score { date: self.date, independent: self.independent, opportunities: self.opportunities }
    }
}

impl Findings<'_> {
    /// The two newest live rows with enough opportunities, older first, if both are low.
    pub(super) fn two_low(&self) -> Option<[Score; 2]> {
        let mut enough = self.live.iter().rev().filter(|row| row.opportunities >= ENOUGH);
        let (newer, older) = (enough.next()?, enough.next()?);
        (newer.is_low() && older.is_low()).then(|| [older.score(), newer.score()])
    }

    /// Dates of the window's rows that pass a test.
    pub(super) fn window_dates(&self, test: impl Fn(&Row) -> bool) -> Vec<Date> {
        let mut dates: Vec<Date> = self.window.iter().filter(|row| test(row)).map(|row| row.date).collect();
        dates.dedup();
        dates
    }

    /// Different days in the streak.
    pub(super) fn streak_dates(&self) -> usize {
        self.streak.chunk_by(|a, b| a.date == b.date).count()
    }
}

impl Passed<'_> {
    /// The day on which a look back fell due, if none has been made since shortly before it.
    pub(super) fn due(&self, today: Date) -> Option<Date> {
        let away = days_between(self.left, today);
        let wait = MAINTENANCE_DAYS.into_iter().rev().find(|wait| *wait <= away)?;
        let seen = self.probes.iter().any(|row| days_between(self.left, row.date) >= wait - EARLY_DAYS);
        if seen { None } else { self.left.checked_add(jiff::Span::new().try_days(wait).ok()?).ok() }
    }
}
