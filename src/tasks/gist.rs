//! What a record says, in one line: enough to know it again in a list.

use crate::contract::{
    AuditBody, ChildBody, DecisionBody, LadderBody, PreferenceBody, ReadingBody, RecordBody, ScreenTimeBody,
    SessionBody,
};

/// One line, without line breaks, in the words of whoever wrote it where there are any.
pub(super) fn gist(body: &RecordBody) -> String {
    let text = match body {
        RecordBody::Child(body) => child(body),
        RecordBody::Task(body) => format!("{}: {}", body.name, body.correct),
        RecordBody::Place(body) => {
            let about = [&body.home, &body.seat, &body.learning_time];
            about.into_iter().flatten().cloned().collect::<Vec<_>>().join(", ")
        }
        RecordBody::Audit(body) => audit(body),
        RecordBody::Ladder(body) => ladder(body),
        RecordBody::Session(body) => session(body),
        RecordBody::Decision(body) => decision(body),
        RecordBody::Preference(body) => preference(body),
        RecordBody::ScreenTime(body) => screen_time(body),
        RecordBody::Note(body) => body.text.clone(),
        RecordBody::Answers(_) => "answers without an audit".to_owned(),
        RecordBody::Reading(body) => reading(body),
        RecordBody::Observation(body) => format!("{} ({})", body.what, body.method),
        RecordBody::Need(body) => format!("{}; before it: {}", body.seen, body.before),
        RecordBody::DayPlan(body) => {
            format!("{} a day, {} a week", count(body.slots.len(), "time"), count(body.days_a_week, "day"))
        }
        RecordBody::Forecast(body) => {
            let n = f64::from(body.opportunities);
            format!("rung {}: {:.1} of {} alone foretold", body.rung, n * body.mean, body.opportunities)
        }
        RecordBody::DaySound(body) => {
            let minutes = body.block.iter().map(|block| block.seconds).sum::<f64>() / 60.0;
            format!("{minutes:.0} minutes of loudness, by {}", body.device)
        }
        RecordBody::Possible(body) => format!(
            "what is possible: {} taken, {} named",
            count(body.taken.len(), "time"),
            count(body.places.len(), "place")
        ),
        RecordBody::Sheet(body) => {
            format!("sheet {}, {}: {} filled", body.number, body.kind, count(body.filled.len(), "circle"))
        }
        RecordBody::Correction(body) => format!("taken back: {}", body.why),
    };
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn count(number: impl TryInto<u64>, word: &str) -> String {
    let number = number.try_into().unwrap_or(u64::MAX);
    format!("{number} {word}{}", if number == 1 { "" } else { "s" })
}

fn child(body: &ChildBody) -> String {
    let (sounds, hearing) = (&body.sound_sensitive, &body.hearing_checked);
    format!("{}; a sound distresses: {sounds}; hearing checked: {hearing}", body.alias)
}

fn audit(body: &AuditBody) -> String {
    format!("load {:.0}, {}", body.figures.load, body.figures.grade)
}

fn signed(by: Option<&str>, without: &str) -> String {
    by.map_or_else(|| without.to_owned(), |by| format!("signed by {by}"))
}

fn ladder(body: &LadderBody) -> String {
    let rungs = count(body.plan.rungs.len(), "rung");
    format!("{rungs}, {}", signed(body.signed_by.as_deref(), "a draft"))
}

fn session(body: &SessionBody) -> String {
    let mut said = format!("rung {}: {} of {} alone", body.rung, body.independent, body.opportunities);
    for (holds, what) in [
        (body.distress, "distress"),
        (!body.assent, "did not want to"),
        (body.after, "unsettled afterwards"),
        (body.rung > 0 && !body.distractor_on, "the distractor was not on"),
    ] {
        if holds {
            said.push_str(&format!(", {what}"));
        }
    }
    if !body.note.is_empty() {
        said.push_str(&format!("; {}", body.note));
    }
    said
}

fn decision(body: &DecisionBody) -> String {
    let by = signed(body.signed_by.as_deref(), "a proposal");
    let lifts = if body.lifts_pause { ", lifts the pause" } else { "" };
    let why = body.why.as_ref().map_or_else(String::new, |why| format!("; {why}"));
    format!("rung {}: {}, {by}{lifts}{why}", body.rung, body.decision)
}

fn preference(body: &PreferenceBody) -> String {
    let most = body.items.iter().max_by_key(|item| item.chosen).filter(|item| item.chosen > 0);
    let liked = most.map_or_else(|| "nothing chosen".to_owned(), |item| format!("{} chosen most", item.name));
    format!("{liked} ({})", body.method)
}

fn screen_time(body: &ScreenTimeBody) -> String {
    let what = body.what.as_ref().map_or_else(String::new, |what| format!(", {what}"));
    format!("{} min{what}{}", body.minutes, if body.together { ", together" } else { "" })
}

fn reading(body: &ReadingBody) -> String {
    let mut parts = Vec::new();
    if body.sound.is_some() {
        parts.push("a recording's reading".to_owned());
    }
    if !body.photos.is_empty() {
        parts.push(format!("readings of {}", count(body.photos.len(), "photo")));
    }
    parts.join(" and ")
}

#[cfg(test)]
mod tests {
    use super::gist;
    use crate::contract::{CorrectionBody, NoteBody, RecordBody, read_record};

    #[test]
    fn a_line_tells_a_record_from_its_neighbours() {
        let note = RecordBody::Note(NoteBody { text: "slept\n badly".to_owned(), place: None, about: None });
        assert_eq!(gist(&note), "slept badly");
        assert_eq!(
            gist(&RecordBody::Correction(CorrectionBody { why: "wrong case".to_owned() })),
            "taken back: wrong case"
        );
        let stored = |text: &str| gist(&read_record(text).unwrap().body);
        let session = include_str!("../../tests/formats/v1/fern/2026-10-20-session-a128821e7ca188aa.toml");
        let decision = include_str!("../../tests/formats/v1/fern/2026-10-21-decision-2b021502cb6c83a7.toml");
        let ladder = include_str!("../../tests/formats/v1/fern/2026-11-25-ladder-6feb846cc62c0904.toml");
        assert_eq!(stored(session), "rung 1: 8 of 10 alone; calm");
        assert_eq!(stored(decision), "rung 1: hold, signed by clinician");
        assert_eq!(stored(ladder), "1 rung, signed by clinician");
    }
}
