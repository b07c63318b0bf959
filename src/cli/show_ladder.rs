//! A ladder for people: first the steps at a glance, then the first rungs in full.

use crate::contract::{LadderDoc, ObstacleDoc, RungDoc};
use crate::words::printable;

use super::paint::{bar, bold, short, wrapped};
use super::show_audit::named;
use super::show_sound::notes;

/// Rungs that are written out in full; the rest is one line each.
const IN_FULL: usize = 3;

/// A level as it is called: `2`, or `1a` for an inserted one.
pub(super) fn level(value: &serde_json::Value) -> String {
    value.as_str().map_or_else(|| value.to_string(), ToOwned::to_owned)
}

/// The plan.
pub(super) fn ladder(doc: &LadderDoc) -> String {
    if doc.rungs.is_empty() {
        return format!(
            "The start is the goal (load {:.0}): there is no rung to climb.\n{}",
            doc.start_load,
            notes(&doc.cautions)
        );
    }
    let mut out = format!(
        "{} rungs from load {:.0} to {:.0}; the largest step is a pull of {:.3}{}.\n",
        bold(&doc.rungs.len().to_string()),
        doc.start_load,
        doc.goal_load,
        doc.largest_step,
        if doc.optimal {
            ", which no other order makes smaller".to_owned()
        } else {
            format!("; not proven the best, at most {:.3} from it", doc.gap)
        }
    );
    out.push_str("Load is a convention of this tool, not a validated scale.\n\n");
    for rung in &doc.rungs {
        out.push_str(&format!(
            "  {:>3}  load {:>3.0} ({:+5.1})  step {:.3}  {:<10}  {} → {}\n",
            rung.number,
            rung.load,
            rung.rise,
            rung.step,
            bar(rung.load / 100.0, 10),
            named(&rung.distractor),
            level(&rung.level)
        ));
    }
    for rung in doc.rungs.iter().take(IN_FULL) {
        out.push('\n');
        out.push_str(&card(rung));
    }
    if !doc.obstacles.is_empty() {
        out.push_str(&format!("\n{}\n", bold("Steps that stay large")));
        for obstacle in &doc.obstacles {
            out.push_str(&wrapped(
                "  - ",
                &format!("{} (pull {:.3}): {}", in_words(obstacle), obstacle.step, obstacle.probe),
            ));
        }
    }
    after_the_top(doc, &mut out);
    out.push_str(&notes(&doc.cautions));
    out
}

/// An obstacle with its level in words.
fn in_words(obstacle: &ObstacleDoc) -> String {
    obstacle
        .level_name
        .as_ref()
        .map_or_else(|| named(&obstacle.id), |level| format!("{}, {}", named(&obstacle.id), printable(level)))
}

/// What comes after the top, and what is never used.
fn after_the_top(doc: &LadderDoc, out: &mut String) {
    if !doc.beyond.is_empty() {
        out.push_str(&format!("\n{}\n", bold("After the top")));
        for one in &doc.beyond {
            out.push_str(&wrapped(&format!("  {:>3}  ", one.number), &format!("{}. {}", one.what, one.set_up)));
        }
        let weeks: Vec<String> = doc.maintenance.iter().map(|probe| probe.weeks.to_string()).collect();
        if !weeks.is_empty() {
            out.push_str(&wrapped(
                "  - ",
                &format!("Does it last? A probe of the top rung after {} weeks.", weeks.join(", ")),
            ));
        }
    }
    if !doc.never.is_empty() {
        let never: Vec<String> = doc.never.iter().map(|name| printable(name)).collect();
        out.push_str(&wrapped("Never with this child: ", &never.join(", ")));
    }
}

/// One rung in full.
pub(super) fn card(rung: &RungDoc) -> String {
    let mut out =
        format!("{} {} → {}\n", bold(&format!("Rung {}:", rung.number)), named(&rung.distractor), level(&rung.level));
    let (otherwise, present) = rung.card.as_ref().map_or((String::new(), String::new()), |card| {
        (card.otherwise.clone().unwrap_or_default(), card.present.clone())
    });
    for (label, text) in [
        ("  set up    ", &rung.set_up),
        ("  else      ", &otherwise),
        ("  check     ", &rung.check),
        ("  present   ", &present),
        ("  rotate    ", &rung.exemplars.join("; ")),
        ("  practise  ", &format!("{} minutes, {} opportunities", short(rung.minutes), rung.trials)),
        ("  go up     ", &rung.mastery),
        ("  go back   ", &rung.step_back),
    ] {
        if !text.is_empty() {
            out.push_str(&wrapped(label, text));
        }
    }
    out
}
