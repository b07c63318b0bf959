//! Which page answers which address.

use super::answer::Answer;
use super::asked::{Asked, Method};
use super::desk::Desk;
use super::{
    caseload, change, decide, frame, hand_over, home, ladder, meter, papers, photo, practice, room, sample, sheets,
    sitting, sound, stuck, where_when,
};

/// The answer to a request that came in.
pub(super) fn answer(asked: &Asked, desk: &Desk) -> Answer {
    let parts: Vec<&str> = asked.path.trim_matches('/').split('/').collect();
    match (asked.method, parts.as_slice()) {
        (Method::Get, [""]) => home::show(desk, None),
        (Method::Post, ["case", "open"]) if desk.root().is_none() => home::open(asked, desk),
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
        (Method::Get, ["where"]) => where_when::show(desk, None),
        (Method::Post, ["where", "heard"]) => where_when::heard(asked, desk),
        (Method::Post, ["where", "possible"]) => where_when::possible(asked, desk),
        (Method::Get, ["photo"]) => photo::ask(desk, None),
        (Method::Post, ["photo"]) => photo::seen(asked, desk),
        (Method::Get, ["room", "change"]) => change::show(asked, desk),
        (Method::Get, ["caseload"]) if desk.root().is_none() => caseload::ask(desk),
        (Method::Post, ["caseload"]) if desk.root().is_none() => caseload::show(asked, desk),
        (Method::Get, ["practice"]) => practice::show(desk, None),
        (Method::Get, ["practice", "sitting"]) => sitting::show(desk, None, asked.field("last")),
        (Method::Post, ["practice", "sitting", "begin"]) => sitting::begin(asked, desk),
        (Method::Post, ["practice", "sitting", "mark"]) => sitting::mark(asked, desk),
        (Method::Post, ["practice", "sitting", "forget"]) => sitting::forget(desk),
        (Method::Get, ["practice", "sitting", "end"]) => sitting::end(desk, None),
        (Method::Post, ["practice", "sitting", "end"]) => sitting::store(asked, desk),
        (Method::Post, ["practice", "decide"]) => decide::decide(asked, desk),
        (Method::Get, ["practice", "stuck"]) => stuck::show(desk),
        (Method::Get, ["practice", "sample"]) => sample::ask(desk, None),
        (Method::Post, ["practice", "sample"]) => sample::store(asked, desk),
        (Method::Post, ["practice", "sample", "keep"]) => sample::keep(asked, desk),
        (Method::Post, ["practice", "sample", "forget"]) => sample::forget(desk),
        (Method::Get, ["ladder"]) => ladder::show(desk, None),
        (Method::Post, ["ladder", "plan"]) => ladder::make(asked, desk),
        (Method::Post, ["ladder", "sign"]) => ladder::signed(asked, desk),
        (Method::Get, ["meter"]) => meter::show(asked, desk),
        (Method::Post, ["live", "start"]) => meter::start(asked, desk),
        (Method::Post, ["live", id]) => meter::block(id, asked, desk),
        (Method::Post, ["live", id, "end"]) => meter::end(id, false, desk),
        (Method::Post, ["live", id, "voice"]) => meter::end(id, true, desk),
        (Method::Get, ["sheets"]) => sheets::ask(desk, None),
        (Method::Post, ["sheets"]) => sheets::seen(asked, desk),
        (Method::Post, ["sheets", "store"]) => sheets::keep(asked, desk),
        (Method::Get, ["papers"]) => papers::list(desk),
        (Method::Get, ["papers", name]) => papers::paper(name, asked, desk),
        (Method::Get, ["report", reader]) => papers::report(reader, desk),
        (Method::Get, ["style.css"]) => Answer::file("text/css; charset=utf-8", include_bytes!("page.css").to_vec()),
        (Method::Get, ["page.js"]) => script(include_bytes!("page.js")),
        (Method::Get, ["listen.js"]) => script(include_bytes!("listen.js")),
        (Method::Get, ["ear.js"]) => script(include_bytes!("ear.js")),
        (Method::Get, ["timer.js"]) => script(include_bytes!("timer.js")),
        (Method::Get, ["hand-over"]) => hand_over::ask(desk, None),
        (Method::Post, ["hand-over"]) => hand_over::make(asked, desk),
        (Method::Get, ["hand-over", name]) => hand_over::file(name, desk),
        _ => {
            let speaker = desk.speaker();
            let body =
                maud::html! { p { (speaker.say("page-nothing-here")) } p { a href="/" { (speaker.say("way-home")) } } };
            Answer::refusal(404, frame::page(&speaker, "", &speaker.say("page-not-found"), &body))
        }
    }
}

fn script(text: &[u8]) -> Answer {
    Answer::file("text/javascript; charset=utf-8", text.to_vec())
}
