//! Packs, tables and the caseload for people.

use crate::contract::{
    CarriedDoc, CaseloadDoc, CaseloadEntryDoc, CollectDoc, ExportedDoc, KindCountDoc, LearnedScaleDoc, PackedDoc,
    UnpackedDoc,
};
use crate::tasks::forecasts::in_words;
use crate::words::{id_in_words, printable};

use super::paint::{bold, wrapped};

fn count(number: usize, word: &str) -> String {
    format!("{number} {word}{}", if number == 1 { "" } else { "s" })
}

/// `1 child`, `2 audits`; what has no plural of its own keeps its name.
fn kind(one: &KindCountDoc) -> String {
    match one.kind.as_str() {
        "answers" | "screen-time" => format!("{} {}", one.count, one.kind),
        "child" => count(one.count, "child record"),
        kind => count(one.count, kind),
    }
}

fn kinds(counts: &[KindCountDoc]) -> String {
    let parts: Vec<String> = counts.iter().map(kind).collect();
    if parts.is_empty() { "nothing".to_owned() } else { parts.join(", ") }
}

/// What a pack will hold, before it is sealed.
pub(super) fn planned(doc: &PackedDoc) -> String {
    let whole =
        doc.place.as_ref().map_or_else(|| "the whole case".to_owned(), |place| format!("only `{}`", printable(place)));
    let mut out =
        wrapped("", &format!("The pack of {} ({whole}) will hold: {}.", printable(&doc.alias), kinds(&doc.holds)));
    for one in &doc.left_out {
        let why = one.why.as_deref().unwrap_or("left out");
        out.push_str(&wrapped("  stays behind: ", &format!("{} ({why})", kind(one))));
    }
    out
}

/// A sealed pack.
pub(super) fn packed(doc: &PackedDoc) -> String {
    format!(
        "Sealed as {} ({} kB). Hand the passphrase over another way than the file.\n",
        doc.file,
        doc.bytes.div_ceil(1000)
    )
}

/// A file for a phone.
pub(super) fn carried(doc: &CarriedDoc) -> String {
    let size = doc.bytes.div_ceil(1000);
    let mut out = match &doc.alias {
        None => format!("The page for a phone is {} ({size} kB). It carries no records.\n", doc.file),
        Some(alias) => wrapped(
            "",
            &format!(
                "The page for a phone is {} ({size} kB). It carries of {}: {}. Whoever has the file can read them.",
                doc.file,
                printable(alias),
                kinds(&doc.holds)
            ),
        ),
    };
    if !doc.left_out.is_empty() {
        out.push_str(&wrapped("  stays behind: ", &kinds(&doc.left_out)));
    }
    out
}

/// An opened pack.
pub(super) fn unpacked(doc: &UnpackedDoc) -> String {
    let photos = if doc.photos == 0 { String::new() } else { format!(" and {}", count(doc.photos, "kept photo")) };
    format!("The case {} is in {}: {}{photos}.\n", printable(&doc.alias), doc.folder, count(doc.records, "record"))
}

/// A folder of packs.
pub(super) fn collected(doc: &CollectDoc) -> String {
    let mut out = format!("{} opened, {} failed.\n", count(doc.packs.len(), "pack"), doc.failed.len());
    for one in &doc.packs {
        let what = if one.new { "new case" } else { "merged" };
        out.push_str(&wrapped(
            "  - ",
            &format!(
                "{}: {what} {} in {}, {} added, {} there already",
                one.pack, one.alias, one.case, one.added, one.already
            ),
        ));
    }
    if !doc.failed.is_empty() {
        out.push_str(&format!("\n{}\n", bold("Failed")));
        for one in &doc.failed {
            out.push_str(&wrapped("  - ", &format!("{}: {}", one.name, one.text)));
        }
    }
    out
}

/// Tables.
pub(super) fn exported(doc: &ExportedDoc) -> String {
    let mut out = format!("{} in {}: {}.\n", count(doc.files.len(), "file"), doc.folder, doc.files.join(", "));
    if doc.anonymous {
        out.push_str(&wrapped(
            "",
            "Dates are moved by one secret number of days, places, tasks and people are numbered, and notes are left out. Who \
             knows one true date of this child can move the others back: share it with care.",
        ));
    }
    out
}

/// All cases, who needs a person today first.
pub(super) fn caseload(doc: &CaseloadDoc) -> String {
    let mut out = format!("{}\n", count(doc.cases.len(), "case"));
    let width = doc.cases.iter().map(|case| case.alias.chars().count()).max().unwrap_or(0).clamp(5, 24);
    if !doc.cases.is_empty() {
        out.push_str(&format!("\n  {:<width$}  rung  last session  days ago  decision\n", "alias"));
    }
    if doc.cases.is_empty() && doc.unreadable.is_empty() {
        out.push_str("The folder holds none yet: `stillroom case new FOLDER/NAME --alias NAME` makes one.\n");
    }
    let mut due = "";
    for case in &doc.cases {
        if due != case.due {
            due = &case.due;
            out.push_str(&format!("\n{}\n", bold(due)));
        }
        out.push_str(&line(case, width));
    }
    if let Some(record) = &doc.forecasts {
        out.push('\n');
        out.push_str(&wrapped("", &in_words(record)));
    }
    if !doc.unreadable.is_empty() {
        out.push_str(&format!("\n{}\n", bold("Not read")));
        for one in &doc.unreadable {
            out.push_str(&wrapped("  - ", &format!("{}: {}", one.name, one.text)));
        }
    }
    out
}

/// A scale learned from cases.
pub(super) fn learned_scale(doc: &LearnedScaleDoc) -> String {
    let mut out = format!("A scale learned from {} children is in {}:\n\n", doc.children, doc.file);
    for one in &doc.pulls {
        out.push_str(&wrapped(
            "  ",
            &format!(
                "{}: {:.2} times (90 %: {:.2} to {:.2}), {} children, spread {:.2}",
                printable(&one.id),
                one.factor,
                one.low,
                one.high,
                one.children,
                one.spread
            ),
        ));
    }
    out.push('\n');
    out.push_str(&wrapped(
        "",
        "Look at it before you use it: `stillroom audit --scale FILE` and later plans go by it. The shipped scale is as it was.",
    ));
    if !doc.unreadable.is_empty() {
        out.push_str(&format!("\n{}\n", bold("Not read")));
        for one in &doc.unreadable {
            out.push_str(&wrapped("  - ", &format!("{}: {}", one.name, one.text)));
        }
    }
    out
}

/// One line a case: alias, rung, last session, days since, decision, what is missing.
fn line(case: &CaseloadEntryDoc, width: usize) -> String {
    let rung = case.rung.map_or_else(|| "-".to_owned(), |rung| rung.to_string());
    let last = case.last_session.as_deref().unwrap_or("none yet");
    let ago = case.days_since.filter(|days| *days >= 0).map_or_else(|| "-".to_owned(), |days| days.to_string());
    let decision = case.decision.as_deref().unwrap_or("-");
    let why: Vec<String> =
        case.why.iter().filter(|note| !case.missing.contains(note)).map(|note| plain(&note.code)).collect();
    let missing: Vec<String> = case.missing.iter().map(|note| plain(note.code.trim_start_matches("no-"))).collect();
    let mut said = why;
    if !missing.is_empty() {
        said.push(format!("missing: {}", missing.join(", ")));
    }
    if let Some(record) = &case.forecasts {
        said.push(match record.no_better {
            Some(true) => "load foretells no better than a guess".to_owned(),
            _ => format!("{} of {} forecasts near", record.hits, record.forecasts),
        });
    }
    let alias = printable(&case.alias);
    let line = format!("  {alias:<width$}  {rung:>4}  {last:<12}  {ago:>8}  {decision:<10}  {}", said.join("; "));
    format!("{}\n", line.trim_end())
}

/// A code in words.
fn plain(code: &str) -> String {
    match code {
        "not-asked" => "sound and hearing not asked".to_owned(),
        code => id_in_words(code),
    }
}
