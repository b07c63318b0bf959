//! What all papers share: the page around them, the head to fill in, lines, circles, boxes.

use jiff::civil::Weekday;
use maud::{Markup, html};

use super::{Paper, PaperFacts, RungWords};
use crate::language::{Said, Speaker};
use crate::report::frame::document;

const STYLE: &str = include_str!("paper.css");

/// The days of a week's paper.
pub(super) const WEEK: [Weekday; 7] = [
    Weekday::Monday,
    Weekday::Tuesday,
    Weekday::Wednesday,
    Weekday::Thursday,
    Weekday::Friday,
    Weekday::Saturday,
    Weekday::Sunday,
];

/// The page around a paper.
pub(super) fn page(paper: Paper, facts: &PaperFacts<'_>, speaker: &Speaker, body: &Markup) -> String {
    sheet(&paper.title(speaker), paper.name(), "", facts.version, speaker, body)
}

/// The page around any sheet.
pub(crate) fn sheet(
    title: &str,
    kind: &str,
    more_style: &str,
    version: &str,
    speaker: &Speaker,
    body: &Markup,
) -> String {
    let page = html! {
        body class=(kind) {
            main {
                // A sheet that is read back has its title inside its marks.
                @if kind != "marked" { h1 { (title) } }
                (body)
            }
            footer {
                p { (speaker.say("foot-aliases")) }
                p { (speaker.say_with("foot-made", &[("version", version.into())])) }
            }
        }
    };
    document(title, &[STYLE, more_style], speaker, &page)
}

/// One thing to fill in at the head of a paper: its name, and what is known or a line.
pub(super) fn field(speaker: &Speaker, name: &str, known: Option<&str>, wide: bool) -> Markup {
    html! {
        div class=[wide.then_some("wide")] {
            dt { (speaker.say(name)) }
            dd { @if let Some(known) = known { (speaker.own_words(known)) } @else { (line()) } }
        }
    }
}

/// A field that is known.
pub(crate) fn known_field(speaker: &Speaker, name: &str, known: &str) -> Markup {
    field(speaker, name, Some(known), false)
}

/// A field to write into.
pub(crate) fn line_field(speaker: &Speaker, name: &str) -> Markup {
    field(speaker, name, None, true)
}

/// The head of a paper.
pub(crate) fn head(fields: &[Markup]) -> Markup {
    html! { dl.fields { @for field in fields { (field) } } }
}

/// A line to write on.
pub(super) fn line() -> Markup {
    html! { span.line {} }
}

/// Some empty lines to write on.
pub(crate) fn lines(count: usize) -> Markup {
    html! { div.lines { @for _ in 0..count { (line()) } } }
}

/// A circle to fill, with its word.
pub(super) fn circle(word: &str) -> Markup {
    html! { span.pick { span.circle {} (word) } }
}

/// A list whose points are boxes to tick.
pub(crate) fn ticks(speaker: &Speaker, names: &[&str]) -> Markup {
    html! { ul.ticks { @for name in names { li { span.box {} span { (speaker.say(name)) } } } } }
}

/// What must stay, as known or as lines.
pub(super) fn keep(facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    html! {
        section.keep {
            h2 { (speaker.say("checklist-keep")) }
            p.small { (speaker.say("checklist-keep-help")) }
            @if facts.keep.is_empty() { (lines(2)) } @else {
                ul.known { @for thing in &facts.keep { li { (speaker.own_words(thing)) } } }
                (lines(1))
            }
        }
    }
}

/// A rung in words: `Rung 3: three toys, on the shelf`.
pub(super) fn rung(speaker: &Speaker, rung: &RungWords) -> String {
    if rung.new.is_empty() {
        return speaker.say("cleared-room");
    }
    let number = speaker.say_with("rung-number", &[("number", Said::from(rung.number.as_str()))]);
    format!("{number}: {}", speaker.own_words(&rung.new))
}
