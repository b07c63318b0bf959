//! Which page answers which address.

use super::answer::Answer;
use super::asked::{Asked, Method};
use super::desk::Desk;
use super::{frame, home, papers, photo, practice, room, sound};

/// The answer to a request that came in.
pub(super) fn answer(asked: &Asked, desk: &Desk) -> Answer {
    let parts: Vec<&str> = asked.path.trim_matches('/').split('/').collect();
    match (asked.method, parts.as_slice()) {
        (Method::Get, [""]) => home::show(desk, None),
        (Method::Post, ["case", "open"]) => home::open(asked, desk),
        (Method::Post, ["case", "new"]) => home::make(asked, desk),
        (Method::Get, ["room"]) => room::start(desk, None),
        (Method::Post, ["room"]) => room::begin(asked, desk),
        (Method::Get, ["room", "walk", list, surface]) => room::walk(list, surface, desk, None),
        (Method::Post, ["room", "walk", list, surface]) => room::answered(list, surface, asked, desk),
        (Method::Get, ["room", "measure", list]) => room::measure(list, desk, None),
        (Method::Post, ["room", "measure", list]) => room::finish(list, asked, desk),
        (Method::Get, ["room", "found", id]) => room::found(id, desk),
        (Method::Get, ["sound"]) => sound::ask(desk, None),
        (Method::Post, ["sound"]) => sound::heard(asked, desk),
        (Method::Get, ["photo"]) => photo::ask(desk, None),
        (Method::Post, ["photo"]) => photo::seen(asked, desk),
        (Method::Get, ["practice"]) => practice::show(desk),
        (Method::Get, ["papers"]) => papers::list(desk),
        (Method::Get, ["papers", name]) => papers::paper(name, asked, desk),
        (Method::Get, ["report", reader]) => papers::report(reader, desk),
        (Method::Get, ["style.css"]) => Answer::file("text/css; charset=utf-8", include_bytes!("page.css").to_vec()),
        (Method::Get, ["page.js"]) => {
            Answer::file("text/javascript; charset=utf-8", include_bytes!("page.js").to_vec())
        }
        _ => {
            let speaker = desk.speaker();
            let body =
                maud::html! { p { (speaker.say("page-nothing-here")) } p { a href="/" { (speaker.say("way-home")) } } };
            Answer::refusal(404, frame::page(&speaker, "", &speaker.say("page-not-found"), &body))
        }
    }
}
