//! A case folder for people.

use crate::contract::{CaseDoc, RecordsDoc};

use crate::words::{counted, printable};

use super::paint::{bold, wrapped};

/// The records, oldest first.
pub(super) fn records(doc: &RecordsDoc) -> String {
    let mut out = match doc.records.len() {
        1 => format!("{}: 1 record\n\n", bold(&doc.alias)),
        count => format!("{}: {count} records\n\n", bold(&doc.alias)),
    };
    for record in &doc.records {
        let mut line = format!("  {}  {}  {:<11}", record.date, record.id, record.kind);
        if let Some(place) = &record.place {
            line.push_str(&format!("  {}", printable(place)));
        }
        if let Some(replaced) = &record.replaces {
            line.push_str(&format!("  replaces {replaced}"));
        }
        match &record.replaced_by[..] {
            [] => {}
            [one] => line.push_str(&format!("  replaced by {one}")),
            several => line.push_str(&format!("  COMPETING CORRECTIONS {}", several.join(", "))),
        }
        out.push_str(line.trim_end());
        out.push('\n');
        let by = record.by.as_deref().map_or_else(String::new, |by| format!(" ({})", printable(by)));
        let says = format!("{}{by}", printable(&record.says));
        if !says.is_empty() {
            out.push_str(&wrapped("              ", says.trim_start()));
        }
    }
    out
}

/// A case at a glance.
pub(super) fn glance(doc: &CaseDoc) -> String {
    let mut out = bold(&doc.alias);
    if let Some(age) = &doc.age {
        out.push_str(&format!(", {age}"));
    }
    out.push('\n');
    if !doc.keep.is_empty() {
        out.push_str(&wrapped("  stays in reach  ", &doc.keep.join(", ")));
    }
    for place in &doc.places {
        let audits = counted(place.audits, "audit", "audits");
        let text = format!("load {:.0}, {} ({}; {audits})", place.load, place.grade, place.date);
        out.push_str(&wrapped(&format!("  {:<16}", place.place), &text));
        if let Some(set) = &place.sensitivity {
            let factors = format!("seen {}, heard {}, company {}", set.seen, set.heard, set.company);
            let text = format!("counted with the sensitivities {factors}: {}", printable(&set.note));
            out.push_str(&wrapped("                  ", &text));
        }
    }
    if doc.places.is_empty() {
        out.push_str("  no audit yet\n");
    }
    out.push_str(&match (doc.ladder_rungs, &doc.ladder_signed_by) {
        (Some(rungs), Some(by)) => format!("  ladder          {rungs} rungs, signed by {by}\n"),
        (Some(rungs), None) => format!("  ladder          {rungs} rungs, a draft\n"),
        (None, _) => "  no ladder yet\n".to_owned(),
    });
    if let (Some(rung), Some(decision)) = (doc.rung, &doc.decision) {
        let sessions = counted(doc.sessions, "session", "sessions");
        out.push_str(&format!("  practice        {sessions}; rung {rung}: {}\n", bold(decision)));
        out.push_str(&wrapped("                  ", doc.reason.as_deref().unwrap_or_default()));
    } else {
        out.push_str("  no session yet\n");
    }
    if !doc.places.is_empty() {
        out.push_str("Load is a convention of this tool, not a validated scale.\n");
    }
    for left_out in &doc.left_out {
        out.push_str(&wrapped("left out: ", left_out));
    }
    out
}
