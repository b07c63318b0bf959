//! The single-case graph in a terminal: a column a session, a row every ten percent, what matters for safety below.

use crate::report::{SessionKind, SessionPoint};

use super::paint::WIDTH;

/// Signs to the left of the first session.
const LEFT: usize = 6;
/// Signs a session takes.
const CELL: usize = 3;
/// Neighbouring sessions further apart than this are parted, days; the same as in the decision.
const GAP_DAYS: i32 = 10;

/// Whether a session is marked.
type Test = fn(&SessionPoint) -> bool;

/// The graph of the latest sessions that fit; `criterion` is the share that passes.
pub(super) fn graph(sessions: &[SessionPoint], criterion: f64) -> String {
    let most = (WIDTH - LEFT) / CELL;
    let left_off = sessions.len().saturating_sub(most);
    let shown = &sessions[left_off..];
    if shown.is_empty() {
        return String::new();
    }
    let phases = phases(shown);
    let mut out = labels(&phases, shown.len());
    for row in (0..=10_u32).rev() {
        let share = f64::from(row) / 10.0;
        let here = |point: f64| (point - share).abs() < 0.05 || (row > 0 && (point - share + 0.05).abs() < 1e-9);
        let fill = if here(criterion) { '-' } else { ' ' };
        let mut line = if row % 5 == 0 { format!("{:>4}% ", row * 10) } else { " ".repeat(LEFT) };
        for (at, session) in shown.iter().enumerate() {
            let edge = if phases.iter().any(|phase| phase.start == at && at > 0) { '│' } else { fill };
            let sign = session.share.filter(|share| here(*share)).map_or(fill, |_| sign(session.kind));
            line.extend([edge, sign, fill]);
        }
        push(&mut out, &line);
    }
    let mut axis = " ".repeat(LEFT);
    for at in 0..shown.len() {
        axis.push_str(if at > 0 && is_gap(&shown[at - 1], &shown[at]) { "//─" } else { "───" });
    }
    push(&mut out, &axis);
    let rows: [(&str, Test); 3] = [
        ("distress", |session| session.distress),
        ("left", |session| !session.assent),
        ("harm", |session| session.kind == SessionKind::Harm),
    ];
    let mut legend = legend(shown);
    for ((word, test), mark) in rows.into_iter().zip(['D', 'L', 'H']) {
        if shown.iter().any(test) {
            let marks = shown.iter().map(|session| if test(session) { format!(" {mark} ") } else { "   ".to_owned() });
            push(&mut out, &format!("{}{}", " ".repeat(LEFT), marks.collect::<String>()));
            legend.push(format!("{mark} {}", if word == "left" { "did not come or stay willingly" } else { word }));
        }
    }
    push(&mut out, &dates(shown));
    if shown.windows(2).any(|pair| is_gap(&pair[0], &pair[1])) {
        legend.push("// more than 10 days".to_owned());
    }
    legend.push("- - criterion".to_owned());
    if left_off > 0 {
        legend.push(format!("the first {left_off} sessions are left off"));
    }
    for line in wrap(&legend) {
        push(&mut out, &line);
    }
    out
}

fn push(out: &mut String, line: &str) {
    out.push_str(line.trim_end());
    out.push('\n');
}

const fn sign(kind: SessionKind) -> char {
    match kind {
        SessionKind::Ordinary | SessionKind::Harm => '●',
        SessionKind::Baseline => '○',
        SessionKind::Probe => '△',
        SessionKind::Maintenance => '□',
        SessionKind::Unwell | SessionKind::Void => '·',
    }
}

fn legend(shown: &[SessionPoint]) -> Vec<String> {
    let all = [
        ('●', "taught"),
        ('○', "baseline"),
        ('△', "probe"),
        ('□', "look back at a passed rung"),
        ('·', "unwell, or distractor not on"),
    ];
    all.into_iter()
        .filter(|(mark, _)| shown.iter().any(|session| sign(session.kind) == *mark))
        .map(|(mark, word)| format!("{mark} {word}"))
        .collect()
}

/// A stretch on one rung, or of baseline.
struct Phase {
    start: usize,
    label: String,
    short: String,
}

fn phases(shown: &[SessionPoint]) -> Vec<Phase> {
    let mut found: Vec<Phase> = Vec::new();
    let mut last = None;
    for (at, session) in shown.iter().enumerate() {
        let own = matches!(
            session.kind,
            SessionKind::Ordinary | SessionKind::Harm | SessionKind::Baseline | SessionKind::Void
        );
        let key = (session.rung, session.kind == SessionKind::Baseline);
        if !own || last == Some(key) {
            continue;
        }
        let (label, short) = if key.1 {
            (format!("baseline {}", key.0), format!("b{}", key.0))
        } else {
            (format!("rung {}", key.0), key.0.to_string())
        };
        found.push(Phase { start: if last.is_none() { 0 } else { at }, label, short });
        last = Some(key);
    }
    found
}

/// The labels over their phases; one that does not fit is shortened to its number.
fn labels(phases: &[Phase], count: usize) -> String {
    let mut line = " ".repeat(LEFT);
    for (at, phase) in phases.iter().enumerate() {
        let end = phases.get(at + 1).map_or(count, |next| next.start);
        let room = (end - phase.start) * CELL;
        let edge = if at > 0 { "│" } else { " " };
        let label = if phase.label.chars().count() < room { &phase.label } else { &phase.short };
        line.push_str(&format!("{edge}{label:<width$}", width = room - 1));
    }
    let mut out = String::new();
    push(&mut out, &line);
    out
}

fn is_gap(earlier: &SessionPoint, later: &SessionPoint) -> bool {
    later.date.since(earlier.date).is_ok_and(|span| span.get_days() > GAP_DAYS)
}

/// The day of every fourth session, month and day.
fn dates(shown: &[SessionPoint]) -> String {
    let mut line = " ".repeat(LEFT);
    for (at, session) in shown.iter().enumerate().step_by(4) {
        let start = LEFT + at * CELL;
        while line.chars().count() < start {
            line.push(' ');
        }
        let day = session.date;
        line.push_str(&if at == 0 { format!("{day}") } else { format!(" {:02}-{:02}", day.month(), day.day()) });
        // A whole date takes more than one cell; the next ones stand where there is room again.
        line.push(' ');
    }
    line
}

fn wrap(parts: &[String]) -> Vec<String> {
    let mut lines = vec![" ".repeat(LEFT)];
    for part in parts {
        let last = lines.last().map_or(0, |line| line.chars().count());
        if last > LEFT && last + part.chars().count() + 3 > WIDTH {
            lines.push(" ".repeat(LEFT));
        }
        if let Some(line) = lines.last_mut() {
            if line.chars().count() > LEFT {
                line.push_str("   ");
            }
            line.push_str(part);
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::graph;
    use crate::report::{SessionKind, SessionPoint};
    use jiff::civil::date;

    fn point(day: i8, rung: u32, share: f64, kind: SessionKind) -> SessionPoint {
        SessionPoint {
            date: date(2026, 3, day),
            rung,
            share: Some(share),
            opportunities: 10,
            distress: false,
            assent: true,
            kind,
        }
    }

    #[test]
    fn phases_breaks_the_criterion_and_distress_are_drawn() {
        let mut sessions = vec![
            point(1, 1, 0.4, SessionKind::Baseline),
            point(2, 1, 0.5, SessionKind::Baseline),
            point(3, 1, 0.9, SessionKind::Ordinary),
            point(4, 1, 1.0, SessionKind::Ordinary),
            point(20, 2, 0.6, SessionKind::Ordinary),
            point(21, 1, 1.0, SessionKind::Maintenance),
            point(22, 2, 0.7, SessionKind::Unwell),
        ];
        sessions[4].distress = true;
        let found = graph(&sessions, 0.9);
        let rows: Vec<&str> = found.lines().collect();
        assert_eq!(rows.len(), 17, "{found}");
        assert!(rows[0].contains("b1") && rows[0].contains("│1") && rows[0].contains("│rung 2"), "{found}");
        assert!(rows[1].starts_with(" 100%") && rows[1].contains('●') && rows[1].contains('□'), "{found}");
        assert!(rows[2].contains("│●-") && rows[2].contains("---"), "{found}");
        assert!(rows[12].contains("//─") && rows[13].trim() == "D", "{found}");
        assert!(found.lines().all(|line| line.chars().count() <= 96));
        assert_eq!(found.matches('D').count(), 2, "{found}");
        assert_eq!(found.matches('●').count(), 4, "three sessions and the legend");
    }

    #[test]
    fn only_the_latest_that_fit_are_drawn() {
        let many: Vec<SessionPoint> = (0..60).map(|at| point(1 + at / 3, 1, 0.5, SessionKind::Ordinary)).collect();
        let found = graph(&many, 0.9);
        assert!(found.contains("the first 30 sessions are left off"), "{found}");
        assert!(found.lines().all(|line| line.chars().count() <= 96), "{found}");
        assert_eq!(graph(&[], 0.9), "");
    }
}
