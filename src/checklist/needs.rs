//! Prerequisites: a television's sound needs its picture. They must exist, be reachable, and never run in a ring.

use std::collections::BTreeMap;

use super::fault::Wrong;
use super::model::{Item, ItemId};
use super::read::whole;
use super::reader::{Node, Reader};
use crate::words::{did_you_mean, printable};

/// A prerequisite as it was read, with the place of its table.
pub(super) struct Want {
    id: String,
    level: u32,
    at: usize,
}

/// Reads `needs = { id = "…", level = 1 }`.
pub(super) fn read(reader: &mut Reader<'_>, node: &Node<'_>) -> Option<Want> {
    let value = node.get("needs")?;
    let Some(table) = value.get_ref().as_table() else {
        node.type_fault(reader, "needs", "like { id = \"television-picture\", level = 1 }", value);
        return None;
    };
    let row = node.inner(table, &value.span(), "in `needs`");
    row.only(reader, &["id", "level"]);
    let id = row.name(reader, "id", "needs = { id = \"television-picture\", level = 1 }");
    let level = row.required(reader, "level", "level = 1")?;
    let Some(number) = whole(level.get_ref()) else {
        row.type_fault(reader, "level", "a whole number, 1 or more", level);
        return None;
    };
    Some(Want { id: id?, level: number, at: row.at() })
}

/// Checks every prerequisite against the items and stores those that hold. `wants` runs beside `items`.
pub(super) fn settle(reader: &mut Reader<'_>, items: &mut [Item], wants: Vec<Option<Want>>) {
    let known: Vec<(String, usize)> = items.iter().map(|item| (item.id.to_string(), item.levels.len())).collect();
    let places: BTreeMap<&str, usize> = known.iter().enumerate().map(|(at, (id, _))| (id.as_str(), at)).collect();
    let targets: Vec<Option<usize>> =
        wants.iter().map(|want| want.as_ref().and_then(|want| places.get(want.id.as_str()).copied())).collect();
    for (number, want) in wants.into_iter().enumerate() {
        let Some(want) = want else { continue };
        let shown = printable(&want.id);
        let problem = match targets[number] {
            None => {
                let hint = did_you_mean(&want.id, known.iter().map(|(id, _)| id.as_str()));
                format!("names `{shown}`, which is no item of this list{hint}")
            }
            Some(target) if target == number => "names the item itself; name another one".to_owned(),
            Some(target) if known[target].1 == 0 => {
                format!("names `{shown}`, which has no levels; give it an [[item.level]] or take the line out")
            }
            Some(target) if want.level == 0 || want.level as usize > known[target].1 => {
                let levels = known[target].1;
                format!("asks for level {} of `{shown}`, which has levels 1 to {levels}", want.level)
            }
            Some(_) if in_ring(&targets, number) => {
                format!("runs in a ring through `{shown}`: neither could ever come first; take one out")
            }
            Some(_) => {
                items[number].needs = Some((ItemId::new(want.id), want.level));
                continue;
            }
        };
        reader.fault(want.at, Some(&known[number].0), Wrong::Needs { problem });
    }
}

/// Whether following the prerequisites from an item leads back to it.
fn in_ring(targets: &[Option<usize>], start: usize) -> bool {
    let mut at = start;
    // Each item has at most one prerequisite, so a way without a ring ends within as many steps as there are items.
    for _ in 0..targets.len() {
        match targets[at] {
            None => return false,
            Some(next) if next == start => return true,
            Some(next) => at = next,
        }
    }
    false
}
