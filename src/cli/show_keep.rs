//! Checks, merges and erasures for people.

use crate::contract::{AddedDoc, CaseCheckDoc, ErasedDoc, FindingDoc, MergeDoc};

use super::paint::{bold, wrapped};

/// `1 file`, `2 files`.
fn count(number: usize, word: &str) -> String {
    format!("{number} {word}{}", if number == 1 { "" } else { "s" })
}

/// A record that was added.
pub(super) fn added(doc: &AddedDoc) -> String {
    match &doc.replaces {
        Some(old) => format!("Stored as {} ({}); it replaces {old}, which stays readable.\n", doc.id, doc.kind),
        None => format!("Stored as {} ({}).\n", doc.id, doc.kind),
    }
}

/// What a check found.
pub(super) fn checked(doc: &CaseCheckDoc) -> String {
    let mut out = format!("{} and {} are sound.\n", count(doc.records, "record"), count(doc.photos, "kept photo"));
    let mut list = |heading: &str, findings: &[FindingDoc]| {
        if findings.is_empty() {
            return;
        }
        out.push_str(&format!("\n{}\n", bold(heading)));
        for one in findings {
            out.push_str(&format!("  {}\n", one.name));
            out.push_str(&wrapped("    ", &one.text));
        }
    };
    list("Wrong", &doc.findings);
    list("Good to know", &doc.notices);
    for name in &doc.restored {
        out.push_str(&format!("\n{name} has its name back.\n"));
    }
    if let Some(aside) = &doc.set_aside {
        out.push_str(&format!("\n{} moved to {aside}; nothing was deleted.\n", count(doc.moved.len(), "file")));
        for name in &doc.moved {
            out.push_str(&format!("  {name}\n"));
        }
    }
    if doc.sound {
        out.push_str("\nThe case is sound.\n");
    }
    out
}

/// What a merge did.
pub(super) fn merged(doc: &MergeDoc) -> String {
    let mut out = format!("{} added, {} there already.\n", count(doc.added.len(), "file"), doc.already);
    if !doc.left_out.is_empty() {
        out.push_str(&format!("\n{}\n", bold("Not taken")));
        for one in &doc.left_out {
            out.push_str(&wrapped("  - ", &one.text));
        }
    }
    for group in &doc.conflicts {
        out.push('\n');
        let last = group.last().map_or("", String::as_str);
        out.push_str(&wrapped(
            "",
            &format!(
                "Corrections of one record compete: {}. All are kept and shown; figures use {last}, written last. To settle \
                 it, take one back: stillroom case withdraw DIR ID --why …",
                group.join(", ")
            ),
        ));
    }
    out
}

/// What was erased.
pub(super) fn erased(doc: &ErasedDoc) -> String {
    let mut out = format!(
        "{} erased{}.\n",
        count(doc.files, "file"),
        if doc.folder_gone { ", and the folder" } else { "; the folder stays" }
    );
    for name in &doc.stays {
        out.push_str(&format!("  {name} is no part of the case and stays.\n"));
    }
    out.push_str("\nOut of reach:\n");
    for one in &doc.out_of_reach {
        out.push_str(&wrapped("  - ", one));
    }
    out
}
