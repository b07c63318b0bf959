//! A clinician's decision: what the rules propose, or another one with its reason, under a name.

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::desk::Desk;
use super::form::{Form, Refused, Wrong};
use super::papers::no_case;
use super::{frame, practice};
use crate::contract::ReviewDoc;
use crate::language::Speaker;
use crate::tasks::Refusal;
use crate::tasks::decisions::{self, Deciding};

/// The words of a decision.
const WORDS: [&str; 5] = ["advance", "hold", "step-back", "break-down", "pause"];

/// The form.
pub(super) fn form(speaker: &Speaker, review: &ReviewDoc, refused: Option<Refused<'_>>) -> Markup {
    let form = Form::new(speaker, refused, "/practice/decide");
    let words = WORDS.map(|word| (word, speaker.say(&format!("decision-{word}"))));
    html! {
        details.card open[form.is_refused()] {
            summary { (speaker.say("decide-title")) }
            p { (speaker.say("decide-help")) }
            form method="post" action="/practice/decide" {
                @if let Some(task) = &review.task { input type="hidden" name="task" value=(task); }
                @if let Some(place) = &review.place { input type="hidden" name="place" value=(place); }
                (form.top())
                (form.text("by", "decide-by", "", Some("decide-by-help")))
                (form.choice("decision", "decide-what", &review.decision, true, &words))
                (form.text("why", "decide-why", "", Some("decide-why-help")))
                @if review.decision == "pause" { (form.wrong("lift-pause")) (form.tick("lift-pause", "decide-lift")) }
                (frame::send(speaker, "decide-it"))
            }
        }
    }
}

/// Stores a decision.
pub(super) fn decide(asked: &Asked, desk: &Desk) -> Answer {
    let Some(case) = desk.case() else { return no_case(desk) };
    let words = |name: &str| asked.field(name).map(ToOwned::to_owned);
    let told = Deciding {
        case,
        by: words("by").unwrap_or_default(),
        decision: words("decision"),
        why: words("why"),
        lift_pause: asked.field("lift-pause").is_some(),
        criterion: None,
        task: words("task"),
        place: words("place"),
    };
    let done: Result<_, Refusal> = decisions::decide(&told, desk.today(), desk.now());
    match done {
        Ok(_) => {
            desk.tell(vec![desk.speaker().say("decide-done")]);
            Answer::go("/practice")
        }
        Err(refusal) => {
            let wrong = match refusal.code.as_str() {
                "by" | "why" => Wrong::about(&refusal.code.clone(), refusal),
                "decision" | "top-rung" => Wrong::about("decision", refusal),
                _ => refusal.into(),
            };
            practice::show(desk, Some((asked, &[wrong])))
        }
    }
}
