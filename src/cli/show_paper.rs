//! Filled sheets for people.

use crate::contract::{PaperDoc, SheetReadDoc};
use crate::words::counted;

use super::paint::{bold, wrapped};

/// What is never read.
const BY_HAND: &str =
    "Handwriting is not read: a note that begins with baseline, probe, maintenance, unwell or harm is yours to add.";

/// What was read.
pub(super) fn read(doc: &PaperDoc) -> String {
    let mut out = String::new();
    for sheet in &doc.sheets {
        out.push_str(&one(sheet));
    }
    if doc.sheets.iter().any(|sheet| sheet.kind == "session-sheet") {
        out.push_str(&wrapped("", BY_HAND));
    }
    out
}

fn one(sheet: &SheetReadDoc) -> String {
    let mut out = format!("{}  {}\n", bold(&format!("sheet {}", sheet.number)), sheet.file);
    if let Some(week) = &sheet.week {
        out.push_str(&format!("  week of {week}\n"));
    }
    if let Some(rung) = sheet.rung {
        out.push_str(&format!("  rung {rung}\n"));
    }
    if sheet.already {
        out.push_str("  The case holds this sheet already; nothing of it is stored again.\n");
    }
    for line in &sheet.says {
        out.push_str(&format!("  {line}\n"));
    }
    if sheet.says.is_empty() {
        out.push_str("  Nothing on it is filled in.\n");
    }
    for doubt in &sheet.doubtful {
        out.push_str(&format!("  not sure: {}\n", doubt.text));
        out.push_str(&format!("    --mark {}=yes\n", doubt.name));
    }
    out
}

/// What was stored.
pub(super) fn stored(doc: &PaperDoc) -> String {
    let mut out = String::new();
    for sheet in doc.sheets.iter().filter(|sheet| sheet.already) {
        out.push_str(&format!("sheet {} is in the case already.\n", sheet.number));
    }
    if !doc.stored.is_empty() {
        out.push_str(&format!("Stored: {}.\n", counted(doc.stored.len(), "record", "records")));
    }
    if doc.sheets.iter().any(|sheet| sheet.kind == "session-sheet" && !sheet.already) {
        out.push_str(&wrapped("", BY_HAND));
    }
    out
}
