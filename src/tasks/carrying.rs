//! One file for a phone: the page that carries the whole tool, with the records that a family needs there, and no more.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use std::path::Path;

use flate2::Compression;
use flate2::write::GzEncoder;
use jiff::Timestamp;

use crate::case::{self, Case, RecordName};
use crate::contract::{CarriedDoc, RecordBody};
use crate::report::base64;

use super::files::{read_text, shown, write};
use super::handovers::counted;
use super::refusal::Refusal;

/// Where a page without records takes them in, and where it says whose they are.
const RECORDS: &str = "id=\"records\"></script>";
const WHOSE: &str = "<html lang=\"en\" dir=\"ltr\">";

/// The page that was built into this program, where it was.
#[cfg(feature = "carry")]
const BUILT_IN: Option<&str> = Some(include_str!(env!("STILLROOM_CARRY")));
#[cfg(not(feature = "carry"))]
const BUILT_IN: Option<&str> = None;

/// The kinds of records a phone needs: whose they are, what is practised where, the plan, what its next step rests on, and when
/// it is calm.
/// Notes, diaries, observations and photos stay behind.
const KINDS: [&str; 11] = [
    "child",
    "task",
    "place",
    "audit",
    "ladder",
    "session",
    "decision",
    "day-plan",
    "forecast",
    "possible",
    "day-sound",
];
/// Recorded days that go along, the newest: enough to tell the calm time, and some 3 kB each.
const DAYS: usize = 10;

/// Writes the file; with a case, its records go along.
pub fn carry(case: Option<&Path>, template: Option<&Path>, out: &Path, now: Timestamp) -> Result<CarriedDoc, Refusal> {
    let page = match (template, BUILT_IN) {
        (Some(file), _) => read_text(file, &mut std::io::empty())?.content,
        (None, Some(page)) => page.to_owned(),
        (None, None) => {
            return Err(Refusal::new("no-template", "this build brings no page for a phone")
                .hint("build one with carry/build and name it: --template target/carry/stillroom-carry.html"));
        }
    };
    if page.matches(RECORDS).count() != 1 || page.matches(WHOSE).count() != 1 {
        return Err(Refusal::new("not-a-template", "the template is no page without records")
            .hint("give the file that carry/build made, not one that already carries records"));
    }
    let Some(folder) = case else {
        write(out, page.as_bytes())?;
        let bytes = page.len() as u64;
        return Ok(CarriedDoc { file: shown(out), bytes, alias: None, holds: Vec::new(), left_out: Vec::new() });
    };
    let case = Case::open(folder)?;
    let mut plan = case::plan(&case, None, now)?;
    let wanted = needed(&case)?;
    let (goes, stays): (Vec<_>, Vec<_>) = plan.list.files.into_iter().partition(|file| wanted.contains(&file.name));
    plan.list.files = goes;
    let kind = |name: &str| RecordName::parse(name).map(|name| (name.kind, None));
    let holds = counted(plan.list.files.iter().filter_map(|file| kind(&file.name)));
    let left_out = counted(stays.iter().filter_map(|file| kind(&file.name)));
    let mut text = String::new();
    let mut packed = GzEncoder::new(Vec::new(), Compression::best());
    let wrote = packed.write_all(&case::packed_plain(&case, &plan)?).and_then(|()| packed.finish());
    base64(&wrote.map_err(|error| Refusal::new("cannot-write", error.to_string()))?, &mut text);
    let whose = case.names()?.into_iter().find(|name| name.kind == "child").map(|name| name.id).unwrap_or_default();
    let page = page
        .replace(WHOSE, &format!("<html lang=\"en\" dir=\"ltr\" data-id=\"{whose}\">"))
        .replace(RECORDS, &format!("id=\"records\">{text}</script>"));
    write(out, page.as_bytes())?;
    Ok(CarriedDoc { file: shown(out), bytes: page.len() as u64, alias: Some(plan.list.alias), holds, left_out })
}

/// The file names of the records that go along: of the audits the newest of each place, of the recorded days the newest, of
/// everything else what stands.
fn needed(case: &Case) -> Result<BTreeSet<String>, Refusal> {
    let found = case.standing(|kind| KINDS.contains(&kind))?;
    let mut newest: BTreeMap<String, String> = BTreeMap::new();
    let (mut names, mut days) = (BTreeSet::new(), Vec::new());
    for stored in found.records {
        let name = stored.name.to_string();
        match stored.record.body {
            // In the order in which they were written: the last one stays.
            RecordBody::Audit(body) => drop(newest.insert(body.figures.place.clone(), name)),
            RecordBody::DaySound(_) => days.push(name),
            _ => drop(names.insert(name)),
        }
    }
    names.extend(newest.into_values().chain(days.into_iter().rev().take(DAYS)));
    Ok(names)
}
