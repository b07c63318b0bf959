//! The agreement of two people, for people.

use crate::contract::AgreementDoc;

use super::paint::{bold, wrapped};
use super::show_audit::named;
use super::show_sound::notes;

/// The agreement of two answers files or two session logs.
pub(super) fn agreement(doc: &AgreementDoc) -> String {
    let (pairs, on) =
        if doc.kind == "answers" { ("items", "on present or absent") } else { ("sessions", "on their class") };
    let mut out = format!("{} of {} {pairs}\n", bold(&format!("{:.0} % agree", doc.agreement_percent)), doc.n);
    out.push_str(&match doc.kappa {
        Some(kappa) => format!("  kappa {kappa:.2} {on}\n"),
        None => format!("  no kappa {on}: one category throughout\n"),
    });
    if let Some(percent) = doc.count_agreement_percent {
        out.push_str(&format!("  {percent:.0} % agreement of the counts (the smaller over the larger)\n"));
    }
    if let Some(variant) = &doc.kappa_weighted_variant {
        let figure = doc
            .kappa_weighted
            .map_or_else(|| "no weighted kappa".to_owned(), |kappa| format!("weighted kappa {kappa:.2}"));
        out.push_str(&wrapped("  ", &format!("{figure} of {} counts and choices ({variant})", doc.kappa_weighted_n)));
    }
    if let Some(sd) = &doc.answer_sd {
        out.push_str(&wrapped(
            "  ",
            &format!(
                "an answer is unsure by {:.2} ({:.2} to {:.2}, 95 % sure) in the logarithm of its pull, from {} items; the scale assumes {:.2} for two people",
                sd.observed, sd.low, sd.high, sd.n, sd.assumed
            ),
        ));
    }
    out.push_str(if doc.reaches_standard {
        "  Two observers should reach 80 % and a kappa of 0.60: reached.\n"
    } else {
        "  Two observers should reach 80 % and a kappa of 0.60: not reached.\n"
    });
    if !doc.retrain.is_empty() {
        out.push_str(&format!("\n{}\n", bold("Look at these together, the widest apart first")));
    }
    for item in &doc.retrain {
        out.push_str(&wrapped("  - ", &format!("{}: {}", named(&item.id), item.text)));
    }
    out.push_str(&notes(&doc.cautions));
    out
}
