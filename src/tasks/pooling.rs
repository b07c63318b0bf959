//! A clinic's cases together: what their sessions say of the scale on average, as a new scale beside the shipped one.
//!
//! Each child counts once for a thing, with what its sessions alone say of it (without what was believed before them). Only
//! things of the shipped lists are looked at, since a list of one's own may be named after a home, and nothing leaves but a
//! thing's name, a factor, how many children and how far apart. Below 20 children with a thing there is no figure of it.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use jiff::Timestamp;

use crate::case::Case;
use crate::checklist::shipped;
use crate::contract::{LearnedScaleDoc, PooledPullDoc, RecordBody, UnreadableDoc};
use crate::evidence::{CHILDREN, pool};
use crate::files;
use crate::load::Scale;

use super::caseload::cases_in;
use super::cases::day;
use super::checklists;
use super::course::Course;
use super::files::{short_name, shown, write};
use super::material::Material;
use super::refusal::Refusal;
use super::reviews;

/// Learns from the cases of a folder and writes a new scale.
pub fn learn(folder: &Path, out: &Path, now: Timestamp) -> Result<LearnedScaleDoc, Refusal> {
    if files::symlink_metadata(out).is_ok() {
        return Err(Refusal::new("exists", format!("{} is there already", shown(out)))
            .at(shown(out))
            .hint("no scale is written over another: give --out a new name"));
    }
    let mut told: BTreeMap<String, Vec<(f64, f64)>> = BTreeMap::new();
    let mut children = 0;
    let mut unreadable = Vec::new();
    let mut known = BTreeSet::new();
    for case in cases_in(folder)? {
        match one(&case, &mut known, now) {
            Ok(found) => {
                children += usize::from(!found.is_empty());
                for (id, figures) in found {
                    told.entry(id).or_default().push(figures);
                }
            }
            Err(refusal) => unreadable.push(UnreadableDoc { name: short_name(&case), text: refusal.message }),
        }
    }
    let scale = Scale::shipped();
    let doubt = scale.doubt().item;
    let pulls: Vec<PooledPullDoc> = told
        .into_iter()
        .filter_map(|(id, figures)| {
            let found = pool(&figures, doubt)?;
            let (factor, low, high) = (found.factor, found.low, found.high);
            Some(PooledPullDoc { id, factor, low, high, children: found.children, spread: found.spread })
        })
        .collect();
    if pulls.is_empty() {
        return Err(Refusal::new(
            "too-few-children",
            format!("{children} children have enough sessions, and no thing of the lists stood in the room of {CHILDREN} of them"),
        )
        .at(shown(folder))
        .hint("it takes 20 children with 30 opportunities each with a thing in the room; below that a scale would tell more of single children than of a thing"));
    }
    write(out, text(scale.text(), &pulls, children, &day(now)).as_bytes())?;
    Ok(LearnedScaleDoc { file: shown(out), children, pulls, unreadable })
}

/// What the sessions of one child alone say of each thing: the logarithm of its factor against the shipped scale, and its
/// variance.
fn one(folder: &Path, known: &mut BTreeSet<String>, now: Timestamp) -> Result<BTreeMap<String, (f64, f64)>, Refusal> {
    let today = reviews::read_date(&day(now))?;
    let course = Course::read(Case::open(folder)?)?;
    let mut found: BTreeMap<String, (f64, f64)> = BTreeMap::new();
    // A copy of a case is no other child: its oldest record of who it is about says so.
    let first = course.case.read_kinds(|kind| kind == "child")?.records.into_iter().next();
    if first.is_some_and(|child| !known.insert(child.name.id)) {
        return Ok(found);
    }
    for answer in course.answers_at_a_glance(today)? {
        let Some(material) = Material::of(&course, &answer, today)? else { continue };
        let Some(belief) = material.belief(&material.sittings) else { continue };
        let scale = scale_of(&course, answer.ladder.and_then(|(_, body)| body.goal_audit.as_deref()))?;
        for (distractor, id) in material.ids.iter().enumerate().filter(|(_, id)| is_shipped(id)) {
            let Some((w, variance)) = belief.sessions_say(distractor).filter(|_| belief.enough(distractor)) else {
                continue;
            };
            let w = w + libm::log(scale.as_ref().map_or(1.0, |scale| scale.factor(id)));
            // Of several tasks and places the one that tells most.
            let best = found.entry(id.clone()).or_insert((w, variance));
            if variance < best.1 {
                *best = (w, variance);
            }
        }
    }
    Ok(found)
}

/// The scale that a plan was made with.
fn scale_of(course: &Course, audit: Option<&str>) -> Result<Option<Scale>, Refusal> {
    let Some(wanted) = audit else { return Ok(None) };
    let found = course.case.read_kinds(|kind| kind == "audit")?.records.into_iter().find_map(|stored| {
        match stored.record.body {
            RecordBody::Audit(audit) if stored.name.id == wanted => Some(audit.scale_text),
            _ => None,
        }
    });
    Ok(found.and_then(|text| Scale::parse(&text, "the audit's scale").ok()))
}

fn is_shipped(id: &str) -> bool {
    let mut lists = shipped().iter().filter_map(|(name, _)| checklists::shipped(name));
    lists.any(|read| read.list.items.iter().any(|item| item.id.as_str() == id))
}

/// The shipped scale with what was learned behind it.
fn text(scale: &str, pulls: &[PooledPullDoc], children: usize, day: &str) -> String {
    let mut text = scale.trim_end().to_owned();
    text.push_str(&format!(
        "\n\n# Learned from {children} children on {day}: how many times as strong as its item says a thing draws, shrunk towards 1.\n\
         # `spread` is the standard deviation of the logarithm between children; 90 % of what is believed of the mean lies\n\
         # between `low` and `high`. Nothing else is changed.\n"
    ));
    for one in pulls {
        text.push_str(&format!(
            "\n[[pull]]\nid = \"{}\"\nfactor = {:.4}\nlow = {:.4}\nhigh = {:.4}\nchildren = {}\nspread = {:.4}\n",
            one.id, one.factor, one.low, one.high, one.children, one.spread
        ));
    }
    text
}
