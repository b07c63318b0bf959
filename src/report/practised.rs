//! Practice so far: the single-case graph, the decision with its reasons, the figures with their doubt.

use maud::{Markup, html};

use super::chart::{SESSIONS_NARROW, SESSIONS_WIDE, SessionGraph, figure};
use super::page::{missing, table};
use super::{CaseReport, SessionKind, say};
use crate::contract::{BaselineDoc, DecidedDoc, ReviewDoc, StatisticsDoc, ToleranceDoc};
use crate::words::printable;

/// Fewer baseline sessions than this give figures and no claim.
const LEAST_BASELINE: usize = 3;

/// The section.
pub(crate) fn section(report: &CaseReport<'_>) -> Markup {
    html! {
        @if let Some(review) = report.review { (decision(review)) }
        @if report.sessions.is_empty() {
            (missing("Not measured: no session is recorded yet."))
        } @else {
            (figure("sessions", &html! { (format!("Share of independent answers, session by session; prompted answers are \
                not counted. The dashed line is the criterion ({}). Upright lines: another rung begins; the path \
                breaks there and where more than ten days lie between.", say::percent(report.criterion))) " " (marks(report)) },
                |id, layout| SessionGraph { sessions: &report.sessions, criterion: report.criterion, paper: false }.draw(id, layout)))
        }
        @match report.review {
            Some(review) => {
                (statistics(&review.statistics))
                (tolerance(review.tolerance.as_ref()))
            }
            None => (missing("No decision has been worked out.")),
        }
        p.note { "An answer given while rocking, flapping, humming or looking away is an answer like any other. \
            Distress or withdrawn assent outweighs every score." }
    }
}

fn marks(report: &CaseReport<'_>) -> String {
    let distress = report.sessions.iter().filter(|session| session.distress).count();
    let assent = report.sessions.iter().filter(|session| !session.assent).count();
    let harm = report.sessions.iter().filter(|session| session.kind == SessionKind::Harm).count();
    let harm = if harm == 0 { String::new() } else { format!(" Somebody was hurt or the child ran off in {harm}.") };
    let of = say::count(report.sessions.len(), "session", "sessions");
    let drawn = if report.sessions.len() > SESSIONS_NARROW {
        format!(" The latest {SESSIONS_WIDE} sessions are drawn, on a telephone the latest {SESSIONS_NARROW}.")
    } else {
        String::new()
    };
    format!("Distress was noted in {distress} and assent withdrawn in {assent} of {of}.{harm}{drawn}")
}

fn decision(review: &ReviewDoc) -> Markup {
    let rung = review.rung;
    let words = match review.decision.as_str() {
        "advance" => format!("Move up from rung {rung} to rung {}", rung.saturating_add(1)),
        "hold" => format!("Stay on rung {rung}"),
        "step-back" => format!("Go back from rung {rung} to rung {}", rung.saturating_sub(1)),
        "break-down" => format!("Stay at rung {rung} and break it into smaller steps"),
        "pause" => "Pause practice and call the clinician".to_owned(),
        other => format!("{}, rung {rung}", printable(other)),
    };
    html! {
        div.decision {
            p.lead { strong { (words) } "." }
            ul { @for reason in &review.reasons { li { (reason.text) } } }
            p.quiet { "A proposal by fixed rules; the clinician decides." }
            @if let Some(decided) = &review.decided {
                p {
                    (decided_on(decided))
                    @if let Some(why) = &decided.why { " " (printable(why)) }
                }
            }
            @if !review.tomorrow.is_empty() {
                h3 { "What to do next" }
                ul { @for line in &review.tomorrow { li { (line) } } }
            }
            @if !review.smaller.is_empty() {
                h3 { "Smaller steps" }
                ul { @for step in &review.smaller { li { (step.text) } } }
            }
        }
    }
}

fn decided_on(decided: &DecidedDoc) -> String {
    let (date, what) = (&decided.date, printable(&decided.decision));
    match &decided.by {
        Some(by) => format!("Decided on {date}: {what}, by {}.", printable(by)),
        None => format!("Decided on {date}: {what} (a proposal: nobody signed it)."),
    }
}

fn statistics(figures: &StatisticsDoc) -> Markup {
    let mut rows = vec![
        pair("Sessions in the log", &figures.sessions.to_string()),
        pair("Sessions that count for the decision", &figures.counted.to_string()),
        pair("Passes in a row", &figures.streak.to_string()),
        pair(
            "Mean share of independent answers, counted sessions",
            &figures.share_mean.map_or_else(none, say::percent),
        ),
        pair(
            "Trend (Theil–Sen), percentage points a day",
            &figures.slope.map_or_else(none, |slope| {
                format!(
                    "{} (95\u{a0}% interval {} to {})",
                    points(slope.per_day),
                    points(slope.low),
                    points(slope.high)
                )
            }),
        ),
    ];
    if let Some(baseline) = &figures.baseline {
        rows.extend(against_baseline(baseline));
    }
    html! {
        h3 { "Figures" }
        (table("The log in figures", &["Figure", "Value"], &rows))
        @match &figures.baseline {
            None => p.note { "No baseline on this rung, so nothing is compared with one. Sessions of one child are \
                not independent of each other: intervals are narrower than they should be." },
            Some(baseline) => p.note {
                @if baseline.n < LEAST_BASELINE { "Fewer than three baseline sessions: these are figures, not a \
                    finding. " }
                "Sessions of one child are not independent of each other: intervals are narrower than they should be."
            },
        }
    }
}

fn against_baseline(baseline: &BaselineDoc) -> Vec<Vec<Markup>> {
    let number = |value: Option<f64>| value.map_or_else(none, |value| say::fixed(value, 2));
    let interval = match (baseline.nap_low, baseline.nap_high) {
        (Some(low), Some(high)) => format!(" (95\u{a0}% interval {} to {})", say::fixed(low, 2), say::fixed(high, 2)),
        _ => String::new(),
    };
    let corrected = match baseline.corrected {
        Some(true) => " (its trend was taken off)",
        Some(false) => " (no trend to take off)",
        None => "",
    };
    let error = baseline.lrr_se.map_or_else(String::new, |se| format!(" (standard error {})", say::fixed(se, 2)));
    vec![
        pair("Baseline sessions on this rung", &baseline.n.to_string()),
        pair("Nonoverlap of all pairs (NAP)", &format!("{}{interval}", number(baseline.nap))),
        pair("Tau (2·NAP − 1)", &number(baseline.tau)),
        pair("Tau-U, (S_AB − S_A)/(mn)", &number(baseline.tau_u)),
        pair("Baseline-corrected tau", &format!("{}{corrected}", number(baseline.tau_bc))),
        pair("Trend in the baseline, two-sided p", &number(baseline.trend_p)),
        pair(
            "Mean difference, percentage points",
            &baseline.mean_difference.map_or_else(none, |difference| say::signed(difference * 100.0, 0)),
        ),
        pair("Log response ratio", &format!("{}{error}", number(baseline.log_response_ratio))),
    ]
}

fn tolerance(tolerance: Option<&ToleranceDoc>) -> Markup {
    html! {
        h3 { "How far the ladder carries now" }
        @match tolerance {
            None => (missing("Not measured: no session can be used for it yet.")),
            Some(figures) if !figures.enough => p { (format!("Not enough data to say so yet ({} so far).",
                say::count(usize::try_from(figures.trials).unwrap_or(usize::MAX), "opportunity", "opportunities"))) },
            Some(figures) => p { (format!(
                "After {} opportunities, half of the answers would be independent at about {} {} (between {} and {}; \
                 standard deviation {}). One rung on, about {} independent answers are to be expected. A convention, \
                 for advice only.",
                figures.trials, axis(&figures.axis), say::fixed(figures.half, 1), say::fixed(figures.low, 1),
                say::fixed(figures.high, 1), say::fixed(figures.sd, 1), say::percent(figures.next_share))) },
        }
    }
}

fn axis(axis: &str) -> String {
    match axis {
        "rung" => "rung".to_owned(),
        channel => format!("step (of the channel {})", printable(channel)),
    }
}

fn pair(name: &str, value: &str) -> Vec<Markup> {
    vec![html! { (name) }, html! { (value) }]
}

fn none() -> String {
    say::NOT_MEASURED.to_owned()
}

fn points(share: f64) -> String {
    say::signed(share * 100.0, 1)
}
