//! Checklists and the scale for people.

use crate::contract::{ChecklistCheckDoc, ChecklistDoc, ChecklistsDoc, ScaleDoc};

use super::paint::{bold, short, wrapped};

/// The shipped lists.
pub(super) fn list(doc: &ChecklistsDoc) -> String {
    let mut out = String::new();
    for list in &doc.checklists {
        out.push_str(&format!("  {}{} ({} items)\n", bold(&format!("{:<14}", list.id)), list.title, list.items));
    }
    out.push_str("\nnext: stillroom checklist blank ID > answers.toml\n");
    out
}

/// One list, surface by surface.
pub(super) fn checklist(doc: &ChecklistDoc) -> String {
    let mut out = format!("{} ({})\n", bold(&doc.title), doc.id);
    out.push_str(&wrapped(
        "",
        "First ask what must stay in reach: the child's way of talking, picture schedule, comfort or fidget things, glasses, hearing aid, ear defenders. They are never counted and never moved.",
    ));
    let mut surface = "";
    for item in &doc.items {
        if item.surface != surface {
            surface = &item.surface;
            out.push_str(&format!("\n{}\n", bold(surface)));
        }
        out.push_str(&wrapped("  ", &item.ask));
        if let Some(help) = &item.help {
            out.push_str(&wrapped("    ", help));
        }
        for (key, text) in &item.options {
            out.push_str(&wrapped(&format!("    {key}: "), text));
        }
        let about = format!(
            "{}, {}, up to {} % alone ({}). {} ({} min)",
            item.id,
            item.unit,
            short(item.alone),
            item.evidence,
            item.remedy,
            short(item.minutes)
        );
        out.push_str(&wrapped("    ", &about));
    }
    out
}

/// What a check found.
pub(super) fn checked(doc: &ChecklistCheckDoc) -> String {
    let mut out = format!("{} reads well: {} items.\n", bold(&doc.id), doc.items);
    if !doc.advice.is_empty() {
        out.push_str("\nWhat could be better\n");
        for note in &doc.advice {
            out.push_str(&wrapped("  - ", &format!("{} ({})", note.text, note.code)));
        }
    }
    out
}

/// The scale, table by table, each with what it rests on.
pub(super) fn scale(doc: &ScaleDoc) -> String {
    let mut out = String::from(
        "Every constant of the load, with what it rests on. To change one, save this file, change it, and give it with --scale.\n",
    );
    for table in &doc.tables {
        out.push_str(&format!(
            "\n{}  {}\n",
            bold(&format!("[{}]", table.name)),
            table.evidence.as_deref().unwrap_or("no evidence given")
        ));
        if let Some(source) = &table.source {
            out.push_str(&wrapped("  ", source));
        }
        for (key, value) in &table.entries {
            out.push_str(&wrapped(&format!("  {key} = "), value));
        }
    }
    out
}
