//! Where and when, for people.

use crate::contract::{CornerDoc, HourDoc, TimesDoc, WhereDoc};
use crate::tasks::where_when::way;
use crate::words::printable;

use super::paint::{bar, bold, short, wrapped};

/// Hours whose levels lie this far apart fill the bar, dB.
const FULL_DB: f64 = 20.0;

/// The answer first, then the figures it rests on.
pub(super) fn answered(doc: &WhereDoc) -> String {
    let mut out = String::new();
    for sentence in &doc.said {
        out.push_str(&wrapped("", sentence));
    }
    if !doc.corners.is_empty() {
        let heading = if doc.corners.len() > 1 { "Corners, by what all of them share" } else { "Corners" };
        out.push_str(&format!("\n{}\n", bold(heading)));
        for corner in &doc.corners {
            out.push_str(&corner_line(corner));
        }
    }
    if let Some(times) = &doc.times {
        out.push_str(&hours(times));
    }
    if doc.ways.len() > 1 {
        out.push_str(&format!("\n{}\n", bold("Ways to a calmer room, the calmest first")));
        for one in &doc.ways {
            out.push_str(&wrapped(
                &format!("  {:>3.0}  ", one.load_after),
                &format!("{}, in all {:.0} min", way(one), one.minutes),
            ));
        }
    }
    if !doc.notes.is_empty() {
        out.push('\n');
    }
    for note in &doc.notes {
        out.push_str(&wrapped("", &note.text));
    }
    let mut said: Vec<&str> = Vec::new();
    for note in doc.differences.iter().flat_map(|other| &other.notes) {
        if !said.contains(&note.text.as_str()) {
            said.push(&note.text);
            out.push_str(&wrapped("", &note.text));
        }
    }
    out.push('\n');
    out.push_str(&wrapped(
        "",
        "The load is a convention of this tool, not a validated scale. All intervals hold together in 95 of 100 cases. Calm enough for the \
         task is the aim; distress or a withdrawn assent beats any figure.",
    ));
    out
}

/// The load by what all corners share, else its own.
fn side_by_side(corner: &CornerDoc) -> (f64, f64, f64) {
    match (corner.shared_load, corner.shared_low, corner.shared_high) {
        (Some(load), Some(low), Some(high)) => (load, low, high),
        _ => (corner.load, corner.load_low, corner.load_high),
    }
}

fn corner_line(corner: &CornerDoc) -> String {
    let (load, low, high) = side_by_side(corner);
    let mut words = vec![format!("({low:.0}–{high:.0})")];
    words.extend(corner.laeq_db.map(|db| format!("{db:.0} dB")));
    words.extend(corner.decay_s.map(|seconds| format!("echo {} s", short(seconds))));
    words.push(corner.date.clone());
    format!("  {:>3.0}  {}  {}\n", load, printable(&corner.place), words.join("  "))
}

fn hours(times: &TimesDoc) -> String {
    let days = if times.days == 1 { "1 day".to_owned() } else { format!("{} days", times.days) };
    let mut out = format!("\n{}\n", bold(&format!("Hour by hour in {}, {days}", printable(&times.place))));
    let least = times.hours.iter().map(|hour| hour.difference_db).fold(f64::INFINITY, f64::min);
    for hour in &times.hours {
        out.push_str(&hour_line(hour, least));
    }
    out
}

fn hour_line(hour: &HourDoc, least: f64) -> String {
    let mut cells = vec![format!("{:02}:00", hour.hour), format!("{:+5.1} dB", hour.difference_db)];
    cells.extend(hour.laeq_db.map(|db| format!("{db:.0} dB")));
    cells.push(format!("{:.0} events an hour", hour.events_per_hour));
    cells.push(format!("{:.0} % speech-like", hour.speech_share * 100.0));
    cells.push(bar((hour.difference_db - least) / FULL_DB, 20));
    format!("  {}\n", cells.join("  "))
}
