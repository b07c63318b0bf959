//! A ladder for people: first the steps at a glance, then the first rungs in full.

use crate::contract::{LadderDoc, RungDoc};

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
            "  {:>3}  load {:>3.0}  step {:.3}  {:<10}  {} → {}\n",
            rung.number,
            rung.load,
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
                &format!("{} (pull {:.3}): {}", named(&obstacle.id), obstacle.step, obstacle.probe),
            ));
        }
    }
    out.push_str(&notes(&doc.cautions));
    out
}

/// One rung in full.
pub(super) fn card(rung: &RungDoc) -> String {
    let mut out =
        format!("{} {} → {}\n", bold(&format!("Rung {}:", rung.number)), named(&rung.distractor), level(&rung.level));
    for (label, text) in [
        ("  set up    ", &rung.set_up),
        ("  check     ", &rung.check),
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
