//! The English texts of the shipped checklists, with the names of their messages.

/// The shipped checklists in English; other languages have their texts as messages.
const LISTS: [&str; 4] = [
    include_str!("../../checklists/home-corner.toml"),
    include_str!("../../checklists/play-floor.toml"),
    include_str!("../../checklists/group-room.toml"),
    // Its items are those of home-corner; a title is all it has of its own.
    include_str!("../../checklists/quick-corner.toml"),
];

/// Every text of every shipped checklist, after the name of its message.
pub(super) fn texts() -> impl Iterator<Item = (String, String)> {
    LISTS.iter().flat_map(|list| texts_of(list))
}

/// The texts of one checklist.
fn texts_of(list: &str) -> Vec<(String, String)> {
    let mut texts = Vec::new();
    let Ok(table) = list.parse::<toml::Table>() else { return texts };
    let word = |table: &toml::Table, key: &str| table.get(key).and_then(toml::Value::as_str).map(str::to_owned);
    let Some(id) = word(&table, "id") else { return texts };
    if let Some(title) = word(&table, "title") {
        texts.push((format!("{id}.title"), title));
    }
    let tables = |table: &toml::Table, key: &str| -> Vec<toml::Table> {
        let array = table.get(key).and_then(toml::Value::as_array).cloned().unwrap_or_default();
        array.into_iter().filter_map(|one| one.as_table().cloned()).collect()
    };
    for item in tables(&table, "item") {
        let Some(name) = word(&item, "id") else { continue };
        for key in ["ask", "help", "remedy"] {
            texts.extend(word(&item, key).map(|text| (format!("{id}-{name}.{key}"), text)));
        }
        for option in tables(&item, "option") {
            let key = word(&option, "key").unwrap_or_default();
            texts.extend(word(&option, "text").map(|text| (format!("{id}-{name}.option-{key}"), text)));
        }
        for (level, number) in tables(&item, "level").iter().zip(1..) {
            texts.extend(word(level, "name").map(|text| (format!("{id}-{name}.level-{number}"), text)));
        }
        let exemplars = item.get("exemplars").and_then(toml::Value::as_array).cloned().unwrap_or_default();
        for (exemplar, number) in exemplars.iter().filter_map(toml::Value::as_str).zip(1..) {
            texts.push((format!("{id}-{name}.exemplar-{number}"), exemplar.to_owned()));
        }
    }
    texts
}
