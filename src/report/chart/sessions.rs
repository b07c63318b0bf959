//! The single-case graph: share of independent answers session by session, as the field draws it.
//!
//! Data paths stop at phase lines and at gaps, baseline is open, the criterion is a dashed line; distress and
//! withdrawn assent have rows of their own under the axis, so that no score can hide them.

use maud::{Markup, html};

use super::axis::Scale;
use super::draw::{Fill, Frame, Hold, Ink, Layout, line, n, polyline, text, width_of};
use crate::report::{SessionKind, SessionPoint, say};

/// Neighbouring sessions further apart than this break the path, days. Ours; the same as in the decision.
const GAP_DAYS: i32 = 10;

/// Sessions drawn side by side on a wide page; earlier ones are left off.
pub(crate) const SESSIONS_WIDE: usize = 80;

/// Sessions drawn side by side on a telephone.
pub(crate) const SESSIONS_NARROW: usize = 30;

/// Height of a row of marks below the axis.
const STRIP: f64 = 20.0;

/// What is drawn.
pub(crate) struct SessionGraph<'a> {
    /// All sessions, in order.
    pub(crate) sessions: &'a [SessionPoint],
    /// The share that passes, 0 to 1.
    pub(crate) criterion: f64,
    /// Whether it brings its own paper, because it stands alone.
    pub(crate) paper: bool,
}

/// A stretch of sessions on one rung, or of baseline.
struct Phase {
    start: usize,
    label: [String; 3],
}

impl SessionGraph<'_> {
    /// The chart in one width.
    pub(crate) fn draw(&self, id: &str, layout: Layout) -> Markup {
        let most = if layout.narrow() { SESSIONS_NARROW } else { SESSIONS_WIDE };
        let left_off = self.sessions.len().saturating_sub(most);
        let shown = &self.sessions[left_off..];
        let marks: Vec<Mark> =
            Mark::ALL.into_iter().filter(|mark| shown.iter().any(|session| mark.is_on(session))).collect();
        let kinds = kinds(shown);
        let (top, foot) = (30.0, if layout.narrow() { 210.0 } else { 240.0 });
        let strips = STRIP * marks.len() as f64;
        let dates = foot + strips + 20.0;
        let legend_rows = legend_rows(&kinds, layout);
        let height = dates + 30.0 + 20.0 * legend_rows.len() as f64;
        let desc = self.desc(left_off);
        let frame = Frame {
            id,
            class: layout.class(),
            width: layout.width(),
            height,
            title: "Session by session",
            desc: &desc,
        };
        let left = if layout.narrow() { 42.0 } else { 60.0 };
        let x = Scale { from: (-0.6, (shown.len() as f64 - 0.4).max(0.4)), to: (left, layout.width() - 8.0) };
        let y = Scale { from: (0.0, 1.0), to: (foot, top) };
        let phases = phases(shown);
        let body = html! {
            @if self.paper { (frame.area(Fill::Paper, [0.0, 0.0, frame.width, frame.height], None)) }
            @for tick in [0.0, 0.25, 0.5, 0.75, 1.0] {
                (line([left, y.at(tick), x.to.1, y.at(tick)], Ink::Rule, 0.8, None))
                (text(left - 6.0, y.at(tick) + 4.5, Hold::End, Ink::Quiet, 12.5, &format!("{}%", say::short(tick * 100.0))))
            }
            (line([left, y.at(self.criterion), x.to.1, y.at(self.criterion)], Ink::Text, 1.3, Some("7 4")))
            (self.phase_lines(&phases, shown.len(), &x, &y))
            @for run in runs(shown, &phases) {
                (polyline(&run.iter().map(|(k, share)| (x.at(*k as f64), y.at(*share))).collect::<Vec<_>>(), Ink::Deep, 1.6, None))
            }
            @for (k, session) in shown.iter().enumerate() {
                @if let Some(share) = session.share {
                    (marker(session.kind, (x.at(k as f64), y.at(share)), Some(share)))
                }
            }
            (line([left, foot, x.to.1, foot], Ink::Text, 1.2, None))
            (line([left, top, left, foot], Ink::Text, 1.2, None))
            @for k in gaps(shown) {
                (gap((x.at(k as f64) + x.at(k as f64 + 1.0)) / 2.0, foot))
            }
            @for (row, mark) in marks.iter().enumerate() { (mark.strip(shown, &x, foot + 18.0 + STRIP * row as f64)) }
            (dates_below(shown, &x, dates, layout))
            @for (row, entries) in legend_rows.iter().enumerate() {
                (legend(entries, dates + 26.0 + 20.0 * row as f64))
            }
        };
        frame.svg(&body)
    }

    fn phase_lines(&self, phases: &[Phase], count: usize, x: &Scale, y: &Scale) -> Markup {
        html! {
            @for (k, phase) in phases.iter().enumerate() {
                @let end = phases.get(k + 1).map_or(count, |next| next.start);
                @let (from, to) = (if k == 0 { x.to.0 } else { x.at(phase.start as f64 - 0.5) }, x.at(end as f64 - 0.5));
                @if k > 0 {
                    (line([from, 8.0, from, y.to.0], Ink::Text, 1.2, None))
                }
                @if let Some(label) = phase.label.iter().find(|label| width_of(label, 13.0) + 4.0 <= to - from) {
                    (text((from + to) / 2.0, 18.0, Hold::Middle, Ink::Text, 13.0, label))
                }
            }
        }
    }

    fn desc(&self, left_off: usize) -> String {
        let count = say::count(self.sessions.len(), "session", "sessions");
        let latest = self.sessions.iter().rev().find_map(|session| Some((session, session.share?)));
        let latest = latest.map_or_else(String::new, |(session, share)| {
            format!(
                " The latest with an opportunity, on rung {}, has {} independent answers.",
                session.rung,
                say::percent(share)
            )
        });
        let distress = self.sessions.iter().filter(|session| session.distress).count();
        let assent = self.sessions.iter().filter(|session| !session.assent).count();
        let part = if left_off == 0 { String::new() } else { format!(" The first {left_off} are left off here.") };
        format!("{count}.{latest} Distress noted in {distress}, assent withdrawn in {assent}.{part}")
    }
}

/// Phases begin where the rung of ordinary sessions changes, or baseline ends or begins.
fn phases(sessions: &[SessionPoint]) -> Vec<Phase> {
    let mut phases: Vec<Phase> = Vec::new();
    let mut last = None;
    for (k, session) in sessions.iter().enumerate() {
        if !(session.kind.is_taught() || matches!(session.kind, SessionKind::Baseline | SessionKind::Void)) {
            continue;
        }
        let key = (session.rung, session.kind == SessionKind::Baseline);
        if last != Some(key) {
            let label = if key.1 {
                [format!("baseline, rung {}", key.0), "baseline".to_owned(), "b".to_owned()]
            } else {
                [format!("rung {}", key.0), key.0.to_string(), String::new()]
            };
            phases.push(Phase { start: if last.is_none() { 0 } else { k }, label });
            last = Some(key);
        }
    }
    phases
}

/// The sessions that a path joins: taught or baseline, of one phase, without a gap between.
fn runs(sessions: &[SessionPoint], phases: &[Phase]) -> Vec<Vec<(usize, f64)>> {
    let mut runs: Vec<Vec<(usize, f64)>> = Vec::new();
    let mut last: Option<usize> = None;
    for (k, session) in sessions.iter().enumerate() {
        let Some(share) = session.share.filter(|_| session.kind.is_taught() || session.kind == SessionKind::Baseline)
        else {
            continue;
        };
        let joined = last.is_some_and(|last| {
            !phases.iter().any(|phase| phase.start > last && phase.start <= k)
                && !(last..k).any(|between| is_gap(&sessions[between], &sessions[between + 1]))
        });
        match runs.last_mut().filter(|_| joined) {
            Some(run) => run.push((k, share)),
            None => runs.push(vec![(k, share)]),
        }
        last = Some(k);
    }
    runs
}

fn is_gap(earlier: &SessionPoint, later: &SessionPoint) -> bool {
    later.date.since(earlier.date).is_ok_and(|span| span.get_days() > GAP_DAYS)
}

fn gaps(sessions: &[SessionPoint]) -> Vec<usize> {
    sessions.windows(2).enumerate().filter(|(_, pair)| is_gap(&pair[0], &pair[1])).map(|(k, _)| k).collect()
}

/// Two slanted strokes over the axis: time is left out here.
fn gap(x: f64, y: f64) -> Markup {
    html! {
        rect x=(n(x - 3.0)) y=(n(y - 3.0)) width="6" height="6" class=(Ink::Paper.fill()) fill=(Ink::Paper.hex()) {}
        (line([x - 5.0, y + 7.0, x - 1.0, y - 7.0], Ink::Text, 1.4, None))
        (line([x + 1.0, y + 7.0, x + 5.0, y - 7.0], Ink::Text, 1.4, None))
    }
}

fn marker(kind: SessionKind, (x, y): (f64, f64), value: Option<f64>) -> Markup {
    let (text, paper, deep) = (Ink::Text, Ink::Paper, Ink::Deep);
    html! {
        @match kind {
            SessionKind::Ordinary | SessionKind::Harm => circle cx=(n(x)) cy=(n(y)) r="4.2" class={ (deep.fill()) " " (paper.stroke()) } fill=(deep.hex())
                stroke=(paper.hex()) stroke-width="1" data-value=[value] {},
            SessionKind::Baseline => circle cx=(n(x)) cy=(n(y)) r="4.2" class={ (paper.fill()) " " (text.stroke()) } fill=(paper.hex())
                stroke=(text.hex()) stroke-width="1.6" data-value=[value] {},
            SessionKind::Probe => path d={ "M" (n(x)) " " (n(y - 5.5)) "l5.2 9h-10.4z" } class={ (paper.fill()) " " (text.stroke()) }
                fill=(paper.hex()) stroke=(text.hex()) stroke-width="1.6" data-value=[value] {},
            SessionKind::Maintenance => rect x=(n(x - 4.0)) y=(n(y - 4.0)) width="8" height="8" class={ (paper.fill()) " " (text.stroke()) }
                fill=(paper.hex()) stroke=(text.hex()) stroke-width="1.6" data-value=[value] {},
            SessionKind::Unwell | SessionKind::Void => circle cx=(n(x)) cy=(n(y)) r="2.6" class={ (paper.fill()) " " (Ink::Quiet.stroke()) }
                fill=(paper.hex()) stroke=(Ink::Quiet.hex()) stroke-width="1.2" data-value=[value] {},
        }
    }
}

/// What is marked below the axis, whatever the score.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Mark {
    Distress,
    Assent,
    Harm,
}

impl Mark {
    const ALL: [Self; 3] = [Self::Distress, Self::Assent, Self::Harm];

    const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Distress => ("D", "D: distress"),
            Self::Assent => ("A", "A: assent withdrawn"),
            Self::Harm => ("H", "H: hurt, or ran off"),
        }
    }

    const fn is_on(self, session: &SessionPoint) -> bool {
        match self {
            Self::Distress => session.distress,
            Self::Assent => !session.assent,
            Self::Harm => matches!(session.kind, SessionKind::Harm),
        }
    }

    fn strip(self, sessions: &[SessionPoint], x: &Scale, y: f64) -> Markup {
        html! {
            (text(x.to.0 - 6.0, y + 4.5, Hold::End, Ink::Text, 12.5, self.words().0))
            (line([x.to.0, y, x.to.1, y], Ink::Rule, 0.8, None))
            @for (k, _) in sessions.iter().enumerate().filter(|(_, session)| self.is_on(session)) { (self.sign(x.at(k as f64), y)) }
        }
    }

    fn sign(self, x: f64, y: f64) -> Markup {
        html! {
            @match self {
                Self::Distress => @for turn in [1.0, -1.0] {
                    (line([x - 4.5, y - 4.5 * turn, x + 4.5, y + 4.5 * turn], Ink::Text, 2.0, None))
                },
                Self::Assent => {
                    circle cx=(n(x)) cy=(n(y)) r="4.6" class={ (Ink::Paper.fill()) " " (Ink::Text.stroke()) }
                        fill=(Ink::Paper.hex()) stroke=(Ink::Text.hex()) stroke-width="1.6" {}
                    (line([x - 3.0, y + 3.0, x + 3.0, y - 3.0], Ink::Text, 1.6, None))
                },
                Self::Harm => path d={ "M" (n(x)) " " (n(y + 5.0)) "l-5 -9h10z" } class=(Ink::Text.fill()) fill=(Ink::Text.hex()) {},
            }
        }
    }
}

fn dates_below(sessions: &[SessionPoint], x: &Scale, y: f64, layout: Layout) -> Markup {
    let room = if layout.narrow() { 66.0 } else { 78.0 };
    let each =
        (1usize..).find(|each| (x.at(*each as f64) - x.at(0.0)) >= room || *each >= sessions.len().max(1)).unwrap_or(1);
    html! {
        @for (k, session) in sessions.iter().enumerate().step_by(each) {
            @let words = say::short_day(session.date);
            @let half = width_of(&words, 12.5) / 2.0;
            (text(x.at(k as f64).clamp(x.to.0.min(half), x.to.1 - half), y, Hold::Middle, Ink::Quiet, 12.5, &words))
        }
    }
}

/// What a sign stands for.
#[derive(Clone, Copy)]
enum Sign {
    Kind(SessionKind),
    Criterion,
    Mark(Mark),
    Gap,
}

fn kinds(sessions: &[SessionPoint]) -> Vec<(Sign, &'static str)> {
    let all = [
        (SessionKind::Ordinary, "taught"),
        (SessionKind::Baseline, "baseline"),
        (SessionKind::Probe, "probe"),
        (SessionKind::Maintenance, "maintenance probe"),
        (SessionKind::Unwell, "unwell that day"),
        (SessionKind::Void, "distractor not on"),
    ];
    let small = |kind| matches!(kind, SessionKind::Unwell | SessionKind::Void);
    let mut signs: Vec<(Sign, &'static str)> = all
        .into_iter()
        .filter(|(kind, _)| {
            sessions.iter().any(|session| session.kind == *kind || (session.kind.is_taught() && kind.is_taught()))
        })
        .map(|(kind, words)| (Sign::Kind(kind), if small(kind) { "unwell, or distractor not on" } else { words }))
        .collect();
    signs.dedup_by(|a, b| a.1 == b.1);
    signs.push((Sign::Criterion, "criterion"));
    let marks = Mark::ALL.into_iter().filter(|mark| sessions.iter().any(|session| mark.is_on(session)));
    signs.extend(marks.map(|mark| (Sign::Mark(mark), mark.words().1)));
    if !gaps(sessions).is_empty() {
        signs.push((Sign::Gap, "more than 10 days between"));
    }
    signs
}

/// A row of the legend: a sign, its words and where it stands.
type Entry = (Sign, &'static str, f64);

fn legend_rows(signs: &[(Sign, &'static str)], layout: Layout) -> Vec<Vec<Entry>> {
    let mut rows: Vec<Vec<Entry>> = vec![Vec::new()];
    let mut x = 12.0;
    for (sign, words) in signs {
        let wide = 30.0 + width_of(words, 13.0);
        if x + wide > layout.width() && x > 12.0 {
            rows.push(Vec::new());
            x = 12.0;
        }
        if let Some(row) = rows.last_mut() {
            row.push((*sign, words, x));
        }
        x += wide + 8.0;
    }
    rows
}

fn legend(entries: &[Entry], y: f64) -> Markup {
    html! {
        @for (sign, words, x) in entries {
            @match sign {
                Sign::Kind(kind) => (marker(*kind, (x + 6.0, y - 4.0), None)),
                Sign::Criterion => (line([x - 4.0, y - 4.0, x + 16.0, y - 4.0], Ink::Text, 1.3, Some("7 4"))),
                Sign::Mark(mark) => (mark.sign(x + 6.0, y - 4.0)),
                Sign::Gap => (gap(x + 6.0, y - 4.0)),
            }
            (text(x + 22.0, y, Hold::Start, Ink::Text, 13.0, words))
        }
    }
}
