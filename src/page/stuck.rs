//! What to look at when practice is stuck.

use maud::html;

use super::answer::Answer;
use super::desk::Desk;
use super::frame;
use super::papers::{no_case, refuse};
use crate::tasks::{reviews, troubles};

/// The looks in order, what to try this week, when to call.
pub(super) fn show(desk: &Desk) -> Answer {
    let speaker = desk.speaker();
    let Some(case) = desk.case() else { return no_case(desk) };
    let title = speaker.say("stuck-title");
    let doc = match troubles::troubleshoot(&case, &reviews::Asked::default(), desk.today()) {
        Ok(doc) => doc,
        Err(refusal) if refusal.code == "no-such-practice" => {
            let body = html! { p { (speaker.say("home-no-session")) } p { a.button href="/practice" { (speaker.say("way-practice")) } } };
            return Answer::page(frame::page(&speaker, "/practice", &title, &body));
        }
        Err(refusal) => return refuse(desk, &refusal),
    };
    let body = html! {
        p.quiet { (speaker.say_with("rung-number", &[("number", doc.rung.to_string().into())])) ": " (speaker.say(&format!("decision-{}", doc.decision))) }
        @if !doc.this_week.is_empty() {
            section.card { h2 { (speaker.say("stuck-this-week")) } ul { @for one in &doc.this_week { li { (one) } } } }
        }
        section {
            h2 { (speaker.say("stuck-looks")) }
            ol.looks { @for look in &doc.looks {
                li {
                    p { (look.text) }
                    @if let Some(seen) = &look.seen { p.quiet { (seen) } }
                    p { span.state { (speaker.say(&format!("stuck-{}", look.state))) } }
                }
            } }
        }
        @if !doc.smaller.is_empty() { section { h2 { (speaker.say("practice-smaller")) } ul { @for one in &doc.smaller { li { (one.text) } } } } }
        section.note { h2 { (speaker.say("stuck-call")) } ul { @for one in &doc.call { li { (one) } } } }
        p { a.button.second href="/practice" { (speaker.say("room-back")) } }
    };
    Answer::page(frame::page(&speaker, "/practice", &title, &body))
}
