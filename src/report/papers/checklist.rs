//! The checklist on paper: what stays first, then every question with its place for an answer.

use maud::{Markup, html};

use super::PaperFacts;
use super::frame::{circle, field, head, keep, line};
use crate::checklist::{Checklist, Item, Unit};
use crate::language::Speaker;
use crate::words::{Surface, printable};

pub(super) fn body(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    let Some(list) = facts.checklist else {
        return html! {};
    };
    html! {
        p.subtitle { (list_title(list, speaker)) }
        (head(&[
            field(speaker, "field-for", facts.alias.as_deref(), false),
            field(speaker, "field-place", facts.place.as_deref(), false),
            field(speaker, "field-day", None, false),
            field(speaker, "field-by", None, false),
        ]))
        p { (speaker.say("checklist-how")) " " (speaker.say("checklist-not-seen")) }
        (keep(facts, speaker))
        @for surface in Surface::ALL {
            @let items: Vec<&Item> = list.items.iter().filter(|item| item.surface == surface).collect();
            @if !items.is_empty() {
                section {
                    h2 { (speaker.say(&format!("surface-{surface}"))) }
                    ol.questions {
                        @for item in items { (question(list, item, speaker)) }
                    }
                }
            }
        }
        p.small { (speaker.say("checklist-then")) " "
            code { "stillroom audit --checklist " (printable(&list.id)) } ". " (speaker.say("checklist-aim")) }
    }
}

fn question(list: &Checklist, item: &Item, speaker: &Speaker) -> Markup {
    html! {
        li {
            div.ask {
                span { (words(speaker, list, item, "ask", &item.ask)) }
                @if let Some(help) = &item.help { span.small { " " (words(speaker, list, item, "help", help)) } }
            }
            div.answer {
                @match &item.unit {
                    Unit::Count { .. } => span.number {},
                    Unit::Yes { .. } => { (circle(&speaker.say("word-yes"))) (circle(&speaker.say("word-no"))) }
                    Unit::Choice(options) => {
                        @for option in options {
                            (circle(&words(speaker, list, item, &format!("option-{}", option.key), &option.text)))
                        }
                    }
                }
                span.unseen { (circle(&speaker.say("word-not-seen"))) (speaker.say("checklist-why")) (line()) }
            }
        }
    }
}

/// The words of an item in the speaker's language; a list of one's own keeps the words it has.
fn words(speaker: &Speaker, list: &Checklist, item: &Item, what: &str, own: &str) -> String {
    let own = printable(own);
    speaker.find(&format!("{}-{}.{what}", list.id, item.id), &[]).unwrap_or_else(|| speaker.own_words(&own))
}

fn list_title(list: &Checklist, speaker: &Speaker) -> String {
    let own = printable(&list.title);
    speaker.find(&format!("{}.title", list.id), &[]).unwrap_or_else(|| speaker.own_words(&own))
}
