//! Sessions stored, decisions, samples, reinforcers, needs, screens and the day, for people.

use crate::contract::{
    CriterionDoc, DecidedDoc, DoseDoc, NeedDoc, ReinforcerDoc, SampleDoc, ScreensDoc, SessionLineDoc, SessionsDoc,
};
use crate::words::printable;

use super::paint::{bar, bold, wrapped};

/// `1 day`, `2 days`.
fn count(number: usize, word: &str) -> String {
    format!("{number} {word}{}", if number == 1 { "" } else { "s" })
}

/// Sessions listed at most.
const LISTED: usize = 20;

/// What was stored, or would be.
pub(super) fn stored(doc: &SessionsDoc, folder: &str) -> String {
    let all = doc.sessions.len();
    let told = count(all, "session");
    let mut out = if doc.dry_run {
        format!("{told} would be stored for {}; nothing was:\n", printable(&doc.alias))
    } else {
        format!("{told} stored for {}:\n", printable(&doc.alias))
    };
    for session in doc.sessions.iter().take(LISTED) {
        out.push_str(&line(session));
    }
    if all > LISTED {
        out.push_str(&format!("  … and {} more\n", all - LISTED));
    }
    for notice in &doc.notices {
        out.push_str(&wrapped("note: ", notice));
    }
    if !doc.dry_run {
        out.push_str(&format!("next: stillroom review --case {folder}\n"));
    }
    out
}

fn line(session: &SessionLineDoc) -> String {
    let at = session.line.map_or_else(String::new, |line| format!("line {line}: "));
    let mut marks = String::new();
    if session.kind != "ordinary" {
        marks.push_str(&format!(", {}", session.kind));
    }
    if session.distress {
        marks.push_str(", distress");
    }
    if !session.assent {
        marks.push_str(", not willing");
    }
    let id = session.id.as_ref().map_or_else(String::new, |id| format!(" ({id})"));
    format!(
        "  {at}{} rung {}: {} of {} alone, {} with help, {} wrong{marks}{id}\n",
        session.date, session.rung, session.independent, session.opportunities, session.prompted, session.errors
    )
}

/// A rule of mastery in words.
pub(super) fn rule(doc: &CriterionDoc) -> String {
    let by = doc.by.as_ref().map_or_else(String::new, |by| format!(" (set by {})", printable(by)));
    format!(
        "{} of 10 alone in {} sessions running on {} day{} or more{by}",
        doc.percent / 10,
        doc.sessions,
        doc.days,
        if doc.days == 1 { "" } else { "s" }
    )
}

/// A decision that was stored.
pub(super) fn decided(doc: &DecidedDoc) -> String {
    let by = printable(doc.by.as_deref().unwrap_or("nobody"));
    let mut out = String::new();
    if let Some(set) = &doc.criterion {
        out.push_str(&wrapped("", &format!("From now on a rung is mastered with {}.", rule(set))));
    }
    if doc.decision != "criterion" {
        let proposed = doc.recommended.as_deref().filter(|proposed| *proposed != doc.decision);
        let proposed = proposed.map_or_else(String::new, |word| format!("; the rules proposed {word}"));
        out.push_str(&format!("Rung {}: {} by {by}{proposed}.\n", doc.rung, bold(&doc.decision)));
        if doc.lifts_pause {
            out.push_str("The pause is lifted: sessions up to now no longer count for it.\n");
        }
    }
    if let Some(why) = &doc.why {
        out.push_str(&wrapped("Why: ", &printable(why)));
    }
    out.push_str(&format!("Stored as {}.\n", doc.id));
    out
}

/// What a sample says.
pub(super) fn sample(doc: &SampleDoc) -> String {
    let mut out = match doc.share {
        Some(share) => format!(
            "Seen in {:.0} % of {} intervals of {} s ({}), {} missed: {}\n",
            share * 100.0,
            doc.intervals - doc.missed,
            doc.interval_s,
            doc.method,
            doc.missed,
            printable(&doc.what)
        ),
        None => "Nothing was marked, so nothing is said.\n".to_owned(),
    };
    out.push_str(&wrapped("", &doc.bias));
    out.push_str("It enters no decision.\n");
    if let Some(id) = &doc.id {
        out.push_str(&format!("Stored as {id}.\n"));
    }
    out
}

/// What the child likes to work for.
pub(super) fn reinforcers(doc: &ReinforcerDoc) -> String {
    let mut out = String::new();
    match (&doc.method, &doc.date) {
        (Some(method), Some(date)) => {
            out.push_str(&format!("{}\n", bold(&format!("Chosen most, {date} ({method})"))));
            let widest = doc.items.iter().map(|item| printable(&item.name).chars().count()).max().unwrap_or(0);
            for item in &doc.items {
                let name = printable(&item.name);
                out.push_str(&format!(
                    "  {name:<widest$}  {:3.0} %  {} of {:<3} {}\n",
                    item.percent,
                    item.chosen,
                    item.offered,
                    bar(item.percent / 100.0, 20)
                ));
            }
        }
        _ => out.push_str("No full assessment is stored.\n"),
    }
    if let Some(quick) = &doc.quick {
        out.push_str(&format!("Last quick check, {}\n", printable(&quick.text)));
    }
    match (&doc.next_full, doc.due) {
        (Some(day), true) => out.push_str(&format!("The next full one is due since {day}.\n")),
        (Some(day), false) => out.push_str(&format!("The next full one is due on {day}.\n")),
        (None, _) => out.push_str("A full one is due: stillroom reinforcers --offer pairs --item … > pairs.csv\n"),
    }
    ending(&mut out, &doc.advice, doc.id.as_deref());
    out
}

/// The advice, and where it was stored.
fn ending(out: &mut String, advice: &[String], id: Option<&str>) {
    out.push('\n');
    for line in advice {
        out.push_str(&wrapped("  - ", line));
    }
    if let Some(id) = id {
        out.push_str(&format!("Stored as {id}.\n"));
    }
}

/// Notes on what self-stimulation may serve.
pub(super) fn needs(doc: &NeedDoc) -> String {
    let mut out = String::new();
    if doc.notes.is_empty() {
        out.push_str("No note yet.\n");
    }
    for note in &doc.notes {
        out.push_str(&wrapped(&format!("{}  ", note.code), &printable(&note.text)));
    }
    ending(&mut out, &doc.advice, doc.id.as_deref());
    out
}

/// The diary of screens.
pub(super) fn screens(doc: &ScreensDoc) -> String {
    let mut out = format!("{}\n", bold(&format!("Screens, {} to {}", doc.from, doc.to)));
    for day in &doc.days {
        let what = if day.what.is_empty() { String::new() } else { format!("  {}", printable(&day.what.join(", "))) };
        out.push_str(&format!(
            "  {}  {:4} min, {} with an adult, {} a repeat{what}\n",
            day.date, day.minutes, day.together, day.repeats
        ));
    }
    match doc.mean_minutes {
        Some(mean) => {
            let percent =
                |share: Option<f64>| share.map_or_else(|| "–".to_owned(), |share| format!("{:.0} %", share * 100.0));
            out.push_str(&format!(
                "  {mean:.0} minutes a day on {} with an entry; {} with an adult, {} repeats\n",
                count(doc.days.len(), "day"),
                percent(doc.together_share),
                percent(doc.repeat_share)
            ));
        }
        None => out.push_str("  no entry\n"),
    }
    if !doc.guidance.is_empty() {
        out.push_str(&format!("\n{}\n", bold("What is published for this age, for information")));
    }
    for one in &doc.guidance {
        let above = one.days_above.filter(|_| !doc.days.is_empty()).map_or_else(String::new, |above| {
            format!(" In the diary {above} of {} above it.", count(doc.days.len(), "day"))
        });
        out.push_str(&wrapped("  - ", &format!("{}: {}{above}", one.edition, one.text)));
    }
    ending(&mut out, &doc.advice, doc.id.as_deref());
    out
}

/// Practice planned and done.
pub(super) fn dose(doc: &DoseDoc) -> String {
    let mut out = format!(
        "{}\n{} opportunities in {} on {}: {:.0} a week",
        bold(&format!("Practice, {} to {}", doc.from, doc.to)),
        doc.trials,
        count(doc.sittings, "sitting"),
        count(doc.days, "day"),
        doc.trials_a_week
    );
    if let Some(planned) = doc.planned_a_week {
        out.push_str(&format!(", planned {planned}"));
    }
    out.push_str(&format!(", needed about {}\n\n{}\n", doc.needed_a_week, bold("The day")));
    for slot in &doc.plan {
        let trials = if slot.trials == 0 { " –".to_owned() } else { format!("{:2}", slot.trials) };
        out.push_str(&wrapped(&format!("  {:<16} {trials}  ", printable(&slot.when)), &printable(&slot.what)));
    }
    out.push('\n');
    for line in &doc.said {
        out.push_str(&wrapped("  - ", line));
    }
    if let Some(id) = &doc.id {
        out.push_str(&format!("Stored as {id}.\n"));
    }
    out
}
