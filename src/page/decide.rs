//! A clinician's decision: what the rules propose, or another one with its reason, under a name.

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::desk::Desk;
use super::papers::no_case;
use super::{frame, practice};
use crate::contract::ReviewDoc;
use crate::language::Speaker;
use crate::tasks::Refusal;
use crate::tasks::decisions::{self, Deciding};

/// The words of a decision.
const WORDS: [&str; 5] = ["advance", "hold", "step-back", "break-down", "pause"];

/// The form.
pub(super) fn form(speaker: &Speaker, review: &ReviewDoc, typed: Option<&Asked>) -> Markup {
    let value = |name: &str| typed.and_then(|asked| asked.field(name)).unwrap_or_default();
    let chosen = typed.and_then(|asked| asked.field("decision")).unwrap_or(&review.decision);
    html! {
        details.card open[typed.is_some()] {
            summary { (speaker.say("decide-title")) }
            p { (speaker.say("decide-help")) }
            form method="post" action="/practice/decide" {
                @if let Some(task) = &review.task { input type="hidden" name="task" value=(task); }
                @if let Some(place) = &review.place { input type="hidden" name="place" value=(place); }
                (frame::text(speaker, "by", "decide-by", value("by"), Some("decide-by-help")))
                fieldset {
                    legend { (speaker.say("decide-what")) }
                    @for word in WORDS {
                        label.pick.tall { input type="radio" name="decision" value=(word) checked[word == chosen]; span { (speaker.say(&format!("decision-{word}"))) } }
                    }
                }
                (frame::text(speaker, "why", "decide-why", value("why"), Some("decide-why-help")))
                @if review.decision == "pause" {
                    label.pick { input type="checkbox" name="lift-pause" value="yes" checked[value("lift-pause") == "yes"]; span { (speaker.say("decide-lift")) } }
                }
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
        Err(refusal) => practice::show(desk, Some((asked, &refusal))),
    }
}
