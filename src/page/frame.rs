//! The frame around every page, and the pieces that forms are made of.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::language::{Language, Speaker};
use crate::tasks::Refusal;

/// The places of the page: address and message.
const WAYS: [(&str, &str); 6] = [
    ("/", "way-home"),
    ("/room", "way-room"),
    ("/sound", "way-sound"),
    ("/photo", "way-photo"),
    ("/practice", "way-practice"),
    ("/papers", "way-papers"),
];

/// A page with its title and its body; `here` is the way it belongs to.
pub(super) fn page(speaker: &Speaker, here: &str, title: &str, body: &Markup) -> Markup {
    scripted(speaker, here, title, body, &[])
}

/// A page that brings further scripts of its own.
pub(super) fn scripted(speaker: &Speaker, here: &str, title: &str, body: &Markup, scripts: &[&str]) -> Markup {
    let page = html! {
        (DOCTYPE)
        html lang=(speaker.language().tag()) dir=(speaker.language().direction()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) " · stillroom" }
                link rel="stylesheet" href="/style.css";
                link rel="icon" href="data:,";
                script src="/page.js" defer {}
                @for script in scripts { script src=(script) defer {} }
            }
            body {
                a.skip href="#main" { (speaker.say("page-skip")) }
                header.top {
                    nav aria-label=(speaker.say("page-ways")) {
                        ul { @for (to, name) in WAYS {
                            li { a href=(to) aria-current=[(to == here).then_some("page")] { (speaker.say(name)) } }
                        } }
                    }
                }
                main #main tabindex="-1" {
                    h1 { (title) }
                    (body)
                }
                footer { p { (speaker.say("page-foot")) } }
            }
        }
    };
    // What tasks and rooms say, a refusal or a rung, is said in the language of the page.
    PreEscaped(speaker.retell_page(page.into_string()))
}

/// A page that needs nothing but a message (English): for visitors who have not come in.
pub(super) fn plain(message: &str) -> Markup {
    let speaker = Speaker::new(Language::English);
    html! {
        (DOCTYPE)
        html lang="en" {
            head { meta charset="utf-8"; meta name="viewport" content="width=device-width, initial-scale=1"; title { "stillroom" } link rel="icon" href="data:,"; }
            body { main { h1 { "stillroom" } p { (speaker.say(&format!("door-{message}"))) } } }
        }
    }
}

/// A drawing that could stand alone, inside a page: there it needs no name of its format.
pub(super) fn drawn(svg: &str) -> Markup {
    PreEscaped(svg.replace(" xmlns=\"http://www.w3.org/2000/svg\"", ""))
}

/// What was refused: what, where, what to do.
pub(super) fn refused(speaker: &Speaker, refusal: &Refusal) -> Markup {
    html! { div.refusal role="alert" { p { strong { (speaker.say("page-refused")) } " " (refusal.message) } (further(refusal)) } }
}

/// The same beside the field it is about.
pub(super) fn wrong(refusal: &Refusal) -> Markup {
    html! { div.refusal role="alert" { p { (refusal.message) } (further(refusal)) } }
}

/// Where it is and what to do.
fn further(refusal: &Refusal) -> Markup {
    html! {
        @if let Some(place) = refusal.place.as_ref().filter(|place| !refusal.message.contains(place.as_str())) { p { (place) } }
        @if let Some(hint) = refusal.hint.as_ref().filter(|hint| !of_the_terminal(hint)) { p.hint { (hint) } }
    }
}

/// Whether a hint speaks of options and commands, which nobody has here: the page offers the same in another way.
fn of_the_terminal(hint: &str) -> bool {
    hint.contains("--") || hint.contains("`stillroom")
}

/// The button that sends a form.
pub(super) fn send(speaker: &Speaker, label: &str) -> Markup {
    html! { p.send { button type="submit" { (speaker.say(label)) } } }
}
