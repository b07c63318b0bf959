//! What a case holds of a sheet already: rows that were confirmed when it was read before, and records of a run that was cut short.

use std::collections::{BTreeMap, BTreeSet};

use crate::case::{Case, id_of};
use crate::contract::{RecordBody, SheetBody};
use crate::paper::{Filled, Kind, Label};

use super::refusal::Refusal;
use super::sheet_words;
use super::sheets::{ReadSheet, Spot, digits};

/// The records of this very sheet or page.
pub(super) fn read_before(case: &Case, number: &str, kind: Kind) -> Result<Vec<SheetBody>, Refusal> {
    let found = case.standing(|kind| kind == "sheet")?.records;
    let of_it = |body| match body {
        RecordBody::Sheet(body) if body.number == number && body.kind == kind.name() => Some(body),
        _ => None,
    };
    Ok(found.into_iter().filter_map(|stored| of_it(stored.record.body)).collect())
}

/// How a record names the sheet it came of; a colon and the row follow.
pub(super) fn source(label: &Label) -> String {
    id_of(format!("sheet {}", digits(label.number)).as_bytes())
}

/// The records that came of a sheet, by its rows from 1.
pub(super) fn records(case: &Case, label: &Label) -> Result<BTreeMap<usize, String>, Refusal> {
    let source = source(label);
    let kinds = ["session", "observation", "screen-time", "audit"];
    let row = |from: Option<&String>| from?.strip_prefix(&source)?.strip_prefix(':')?.parse().ok();
    let found = case.read_kinds(|kind| kinds.contains(&kind))?.records;
    let one = |stored: &crate::case::Stored| {
        let from = match &stored.record.body {
            RecordBody::Session(body) => row(body.details.read_from.as_ref()),
            RecordBody::Observation(body) => row(body.read_from.as_ref()),
            RecordBody::ScreenTime(body) => row(body.read_from.as_ref()),
            RecordBody::Audit(body) => row(body.read_from.as_ref()),
            _ => None,
        };
        Some((from?, stored.name.id.clone()))
    };
    Ok(found.iter().filter_map(one).collect())
}

impl ReadSheet {
    /// Takes what was confirmed before for its rows, so that a sheet photographed again later gives only what is new; says where
    /// it reads differently now.
    pub(super) fn recall(&mut self, before: &[SheetBody]) {
        let has = |list: fn(&SheetBody) -> &Vec<String>, name: &str| {
            before.iter().any(|body| list(body).iter().any(|one| one == name))
        };
        let row = |name: &String| name.split('.').next()?.parse::<u8>().ok()?.checked_sub(1);
        self.before = before.iter().flat_map(|body| &body.filled).filter_map(row).collect();
        if self.kind() == Kind::Checklist && !before.is_empty() {
            self.before = self.sheet.circles.iter().map(|circle| circle.row).collect();
        }
        let mut changed = BTreeSet::new();
        let said_no = |name: &str| {
            let said = format!("{name} = no");
            has(|body| &body.corrected, &said) || has(|body| &body.asked, &said)
        };
        let known = self.spots.iter_mut().filter(|spot| self.before.contains(&spot.circle.row));
        for spot in known {
            let name = spot.circle.name();
            let then = if has(|body| &body.filled, &name) { Filled::Yes } else { Filled::No };
            if spot.filled == Filled::Yes && then == Filled::No && !said_no(&name) {
                changed.insert(spot.circle.row);
            }
            spot.filled = then;
        }
        // Nothing is filled in the other rows but what somebody has said no to.
        let nothing_new = |spot: &Spot| match spot.filled {
            Filled::No => true,
            Filled::Doubtful => said_no(&spot.circle.name()),
            Filled::Yes => self.before.contains(&spot.circle.row),
        };
        self.already = !before.is_empty() && self.spots.iter().all(nothing_new);
        for spot in self.spots.iter_mut().filter(|spot| self.already && spot.filled == Filled::Doubtful) {
            spot.filled = Filled::No;
        }
        let kind = self.kind();
        self.changed = changed.iter().map(|row| sheet_words::row(kind, *row)).collect();
    }
}
