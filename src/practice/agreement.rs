//! Agreement of two people: two logs of the same sessions, or two answers files about the same room.
//!
//! Cohen's `κ = (p_o − p_e)/(1 − p_e)`; undefined where p_e = 1, and then said to be so, never 0 or 1. Rare categories
//! give high agreement and low κ [FEINSTEIN1990], so both are given. Checked against printed tables
//! (tests/oracle/practice).

use std::collections::BTreeMap;

use super::error::PracticeError;
use super::observe::count_percent;
use super::session::{Log, Session};
use crate::checklist::{Answer, Answers, Checklist, ItemId};

/// How far two people agree.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Agreement {
    /// Pairs compared.
    pub n: usize,
    /// Pairs that agree, percent.
    pub agreement_percent: f64,
    /// Agreement beyond chance; `None` where it is undefined.
    pub kappa: Option<f64>,
    /// Why it is undefined.
    pub kappa_reason: Option<KappaReason>,
    /// Of two logs: the mean over pairs of the smaller independent count over the larger, percent.
    pub count_agreement_percent: Option<f64>,
}

/// Why there is no kappa.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KappaReason {
    /// Both people used one and the same category throughout.
    NoVariance,
}

impl KappaReason {
    /// The code for programs.
    pub const fn code(self) -> &'static str {
        match self {
            Self::NoVariance => "no-variance",
        }
    }

    /// What it means and what to do.
    pub const fn text(self) -> &'static str {
        match self {
            Self::NoVariance => {
                "Both people used the same single category throughout, so agreement beyond chance cannot be told; \
                 compare more sessions."
            }
        }
    }
}

/// Agreement in percent and beyond chance, of a table of counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kappa {
    /// All counts.
    pub n: u64,
    /// The diagonal, percent.
    pub agreement_percent: f64,
    /// Cohen's kappa, or why there is none.
    pub kappa: Result<f64, KappaReason>,
}

/// Kappa of a square table, rows the first person, columns the second; `None` for a table that is empty or not square.
pub fn kappa(table: &[Vec<u64>]) -> Option<Kappa> {
    let size = table.len();
    if table.iter().any(|row| row.len() != size) {
        return None;
    }
    let n: u64 = table.iter().flatten().sum();
    if n == 0 {
        return None;
    }
    let agreed: u64 = (0..size).map(|at| table[at][at]).sum();
    let by_chance: u128 = (0..size)
        .map(|at| {
            let row: u64 = table[at].iter().sum();
            let column: u64 = table.iter().map(|row| row[at]).sum();
            u128::from(row) * u128::from(column)
        })
        .sum();
    let all = u128::from(n) * u128::from(n);
    let observed = agreed as f64 / n as f64;
    let expected = by_chance as f64 / all as f64;
    let kappa =
        if by_chance == all { Err(KappaReason::NoVariance) } else { Ok((observed - expected) / (1.0 - expected)) };
    Some(Kappa { n, agreement_percent: 100.0 * observed, kappa })
}

/// The class of a session by its share alone: at most half, between, at least nine tenths.
fn class(session: &Session) -> usize {
    let (independent, opportunities) = (u64::from(session.independent), u64::from(session.opportunities));
    if 10 * independent >= 9 * opportunities { 2 } else { usize::from(2 * independent > opportunities) }
}

/// Agreement of two observers' logs. Sessions are paired by date, rung and their order among these; a pair in which
/// either gave no opportunity is left out.
pub fn agree_logs(first: &Log, second: &Log) -> Result<Agreement, PracticeError> {
    let mut places: BTreeMap<_, Vec<&Session>> = BTreeMap::new();
    for session in second.sessions() {
        places.entry((session.date, session.rung)).or_default().push(session);
    }
    let mut taken = BTreeMap::new();
    let mut table = vec![vec![0; 3]; 3];
    let mut counts = Vec::new();
    for session in first.sessions() {
        let key = (session.date, session.rung);
        let order = taken.entry(key).or_insert(0usize);
        let Some(other) = places.get(&key).and_then(|sessions| sessions.get(*order)) else { continue };
        *order += 1;
        if session.opportunities > 0 && other.opportunities > 0 {
            table[class(session)][class(other)] += 1;
            counts.push(count_percent(session.independent.into(), other.independent.into()));
        }
    }
    let kappa = kappa(&table).ok_or(PracticeError::NoSharedSession)?;
    let mean = counts.iter().sum::<f64>() / counts.len() as f64;
    Ok(Agreement {
        n: counts.len(),
        agreement_percent: kappa.agreement_percent,
        kappa: kappa.kappa.ok(),
        kappa_reason: kappa.kappa.err(),
        count_agreement_percent: Some(mean),
    })
}

/// Agreement of two people's answers, over the items that both answered: the same answer, counts within 1; kappa on
/// present or absent. With the checklist an option is absent when it takes no attention; without it, when its key is
/// `none` or `no`.
pub fn agree_answers(
    first: &Answers,
    second: &Answers,
    checklist: Option<&Checklist>,
) -> Result<Agreement, PracticeError> {
    if first.checklist != second.checklist {
        return Err(PracticeError::DifferentChecklists {
            first: first.checklist.clone(),
            second: second.checklist.clone(),
        });
    }
    let mut table = vec![vec![0; 2]; 2];
    let (mut n, mut agreed) = (0usize, 0usize);
    for (id, answer) in &first.answers {
        let other = second.to(id);
        if *answer == Answer::NotSeen || *other == Answer::NotSeen {
            continue;
        }
        n += 1;
        agreed += usize::from(same(answer, other));
        table[usize::from(present(id, answer, checklist))][usize::from(present(id, other, checklist))] += 1;
    }
    let kappa = kappa(&table).ok_or(PracticeError::NoSharedItem)?;
    Ok(Agreement {
        n,
        agreement_percent: 100.0 * agreed as f64 / n as f64,
        kappa: kappa.kappa.ok(),
        kappa_reason: kappa.kappa.err(),
        count_agreement_percent: None,
    })
}

pub(super) fn same(first: &Answer, second: &Answer) -> bool {
    match (first, second) {
        (Answer::Count(first), Answer::Count(second)) => first.abs_diff(*second) <= 1,
        _ => first == second,
    }
}

fn present(id: &ItemId, answer: &Answer, checklist: Option<&Checklist>) -> bool {
    match answer {
        Answer::Count(count) => *count > 0,
        Answer::Yes(there) => *there,
        Answer::NotSeen => false,
        Answer::Option(key) => checklist
            .and_then(|checklist| checklist.item(id))
            .and_then(|item| item.pull(answer))
            .map_or(!matches!(key.as_str(), "none" | "no"), |pull| pull.u() > 0.0),
    }
}

/// What two observers should reach: agreement in percent, kappa, and the share of sessions observed by two.
/// [KRATOCHWILL2013, from memory]
pub mod standard {
    /// Agreement, percent.
    pub const AGREEMENT_PERCENT: f64 = 80.0;
    /// Cohen's kappa.
    pub const KAPPA: f64 = 0.60;
    /// Share of sessions with a second observer.
    pub const OBSERVED_SHARE: f64 = 0.20;
}

impl Agreement {
    /// Whether the figures reach what two observers should reach; an undefined kappa does not speak against it.
    pub fn reaches_standard(&self) -> bool {
        self.agreement_percent >= standard::AGREEMENT_PERCENT && self.kappa.is_none_or(|kappa| kappa >= standard::KAPPA)
    }
}

#[cfg(test)]
mod tests {
    use super::{KappaReason, agree_answers, agree_logs, kappa};
    use crate::checklist::{Answer, Answers, ItemId};
    use crate::practice::{Log, PracticeError, parse};
    use jiff::civil::date;

    const HEAD: &str =
        "date,rung,opportunities,independent,prompted,errors,distress,assent,distractor_on,minutes,note\n";

    fn log(rows: &[&str]) -> Log {
        let rows: String = rows.iter().map(|row| format!("{row},0,0,0,yes,yes,10,\n")).collect();
        parse(&format!("{HEAD}{rows}"), "log.csv").unwrap()
    }

    fn answers(checklist: &str, given: &[(&str, Answer)]) -> Answers {
        Answers {
            checklist: checklist.to_owned(),
            place: "window table".to_owned(),
            date: date(2026, 10, 20),
            by: "visitor".to_owned(),
            keep: Vec::new(),
            answers: given.iter().map(|(id, answer)| (ItemId::new(*id), answer.clone())).collect(),
            reasons: std::collections::BTreeMap::new(),
        }
    }

    #[test]
    fn sessions_pair_by_date_rung_and_order() {
        let first = log(&["2026-03-01,1,10,9", "2026-03-01,1,10,5", "2026-03-02,2,10,7", "2026-03-03,1,0,0"]);
        let second = log(&["2026-03-01,1,10,9", "2026-03-01,1,10,8", "2026-03-02,1,10,7", "2026-03-03,1,10,9"]);
        let found = agree_logs(&first, &second).unwrap();
        assert_eq!((found.n, found.agreement_percent), (2, 50.0));
        assert_eq!(found.count_agreement_percent, Some((100.0 + 62.5) / 2.0));
        // Classes high, low against high, between: p_o 1/2, p_e 1/4.
        assert!((found.kappa.unwrap() - 1.0 / 3.0).abs() < 1e-12);
    }

    #[test]
    fn one_category_throughout_has_no_kappa() {
        let one = log(&["2026-03-01,1,10,9", "2026-03-02,1,10,10"]);
        let found = agree_logs(&one, &one).unwrap();
        assert_eq!((found.kappa, found.kappa_reason), (None, Some(KappaReason::NoVariance)));
        assert!(found.reaches_standard());
    }

    #[test]
    fn logs_without_a_session_in_common_are_refused() {
        let (first, second) = (log(&["2026-03-01,1,10,9"]), log(&["2026-03-02,1,10,9"]));
        assert_eq!(agree_logs(&first, &second), Err(PracticeError::NoSharedSession));
    }

    #[test]
    fn answers_agree_within_one_and_by_presence() {
        let first = answers(
            "c",
            &[
                ("a", Answer::Count(4)),
                ("b", Answer::Count(0)),
                ("c", Answer::Option("none".to_owned())),
                ("d", Answer::Yes(true)),
                ("e", Answer::NotSeen),
            ],
        );
        let second = answers(
            "c",
            &[
                ("a", Answer::Count(5)),
                ("b", Answer::Count(2)),
                ("c", Answer::Option("none".to_owned())),
                ("d", Answer::Yes(true)),
                ("e", Answer::Yes(true)),
            ],
        );
        let found = agree_answers(&first, &second, None).unwrap();
        assert_eq!((found.n, found.agreement_percent), (4, 75.0));
        // Present/absent: 2 both present, 1 both absent, 1 absent against present: p_o 3/4, p_e 1/2.
        assert_eq!(found.kappa, Some(0.5));
    }

    #[test]
    fn answers_to_different_checklists_or_items_are_refused() {
        let first = answers("c", &[("a", Answer::Count(4))]);
        let other = answers("d", &[("a", Answer::Count(4))]);
        assert!(matches!(agree_answers(&first, &other, None), Err(PracticeError::DifferentChecklists { .. })));
        let apart = answers("c", &[("b", Answer::Count(4))]);
        assert_eq!(agree_answers(&first, &apart, None), Err(PracticeError::NoSharedItem));
    }

    #[test]
    fn a_table_that_is_not_square_has_no_kappa() {
        assert_eq!(kappa(&[vec![1, 2]]), None);
        assert_eq!(kappa(&[]), None);
    }
}
