//! The checklists that come with the program; the files stand in `checklists/` and are embedded.

use std::sync::LazyLock;

/// The list whose items the quick look takes.
const WHOLE: &str = include_str!("../../checklists/home-corner.toml");
/// Which of them it takes.
const QUICK: &str = include_str!("../../checklists/quick-corner.toml");
/// How an item begins.
const ITEM: &str = "\n[[item]]\n";

/// Each shipped list: its id and its TOML text.
pub fn shipped() -> &'static [(&'static str, &'static str)] {
    static QUICK_TEXT: LazyLock<String> = LazyLock::new(quick);
    static SHIPPED: LazyLock<[(&str, &str); 4]> = LazyLock::new(|| {
        [
            ("home-corner", WHOLE),
            ("play-floor", include_str!("../../checklists/play-floor.toml")),
            ("group-room", include_str!("../../checklists/group-room.toml")),
            ("quick-corner", &QUICK_TEXT),
        ]
    });
    &*SHIPPED
}

/// The list by whose name the words of a shipped list's items are told: the quick look asks the questions of the whole one.
pub fn worded_as(id: &str) -> &str {
    if id == "quick-corner" { "home-corner" } else { id }
}

/// The text of the quick look: the items it names, cut from the whole list as they stand there.
fn quick() -> String {
    let line = |text: &'static str, key: &str| text.lines().find(|line| line.starts_with(key)).unwrap_or_default();
    let mut text = [line(WHOLE, "format"), line(QUICK, "id"), line(QUICK, "title"), ""].join("\n");
    let table: toml::Table = toml::from_str(QUICK).unwrap_or_default();
    let names =
        table.get("items").and_then(toml::Value::as_array).into_iter().flatten().filter_map(toml::Value::as_str);
    for name in names {
        let begins = format!("id = \"{name}\"\n");
        for item in WHOLE.split(ITEM).filter(|item| item.starts_with(&begins)) {
            // What stands between items is a heading of the whole list.
            let item = item.split("\n# ----").next().unwrap_or(item).trim_end();
            text.extend([ITEM, item, "\n"]);
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::{QUICK, shipped};
    use crate::checklist::parse;

    #[test]
    fn a_quick_look_asks_what_a_whole_walk_asks() {
        let list = |id: &str| {
            let (_, text) = shipped().iter().find(|(name, _)| *name == id).unwrap();
            parse(text, id).unwrap()
        };
        let (quick, whole) = (list("quick-corner"), list("home-corner"));
        assert_eq!(quick.items.len(), QUICK.lines().filter(|line| line.starts_with("    \"")).count());
        assert!(2 * quick.items.len() <= whole.items.len());
        assert!(quick.items.iter().all(|item| whole.items.contains(item)));
    }

    #[test]
    fn every_shipped_list_is_read_without_a_fault_under_its_own_id() {
        for (id, text) in shipped() {
            match parse(text, id) {
                Ok(list) => assert_eq!(list.id, *id),
                Err(faults) => panic!("{faults}"),
            }
        }
    }
}
