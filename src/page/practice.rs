//! Practice: the decision so far with its reasons, the graph, the ladder.

use maud::html;

use super::answer::Answer;
use super::desk::Desk;
use super::frame;
use super::papers::{no_case, refuse};
use crate::tasks::reviews;

/// The practice so far.
pub(super) fn show(desk: &Desk) -> Answer {
    let speaker = desk.speaker();
    let Some(case) = desk.case() else { return no_case(desk) };
    let review = match reviews::from_case(&case, &reviews::Asked::default(), desk.today()) {
        Ok(review) => Some(review.doc),
        Err(refusal) if refusal.code == "no-session" => None,
        Err(refusal) => return refuse(desk, &refusal),
    };
    let body = html! {
        @if let Some(review) = &review {
            section.card {
                h2 { (speaker.say_with("rung-number", &[("number", review.rung.to_string().into())])) ": " (speaker.say(&format!("decision-{}", review.decision))) }
                ul { @for reason in &review.reasons { li { (reason.text) } } }
            }
        } @else { p { (speaker.say("home-no-session")) } }
        p.note { (speaker.say("sessions-right")) }
        p { a.button href="/papers/session-sheet" { (speaker.say("paper-session-sheet")) } }
    };
    Answer::page(frame::page(&speaker, "/practice", &speaker.say("way-practice"), &body))
}
