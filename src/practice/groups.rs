//! One log a task and place: rungs of different ladders are never judged together.

use super::session::{Log, Session};

/// The sessions of one task at one place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// The task; `None` where none is named.
    pub task: Option<String>,
    /// The place; `None` where none is named.
    pub place: Option<String>,
    /// Its sessions.
    pub log: Log,
}

/// The log by task and place, the one practised last first. Where the whole log names one task only, a session that
/// names none belongs to it; the same goes for the place.
pub fn groups(log: &Log) -> Vec<Group> {
    let only = |name: fn(&Session) -> Option<&String>| {
        let mut names = log.sessions().iter().filter_map(name);
        let first = names.next()?;
        names.all(|other| other == first).then(|| first.clone())
    };
    let (one_task, one_place) = (only(|session| session.task.as_ref()), only(|session| session.place.as_ref()));
    let mut found: Vec<(Option<String>, Option<String>, Vec<Session>)> = Vec::new();
    for session in log.sessions() {
        let task = session.task.clone().or_else(|| one_task.clone());
        let place = session.place.clone().or_else(|| one_place.clone());
        let at = found.iter().position(|(other, there, _)| *other == task && *there == place);
        // The group practised last stands last, to be turned round at the end.
        let mut group = at.map_or_else(|| (task, place, Vec::new()), |at| found.remove(at));
        group.2.push(session.clone());
        found.push(group);
    }
    found.into_iter().rev().map(|(task, place, sessions)| Group { task, place, log: Log::new(sessions) }).collect()
}

#[cfg(test)]
mod tests {
    use super::groups;
    use crate::practice::{Decision, Options, parse, review_within};

    const HEAD: &str =
        "date,rung,opportunities,independent,prompted,errors,distress,assent,distractor_on,minutes,note,task,place\n";

    #[test]
    fn each_task_and_place_has_its_own_rungs_and_safety_is_shared() {
        let rows = "2026-03-02,1,10,10,0,0,no,yes,yes,8,,leaves,table\n\
                    2026-03-02,3,10,4,6,0,no,yes,yes,8,,rings,table\n\
                    2026-03-03,1,10,9,1,0,no,yes,yes,8,,leaves,table\n\
                    2026-03-03,3,10,4,6,0,no,yes,yes,8,,rings,table\n";
        let decide = |rows: &str| {
            let log = parse(&format!("{HEAD}{rows}"), "log.csv").unwrap();
            let found = groups(&log);
            found
                .iter()
                .map(|group| {
                    let review = review_within(&group.log, &log, &Options::bare());
                    (group.task.clone().unwrap_or_default(), review.rung, review.decision)
                })
                .collect::<Vec<_>>()
        };
        assert_eq!(
            decide(rows),
            [("rings".to_owned(), 3, Decision::StepBack), ("leaves".to_owned(), 1, Decision::Advance)]
        );
        let distressed = rows.replace(",0,no,", ",0,yes,");
        assert!(decide(&distressed).iter().all(|(_, _, decision)| *decision == Decision::Pause));
    }

    #[test]
    fn a_session_without_names_belongs_to_the_only_ones_there_are() {
        let row = |day, names| format!("2026-03-{day:02},1,10,10,0,0,no,yes,yes,8,,{names}\n");
        let sizes = |rows: &[String]| {
            let log = parse(&format!("{HEAD}{}", rows.concat()), "log.csv").unwrap();
            let found = groups(&log);
            found.iter().map(|group| (group.task.clone(), group.log.sessions().len())).collect::<Vec<_>>()
        };
        let (leaves, rings) = (Some("leaves".to_owned()), Some("rings".to_owned()));
        assert_eq!(sizes(&[row(2, ","), row(3, "leaves,table")]), [(leaves.clone(), 2)]);
        assert_eq!(sizes(&[row(2, ","), row(3, "leaves,table"), row(4, "leaves,table")]), [(leaves.clone(), 3)]);
        // Two tasks are named: nobody knows whose the first session is. The place it has in common with them.
        let two = [row(2, ","), row(3, "leaves,table"), row(4, "rings,table")];
        assert_eq!(sizes(&two), [(rings, 1), (leaves, 1), (None, 1)]);
    }
}
