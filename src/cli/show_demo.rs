//! The demo's words: what was found, what to move first, the first rungs, which file to open.

use crate::contract::DemoDoc;

use super::paint::{bold, wrapped};
use super::show_audit;

/// Rungs named.
const FIRST: usize = 4;

/// The demo's result.
pub(super) fn demo(doc: &DemoDoc) -> String {
    let mut out = wrapped(
        "",
        &format!(
            "The invented case of {}, measured from its recordings, photos, answers and sessions just now.",
            doc.alias
        ),
    );
    out.push_str(&format!("\n{}\n\n", bold(&format!("Before, {}", doc.before.date))));
    out.push_str(&show_audit::audit(&doc.before));
    out.push_str(&format!("\n{}\n\n", bold(&format!("After rearranging, {}", doc.now.date))));
    out.push_str(&show_audit::change(&doc.compare, false));
    out.push_str(&format!(
        "\n{}: {} rungs from load {:.0} to {:.0}. The first:\n",
        bold("The ladder back"),
        doc.ladder.rungs.len(),
        doc.ladder.start_load,
        doc.ladder.goal_load
    ));
    for rung in doc.ladder.rungs.iter().take(FIRST) {
        out.push_str(&wrapped(&format!("  {}. ", rung.number), &format!("Load {:.0}. {}", rung.load, rung.set_up)));
    }
    out.push_str(&format!(
        "\n{}: rung {}, {}\n",
        bold("The practice so far"),
        doc.review.rung,
        bold(&doc.review.decision)
    ));
    if let Some(reason) = doc.review.reasons.first() {
        out.push_str(&wrapped("  ", &reason.text));
    }
    out.push_str(&format!("\nOpen {} in a browser; the case is in {}.\n", bold(&doc.report), doc.case));
    out
}
