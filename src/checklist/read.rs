//! Reading a checklist strictly: every fault of the file is found and shown at once.

use std::collections::BTreeMap;

use toml::de::DeValue;

use super::fault::{Faults, MOST_COUNT, MOST_ITEMS, MOST_ROWS, Wrong};
use super::model::{Checklist, Choice, Draw, Item, ItemId, ItemLevel, Unit};
use super::needs;
use super::reader::{Node, Reader, describe, document, number, one_of};
use super::shares;
use crate::words::{Channel, Evidence, Surface, did_you_mean, printable};

/// The value of `format` in a checklist.
pub const FORMAT: &str = "stillroom.checklist/1";

const TOP_KEYS: [&str; 4] = ["format", "id", "title", "item"];
const ITEM_KEYS: [&str; 19] = [
    "id",
    "surface",
    "channel",
    "ask",
    "help",
    "unit",
    "alone",
    "half",
    "in_photo",
    "in_recording",
    "evidence",
    "source",
    "remedy",
    "minutes",
    "shares",
    "exemplars",
    "option",
    "level",
    "needs",
];
const OPTION_KEYS: [&str; 3] = ["key", "text", "alone"];
const LEVEL_KEYS: [&str; 6] = ["name", "count", "option", "alone", "db", "speech"];
const DRAW_KEYS: [&str; 4] = ["count", "option", "alone", "db"];
const UNITS: [&str; 3] = ["count", "choice", "yes"];

/// Reads a checklist; `file` is how messages call it.
pub fn parse(text: &str, file: &str) -> Result<Checklist, Faults> {
    document(text, file, |reader, top| {
        format_line(reader, top, FORMAT);
        top.only(reader, &TOP_KEYS);
        let id = top.name(reader, "id", "id = \"home-corner\"");
        let title = top.optional_text(reader, "title");
        let nodes = top.tables(reader, "item", "in an item", "tables that begin with [[item]]")?;
        if nodes.is_empty() {
            top.fault(reader, top.at(), Wrong::NoItems);
        }
        if nodes.len() > MOST_ITEMS {
            top.fault(
                reader,
                nodes[MOST_ITEMS].at(),
                Wrong::TooMany { most: MOST_ITEMS, things: "items in a checklist" },
            );
            return None;
        }
        let mut items = Vec::new();
        let mut wants = Vec::new();
        let mut lines: BTreeMap<String, usize> = BTreeMap::new();
        for node in nodes {
            let (node, name) = named(reader, node, &mut lines);
            let item = read_item(reader, &node, name);
            wants.push(needs::read(reader, &node));
            items.extend(item);
        }
        // A prerequisite can be judged only when every item could be read: half a list would give false alarms.
        if items.len() == wants.len() {
            needs::settle(reader, &mut items, wants);
        }
        shares::bound(reader, top, &items);
        let id = id?;
        let title = title.ok()?.unwrap_or_else(|| id.clone());
        Some(Checklist { id, title, items })
    })
}

/// Checks the format line.
pub(super) fn format_line(reader: &mut Reader<'_>, top: &Node<'_>, wanted: &'static str) {
    let Some(value) = top.required(reader, "format", &format!("format = \"{wanted}\"")) else { return };
    if value.get_ref().as_str() != Some(wanted) {
        let found = describe(value.get_ref());
        top.fault(reader, value.span().start, Wrong::Format { wanted, found });
    }
}

/// Reads the item's id, so that every later message can name it, and refuses one that stands twice.
fn named<'t>(
    reader: &mut Reader<'_>,
    node: Node<'t>,
    lines: &mut BTreeMap<String, usize>,
) -> (Node<'t>, Option<String>) {
    let name = node.name(reader, "id", "id = \"loose-things\"");
    let node = node.named(name.clone());
    if let Some(name) = &name {
        let at = node.get("id").map_or(node.at(), |value| value.span().start);
        if let Some(&first) = lines.get(name) {
            node.fault(reader, at, Wrong::DuplicateItem { first });
        } else {
            lines.insert(name.clone(), reader.line(at));
        }
    }
    (node, name)
}

/// Reads everything of an item but its prerequisite. Every key is read before the first `?`, so that all faults show.
fn read_item(reader: &mut Reader<'_>, node: &Node<'_>, name: Option<String>) -> Option<Item> {
    node.only(reader, &ITEM_KEYS);
    let surface = node.word(reader, "surface", &Surface::ALL.map(Surface::word), Surface::from_word);
    let channel = node.word(reader, "channel", &Channel::ALL.map(Channel::word), Channel::from_word);
    let ask = node.text(reader, "ask", "the question");
    let help = node.optional_text(reader, "help");
    let unit = read_unit(reader, node);
    let in_photo = pooled(reader, node, "in_photo", Channel::Seen, channel);
    let in_recording = pooled(reader, node, "in_recording", Channel::Heard, channel);
    let evidence = node.word(reader, "evidence", &Evidence::ALL.map(Evidence::word), Evidence::from_word);
    let source = node.optional_text(reader, "source");
    let remedy = node.text(reader, "remedy", "what takes it out of the room");
    let minutes = node.number(reader, "minutes", |m| m >= 0.0, |found| Wrong::Minutes { found });
    let shares = shares::read(reader, node, minutes);
    let exemplars = node.texts(reader, "exemplars");
    let levels = read_levels(reader, node, unit.as_ref(), channel);
    Some(Item {
        id: ItemId::new(name?),
        surface: surface?,
        channel: channel?,
        ask: ask?,
        help: help.ok()?,
        unit: unit?,
        in_photo: in_photo?,
        in_recording: in_recording?,
        evidence: evidence?,
        source: source.ok()?,
        remedy: remedy?,
        minutes: minutes?,
        shares: shares?,
        exemplars: exemplars?,
        levels: levels?,
        needs: None,
    })
}

/// Reads `in_photo` or `in_recording` and refuses it on another channel.
fn pooled(
    reader: &mut Reader<'_>,
    node: &Node<'_>,
    flag: &'static str,
    needed: Channel,
    channel: Option<Channel>,
) -> Option<bool> {
    let on = node.flag(reader, flag)?;
    if let (true, Some(channel)) = (on, channel)
        && channel != needed
    {
        let at = node.get(flag).map_or(node.at(), |value| value.span().start);
        node.fault(reader, at, Wrong::Pooled { flag, needed: needed.word(), channel: channel.word() });
        return None;
    }
    Some(on)
}

/// Reads the unit with the weights that belong to it, and refuses the weights of another unit.
fn read_unit(reader: &mut Reader<'_>, node: &Node<'_>) -> Option<Unit> {
    let unit = node.word(reader, "unit", &UNITS, |word| UNITS.into_iter().find(|&unit| unit == word))?;
    let belongs: &[&str] = match unit {
        "count" => &["alone", "half"],
        "choice" => &["option"],
        _ => &["alone"],
    };
    let place = match unit {
        "count" => "in a counted item",
        "choice" => "in an item with options",
        _ => "in a yes-or-no item",
    };
    for key in ["alone", "half", "option"] {
        if let (false, Some(value)) = (belongs.contains(&key), node.get(key)) {
            let hint = match (unit, key) {
                ("choice", "alone") => "; each [[item.option]] carries its own",
                ("choice", _) => "; take the line out",
                (_, "option") => "; write unit = \"choice\" or take the options out",
                _ => "; write unit = \"count\" or take the line out",
            };
            let what = Wrong::UnknownKey { key: key.to_owned(), place, hint: hint.to_owned() };
            node.fault(reader, value.span().start, what);
        }
    }
    match unit {
        "count" => {
            let alone = percent(reader, node);
            let half = node.number(reader, "half", |half| half > 0.0, |found| Wrong::Half { found });
            Some(Unit::Count { alone: alone?, half: half? })
        }
        "choice" => read_options(reader, node).map(Unit::Choice),
        _ => percent(reader, node).map(|alone| Unit::Yes { alone }),
    }
}

/// The percentage `alone`.
fn percent(reader: &mut Reader<'_>, node: &Node<'_>) -> Option<f64> {
    node.number(reader, "alone", |p| (0.0..100.0).contains(&p), |found| Wrong::Percent { key: "alone", found })
}

/// Reads the options of a choice.
fn read_options(reader: &mut Reader<'_>, node: &Node<'_>) -> Option<Vec<Choice>> {
    const WANTED: &str = "tables that begin with [[item.option]]";
    node.required(reader, "option", "two or more [[item.option]] tables")?;
    let rows = node.tables(reader, "option", "in an option", WANTED)?;
    if rows.len() > MOST_ROWS {
        node.fault(reader, node.at(), Wrong::TooMany { most: MOST_ROWS, things: "options in an item" });
        return None;
    }
    let expected = rows.len();
    let mut options: Vec<Choice> = Vec::new();
    for row in rows {
        row.only(reader, &OPTION_KEYS);
        let at = row.get("key").map_or(row.at(), |value| value.span().start);
        if row.get("key").and_then(|value| value.get_ref().as_str()) == Some(super::answers::NOT_SEEN) {
            row.fault(reader, at, Wrong::ReservedOption);
            continue;
        }
        let key = row.name(reader, "key", "key = \"a-word\"");
        let text = row.text(reader, "text", "what it means");
        let alone = percent(reader, &row);
        let (Some(key), Some(text), Some(alone)) = (key, text, alone) else { continue };
        if options.iter().any(|option| option.key == key) {
            row.fault(reader, at, Wrong::DuplicateOption { option: key });
            continue;
        }
        options.push(Choice { key, text, alone });
    }
    if expected < 2 {
        let hint = "; a choice needs two or more [[item.option]] tables".to_owned();
        node.fault(reader, node.at(), Wrong::Missing { key: "option", hint });
        return None;
    }
    (options.len() == expected).then_some(options)
}

/// Reads the ladder levels.
fn read_levels(
    reader: &mut Reader<'_>,
    node: &Node<'_>,
    unit: Option<&Unit>,
    channel: Option<Channel>,
) -> Option<Vec<ItemLevel>> {
    let rows = node.tables(reader, "level", "in a level", "tables that begin with [[item.level]]")?;
    if rows.len() > MOST_ROWS {
        node.fault(reader, node.at(), Wrong::TooMany { most: MOST_ROWS, things: "levels in an item" });
        return None;
    }
    let expected = rows.len();
    let mut levels = Vec::new();
    for (number, row) in (1..).zip(&rows) {
        row.only(reader, &LEVEL_KEYS);
        let name = row.text(reader, "name", "what is set up, in a few words");
        let draw = read_draw(reader, row, number, unit, channel);
        if let (Some(name), Some(draw)) = (name, draw) {
            levels.push(ItemLevel { name, draw });
        }
    }
    (levels.len() == expected).then_some(levels)
}

/// Reads how one level gets its pull.
fn read_draw(
    reader: &mut Reader<'_>,
    row: &Node<'_>,
    level: usize,
    unit: Option<&Unit>,
    channel: Option<Channel>,
) -> Option<Draw> {
    let there: Vec<&str> = DRAW_KEYS.into_iter().filter(|key| row.get(key).is_some()).collect();
    let [key] = there[..] else {
        let found = if there.is_empty() {
            "none of them".to_owned()
        } else {
            there.iter().map(|key| format!("`{key}`")).collect::<Vec<_>>().join(" and ")
        };
        row.fault(reader, row.at(), Wrong::Draw { level, found });
        return None;
    };
    let value = row.get(key)?;
    let at = value.span().start;
    let problem = |reader: &mut Reader<'_>, text: String| {
        row.fault(reader, at, Wrong::Level { level, problem: text });
    };
    let before = channel.map(|channel| (channel == Channel::Heard, key == "db"));
    match before {
        Some((true, false)) => {
            problem(reader, format!("a heard item is set up by its sound; write `db`, not `{key}`"));
            return None;
        }
        Some((false, true)) => {
            problem(reader, "only a heard item has `db`; write `count`, `option` or `alone`".to_owned());
            return None;
        }
        _ => {}
    }
    if key != "db" && row.get("speech").is_some() {
        problem(reader, "`speech` stands only beside `db`; take the line out".to_owned());
        return None;
    }
    match key {
        "count" => match (unit, number(value.get_ref())) {
            (Some(Unit::Choice(_) | Unit::Yes { .. }), _) => {
                problem(reader, "the item is not counted; write `option` or `alone`".to_owned());
                None
            }
            (_, Some(_)) => match whole(value.get_ref()).filter(|&count| count > 0) {
                Some(count) => Some(Draw::Count(count)),
                None => {
                    let found = describe(value.get_ref());
                    problem(reader, format!("`count` must be a whole number from 1 to {MOST_COUNT}, found {found}"));
                    None
                }
            },
            _ => {
                row.type_fault(reader, "count", "a whole number", value);
                None
            }
        },
        "option" => {
            let Some(wanted) = value.get_ref().as_str() else {
                row.type_fault(reader, "option", "the key of an option in quotes", value);
                return None;
            };
            match unit {
                Some(Unit::Choice(options)) if options.iter().any(|option| option.key == wanted) => {
                    Some(Draw::Option(wanted.to_owned()))
                }
                Some(Unit::Choice(options)) => {
                    let keys = options.iter().map(|option| option.key.as_str());
                    let hint = did_you_mean(wanted, keys.clone());
                    let wanted = printable(wanted);
                    problem(reader, format!("there is no option \"{wanted}\"; choose {}{hint}", one_of(keys)));
                    None
                }
                Some(_) => {
                    problem(reader, "the item has no options; write `count` or `alone`".to_owned());
                    None
                }
                // The unit could not be read and has its own fault.
                None => None,
            }
        }
        "alone" => percent(reader, row).map(Draw::Alone),
        _ => {
            let db = row.number(reader, "db", |db| (0.0..=100.0).contains(&db), |found| Wrong::Sound { found });
            let speech = row.flag(reader, "speech");
            Some(Draw::Sound { db: db?, speech: speech? })
        }
    }
}

/// A whole number from 0 to [`MOST_COUNT`].
pub(super) fn whole(value: &DeValue<'_>) -> Option<u32> {
    let number = value.as_integer()?;
    u32::from_str_radix(number.as_str(), number.radix()).ok().filter(|&count| count <= MOST_COUNT)
}
