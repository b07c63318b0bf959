//! A case folder for people.

use crate::contract::RecordsDoc;

use crate::words::printable;

use super::paint::bold;

/// The records, oldest first.
pub(super) fn records(doc: &RecordsDoc) -> String {
    let mut out = format!("{}: {} records\n\n", bold(&doc.alias), doc.records.len());
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
    }
    out
}
