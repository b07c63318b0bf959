//! Smaller steps for a rung that is stuck: its level, the task, the help, the time. Common practice, no source, unless
//! said otherwise. The log orders what is offered: the help given most, the times of day that went best.

use std::collections::BTreeMap;

use super::details::Prompts;
use super::observe::percentile;
use super::session::{Kind, Log, Session};
use crate::words::Channel;

/// The rung that is stuck.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rung {
    /// Its number.
    pub number: u32,
    /// The distractor it raises, in plain words.
    pub distractor: String,
    /// The channel.
    pub channel: Channel,
    /// The level before, in words; `None` for absent.
    pub from: Option<String>,
    /// The level it raises to, in words.
    pub to: String,
    /// How many things before and now, where the levels are counted.
    pub counts: Option<(u32, u32)>,
}

/// What is practised.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Task {
    /// Its name.
    pub name: String,
    /// What is needed.
    pub materials: Vec<String>,
    /// The prompts, the least help first; empty where none are written down.
    pub prompts: Vec<String>,
}

/// One smaller step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Smaller {
    /// `level`, `task`, `prompt` or `time`.
    pub kind: &'static str,
    /// What to do.
    pub text: String,
}

/// Work begins as short as this, seconds. Common practice, no source.
const FIRST_SPANS: [u32; 2] = [10, 20];
/// Longest times at the task that the shaping rule looks at; with 20 it worked best [ATHENS2007].
const REMEMBERED: usize = 20;
/// The share of coming times that shall be reinforced. Convention.
const REINFORCED: f64 = 0.7;

/// Smaller steps for this rung (`None` in the cleared room), most often the first helps. `log` is that of the task.
pub fn smaller(rung: Option<&Rung>, task: &Task, log: &Log) -> Vec<Smaller> {
    let mut found = Vec::new();
    let mut push = |kind, text: String| found.push(Smaller { kind, text });
    if let Some(rung) = rung {
        for text in levels(rung) {
            push("level", text);
        }
    }
    for text in pieces(task) {
        push("task", text);
    }
    push("task", span(log));
    push("prompt", prompt(task, log));
    push("time", time_of_day(log));
    found
}

fn levels(rung: &Rung) -> Vec<String> {
    let (name, to) = (&rung.distractor, &rung.to);
    let mut steps = Vec::new();
    if let Some(half) = rung.counts.map(|(from, to)| (from, from.midpoint(to), to)).filter(|(a, half, _)| half > a) {
        steps.push(format!("{name}: {} instead of {}, then all.", half.1, half.2));
    }
    let before = rung.from.as_ref().map_or_else(|| "absent".to_owned(), |from| format!("\"{from}\""));
    match rung.channel {
        Channel::Seen => {
            steps.push(format!("{name} (\"{to}\"), twice as far away, then half way, then in its place."));
            steps.push(format!("{name} half covered with a plain cloth, then a quarter, then open."));
        }
        Channel::Heard => {
            steps.push(format!(
                "{name} at most 5 dB above the step before, faded in; or from the next room, door ajar."
            ));
            steps.push(format!("{name} with the quietest of its kinds first, and never as a surprise."));
        }
        Channel::Company => {
            steps.push(format!(
                "{name}: the most familiar person, at the far side of the room, busy with something quiet."
            ));
            steps.push(format!("{name}: there at the beginning only, gone again before it gets long."));
        }
    }
    steps.push(format!(
        "{name} for the first three opportunities of a sitting only, {before} for the rest; then five, then all."
    ));
    steps
}

fn pieces(task: &Task) -> Vec<String> {
    let name = if task.name.is_empty() { "the task" } else { &task.name };
    let with = task.materials.first().map_or_else(String::new, |first| format!(" ({first})"));
    vec![
        format!("Fewer pieces of {name}{with}: half as many, and put the rest out of sight before the child comes."),
        "Which pieces: those at the edge first, then those in the middle, then mixed.".to_owned(),
        "Begin with the last piece: everything is done but one, which the child adds; next time two.".to_owned(),
    ]
}

/// How long to work at a stretch, from the longest times noted, else from the beginning.
fn span(log: &Log) -> String {
    let spans: Vec<f64> = taught(log).filter_map(|session| session.details.attention_s.map(f64::from)).collect();
    let recent = &spans[spans.len().saturating_sub(REMEMBERED)..];
    match percentile(recent, REINFORCED).filter(|_| recent.len() >= 5) {
        Some(rule) => format!(
            "Shorter work: reinforce every stretch at the task longer than {:.0} seconds; by the last {} that were \
             noted, about seven in ten of the coming ones will be. Rocking, humming or looking away is part of a stretch.",
            rule.criterion,
            recent.len()
        ),
        None => format!(
            "Shorter work: begin with {} or {} seconds at a stretch, then a break the child likes; add 5 to 10 seconds \
             after two good days. Note the longest stretch (`attention_s`) and the next length follows from it.",
            FIRST_SPANS[0], FIRST_SPANS[1]
        ),
    }
}

fn prompt(task: &Task, log: &Log) -> String {
    let mut sums = [0_u64; 4];
    for session in taught(log).collect::<Vec<_>>().iter().rev().take(6) {
        let counts = session.details.prompts.unwrap_or_default().counts();
        for (sum, count) in sums.iter_mut().zip(counts) {
            *sum += u64::from(count);
        }
    }
    let most = (0..sums.len()).rev().max_by_key(|&at| sums[at]).filter(|&at| sums[at] > 0);
    let words = if task.prompts.is_empty() { Prompts::WORDS.map(str::to_owned).to_vec() } else { task.prompts.clone() };
    match most {
        Some(0) => format!(
            "Help: the least help (gesture) is given most. Wait 2 seconds before it, then 4, so that the answer can \
             come alone. The order is {}.",
            words.join(", ")
        ),
        Some(at) => format!(
            "Help: \"{}\" is given most. Give \"{}\" first, after 2 seconds, and the old help only if nothing comes; \
             a step is easier when the help fades after it, not with it.",
            Prompts::WORDS[at],
            Prompts::WORDS[at - 1]
        ),
        None => format!(
            "Help: for this step one level more help than now, at once, so that the child is right; then fade it: {}. \
             Note the help by level (`prompt_gesture` to `prompt_full`).",
            words.iter().rev().cloned().collect::<Vec<_>>().join(", ")
        ),
    }
}

/// The part of the day that went best, where times are noted.
fn time_of_day(log: &Log) -> String {
    let mut parts: BTreeMap<u8, (u64, u64, usize)> = BTreeMap::new();
    for session in taught(log) {
        let Some(hour) = session.details.time.as_ref().and_then(|time| time.get(..2)?.parse::<u8>().ok()) else {
            continue;
        };
        let part = parts
            .entry(match hour {
                0..11 => 0,
                11..15 => 1,
                _ => 2,
            })
            .or_default();
        part.0 += u64::from(session.independent);
        part.1 += u64::from(session.opportunities);
        part.2 += 1;
    }
    let words = ["in the morning", "around midday", "in the afternoon or evening"];
    let mut told: Vec<_> = parts.into_iter().filter(|(_, (_, all, sittings))| *all > 0 && *sittings >= 2).collect();
    told.sort_by(|(_, a), (_, b)| (b.0 * a.1).cmp(&(a.0 * b.1)));
    match told.as_slice() {
        [(best, (alone, all, _)), .., (worst, (least, of, _))] => format!(
            "Time of day: {alone} of {all} alone {}, {least} of {of} {}. Try this rung at the better time first.",
            words[usize::from(*best)],
            words[usize::from(*worst)]
        ),
        _ => "Time of day: try it when the child is rested, fed and has moved, not before a meal or after an outing. \
              Note the time of each sitting, and the better part of the day shows."
            .to_owned(),
    }
}

fn taught(log: &Log) -> impl Iterator<Item = &Session> {
    log.sessions()
        .iter()
        .filter(|session| matches!(session.kind(), Kind::Ordinary | Kind::Harm | Kind::Cleared) && !session.is_void())
}

#[cfg(test)]
mod tests {
    use super::{Rung, Task, smaller};
    use crate::practice::{Log, parse};
    use crate::words::Channel;

    fn rung() -> Rung {
        Rung {
            number: 2,
            distractor: "toys in view".to_owned(),
            channel: Channel::Seen,
            from: Some("one".to_owned()),
            to: "six on the shelf".to_owned(),
            counts: Some((1, 6)),
        }
    }

    #[test]
    fn counts_are_halved_and_every_kind_is_offered() {
        let found = smaller(Some(&rung()), &Task::default(), &Log::default());
        assert_eq!(found[0].text, "toys in view: 3 instead of 6, then all.");
        for kind in ["level", "task", "prompt", "time"] {
            assert!(found.iter().any(|step| step.kind == kind), "{kind}");
        }
        assert!(found.iter().any(|step| step.text.contains("10 or 20 seconds")));
        assert!(smaller(None, &Task::default(), &Log::default()).iter().all(|step| step.kind != "level"));
        let one = Rung { counts: Some((1, 2)), ..rung() };
        assert!(!smaller(Some(&one), &Task::default(), &Log::default())[0].text.contains("instead of"));
    }

    #[test]
    fn what_was_noted_makes_the_steps_the_childs_own() {
        let head = "date,rung,opportunities,independent,prompted,errors,distress,assent,distractor_on,minutes,note,\
                    time,prompt_model,attention_s\n";
        let rows: String = (1..=5)
            .map(|day| format!("2026-03-0{day},1,10,8,2,0,no,yes,yes,8,,09:00,2,{}\n", 10 * day))
            .chain((1..=2).map(|day| format!("2026-03-0{day},1,10,4,6,0,no,yes,yes,8,,18:00,6,\n")))
            .collect();
        let log = parse(&format!("{head}{rows}"), "log.csv").unwrap();
        let found = smaller(Some(&rung()), &Task::default(), &log);
        let text = |kind: &str| found.iter().rfind(|step| step.kind == kind).unwrap().text.clone();
        assert!(text("task").contains("longer than 20 seconds"), "{}", text("task"));
        assert!(text("prompt").contains("Give \"gesture\" first"), "{}", text("prompt"));
        assert!(text("time").contains("40 of 50 alone in the morning, 8 of 20 in the afternoon"), "{}", text("time"));
    }
}
