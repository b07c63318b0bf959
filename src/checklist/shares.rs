//! Work that remedies have in common: clearing the table and clearing the floor need one box, fetched once.

use super::fault::{MOST_ROWS, Wrong};
use super::model::{Item, SharedWork};
use super::reader::{Node, Reader, describe, number};

/// How it is written.
const EXAMPLE: &str = "shares = { work = \"one-box\", own = 3.0 }";

/// Reads `shares = { work = "…", own = 3.0 }`; `Some(None)` when the item shares nothing, `None` after a fault.
pub(super) fn read(reader: &mut Reader<'_>, node: &Node<'_>, minutes: Option<f64>) -> Option<Option<SharedWork>> {
    let Some(value) = node.get("shares") else { return Some(None) };
    let Some(table) = value.get_ref().as_table() else {
        node.type_fault(reader, "shares", "like { work = \"one-box\", own = 3.0 }", value);
        return None;
    };
    let row = node.inner(table, &value.span(), "in `shares`");
    row.only(reader, &["work", "own"]);
    let work = row.name(reader, "work", EXAMPLE);
    let own = row.required(reader, "own", EXAMPLE)?;
    let Some(given) = number(own.get_ref()) else {
        row.type_fault(reader, "own", "a number of minutes", own);
        return None;
    };
    let most = minutes?;
    if !(0.0..=most).contains(&given) {
        let found = describe(own.get_ref());
        let problem = format!("has `own` minutes from 0 to the item's {most}, found {found}");
        row.fault(reader, own.span().start, Wrong::Shares { problem });
        return None;
    }
    Some(Some(SharedWork { work: work?, own: given }))
}

/// Refuses a work that too many items share: the exact search for the best moves takes them all together.
pub(super) fn bound(reader: &mut Reader<'_>, top: &Node<'_>, items: &[Item]) {
    let word = |item: &Item| item.shares.as_ref().map(|shares| shares.work.clone());
    let mut works: Vec<String> = items.iter().filter_map(word).collect();
    works.sort();
    if works.windows(MOST_ROWS + 1).any(|run| run[0] == run[MOST_ROWS]) {
        top.fault(reader, top.at(), Wrong::TooMany { most: MOST_ROWS, things: "items that share one work" });
    }
}
