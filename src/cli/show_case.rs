//! A case folder for people.

use crate::contract::RecordsDoc;

use super::paint::{bold, wrapped};

/// The records, oldest first.
pub(super) fn records(doc: &RecordsDoc) -> String {
    let mut out = format!("{}: {} records\n\n", bold(&doc.alias), doc.records.len());
    for record in &doc.records {
        out.push_str(&format!("  {}  {}  {:<8}", record.date, record.id, record.kind));
        if let Some(replaced) = &record.replaces {
            out.push_str(&format!("  replaces {replaced}"));
        }
        out.push('\n');
    }
    if !doc.unreadable.is_empty() {
        out.push_str(&format!("\n{}\n", bold("Left out")));
        for stray in &doc.unreadable {
            out.push_str(&wrapped("  - ", &stray.text));
        }
    }
    out
}
