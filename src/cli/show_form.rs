//! The list of sheets for people.

use crate::contract::FormsDoc;

use super::paint::{bold, wrapped};

/// The sheets there are.
pub(super) fn list(doc: &FormsDoc) -> String {
    let mut out = String::new();
    for form in &doc.forms {
        out.push_str(&format!("{}\n", bold(&form.name)));
        out.push_str(&wrapped("  ", &form.tells));
    }
    out
}
