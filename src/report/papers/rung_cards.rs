//! Blank rung cards, two to a page, for a rung that is planned by hand. A case's own cards come from its ladder.

use maud::{Markup, html};

use super::PaperFacts;
use super::frame::{field, head, lines};
use crate::language::Speaker;

/// Cards on a sheet.
const CARDS: usize = 2;

pub(super) fn body(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    html! {
        @for _ in 0..CARDS {
            section.rung-card {
                (head(&[
                    field(speaker, "field-rung", None, false),
                    field(speaker, "field-for", facts.alias.as_deref(), false),
                    field(speaker, "field-place", facts.place.as_deref(), false),
                    field(speaker, "field-task", facts.task.as_deref(), true),
                ]))
                div.two {
                    div {
                        h2 { (speaker.say("card-on")) } (lines(2))
                        h2 { (speaker.say("card-set-up")) } (lines(3))
                        h2 { (speaker.say("card-rotate")) } (lines(1))
                    }
                    div {
                        h2 { (speaker.say("card-check")) } (lines(2))
                        (head(&[
                            field(speaker, "field-minutes", None, false),
                            field(speaker, "plan-how-many", None, false),
                            field(speaker, "card-present", None, true),
                        ]))
                        p.small { (speaker.say("card-up")) }
                        p.small { (speaker.say("card-back")) }
                    }
                }
                p.stop { (speaker.say("plan-stop")) }
                p.small { (speaker.say("plan-before-2")) " " (speaker.say("plan-before-3")) }
            }
        }
    }
}
