//! Looking at a room: what must stay, one surface at a time, then recording and photos, then what came out. Every answer
//! is kept as soon as its page is sent, so that a closed page or a stopped computer loses none.

use std::collections::BTreeMap;
use std::io::empty;

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::desk::Desk;
use super::papers::{known, no_case, refuse};
use super::sound::{ROOM_SECONDS, VOICE_SECONDS};
use super::{found, frame, meter};
use crate::case::Case;
use crate::checklist::{Answer as Given, Answers, Item, Unit, Walk, shipped, written_answers};
use crate::language::{Said, Speaker};
use crate::tasks::checklists::{self, ReadChecklist};
use crate::tasks::walks::{Found, Keeper, filled};
use crate::tasks::{AuditRequest, Named, Refusal, audits, photos, sensitivities};
use crate::words::Surface;

/// Minutes there are for rearranging, when nothing else is said.
const MINUTES: f64 = 15.0;

/// The first page of a walk: which list, which place, what must stay.
pub(super) fn start(desk: &Desk, refusal: Option<&Refusal>) -> Answer {
    let speaker = desk.speaker();
    let Some(case) = desk.case() else { return no_case(desk) };
    let keep = Case::open(&case).ok().and_then(|case| case.child().ok()).map(|child| child.keep).unwrap_or_default();
    let body = html! {
        @if let Some(refusal) = refusal { (frame::refused(&speaker, refusal)) }
        p { (speaker.say("checklist-aim")) }
        p { a href="/room/change" { (speaker.say("change-title")) } }
        @for (id, _) in shipped() {
            @if let Ok(list) = find(id) {
                @if let Found::Walk(kept) = keeper(desk, &list).found(&list) {
                    div.note { p { (speaker.say_with("room-kept", &[("place", Said::Words(kept.answers.place.clone()))])) }
                        p { a.button href={ "/room/walk/" (id) "/" (first_surface(&list)) } { (speaker.say("room-go-on")) } } }
                }
            }
        }
        form method="post" action="/room" {
            fieldset {
                legend { (speaker.say("room-which")) }
                @for (id, _) in shipped() {
                    @let title = find(id).map(|list| list.list.title).unwrap_or_default();
                    label.pick.tall { input type="radio" name="list" value=(id) checked[*id == "home-corner"];
                        span { (speaker.find(&format!("{id}.title"), &[]).unwrap_or(title)) } }
                }
            }
            (frame::text(&speaker, "place", "room-place", "", Some("room-place-help")))
            (frame::text(&speaker, "by", "room-by", "", Some("room-by-help")))
            div.field {
                label for="keep" { (speaker.say("checklist-keep")) }
                p.help id="keep-help" { (speaker.say("checklist-keep-help")) " " (speaker.say("room-line-each")) }
                textarea id="keep" name="keep" rows="4" aria-describedby="keep-help" { (keep.join("\n")) }
            }
            (frame::send(&speaker, "room-begin"))
        }
    };
    let page = frame::page(&speaker, "/room", &speaker.say("room-title"), &body);
    if refusal.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// Begins a walk, or one anew.
pub(super) fn begin(asked: &Asked, desk: &Desk) -> Answer {
    let list = match find(asked.field("list").unwrap_or("home-corner")) {
        Ok(list) => list,
        Err(refusal) => return start(desk, Some(&refusal)),
    };
    let Some(place) = asked.field("place") else {
        let refusal = Refusal::new("place-missing", desk.speaker().say("room-place-missing"));
        return start(desk, Some(&refusal));
    };
    let keep: Vec<String> = asked
        .all("keep")
        .into_iter()
        .flat_map(str::lines)
        .map(|line| line.trim().to_owned())
        .filter(|line| !line.is_empty())
        .collect();
    let about = Answers {
        checklist: list.list.id.clone(),
        place: place.to_owned(),
        date: desk.today(),
        by: asked.field("by").unwrap_or("parent").to_owned(),
        keep: keep.clone(),
        answers: BTreeMap::new(),
        reasons: BTreeMap::new(),
    };
    let walk = Walk::new(&list.list, keep, |_| true);
    match keeper(desk, &list).keep(&list, &walk, &about, desk.now()) {
        Ok(()) => Answer::go(format!("/room/walk/{}/{}", list.list.id, first_surface(&list))),
        Err(refusal) => start(desk, Some(&refusal)),
    }
}

/// One surface with its questions.
pub(super) fn walk(id: &str, surface: &str, desk: &Desk, wrong: Option<(&Asked, &Refusal)>) -> Answer {
    let speaker = desk.speaker();
    let (list, kept) = match kept(id, desk) {
        Ok(found) => found,
        Err(refusal) => return refuse(desk, &refusal),
    };
    let Some(surface) = Surface::from_word(surface) else {
        return refuse(desk, &Refusal::new("no-such-page", speaker.say("page-nothing-here")));
    };
    let (before, after) = neighbours(&list, surface);
    let back = before.map_or_else(|| "/room".to_owned(), |surface| format!("/room/walk/{id}/{surface}"));
    let title = speaker.say(&format!("surface-{surface}"));
    let body = html! {
        @if let Some((_, refusal)) = wrong { (frame::refused(&speaker, refusal)) }
        (progress(&speaker, &list, surface))
        p.quiet { (kept.place) ". " (speaker.say("room-saved")) }
        form method="post" action={ "/room/walk/" (id) "/" (surface) } {
            @for item in list.list.items.iter().filter(|item| item.surface == surface) {
                (question(&speaker, &list, item, &kept, wrong.map(|(asked, _)| asked)))
            }
            p.send {
                a.button.second href=(back) { (speaker.say("room-back")) }
                button type="submit" { (speaker.say(if after.is_some() { "room-next" } else { "room-to-measure" })) }
            }
        }
    };
    let page = frame::page(&speaker, "/room", &title, &body);
    if wrong.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// Keeps the answers of one surface and goes on.
pub(super) fn answered(id: &str, surface: &str, asked: &Asked, desk: &Desk) -> Answer {
    let (list, mut kept) = match kept(id, desk) {
        Ok(found) => found,
        Err(refusal) => return refuse(desk, &refusal),
    };
    let Some(on) = Surface::from_word(surface) else {
        return refuse(desk, &Refusal::new("no-such-page", desk.speaker().say("page-nothing-here")));
    };
    for item in list.list.items.iter().filter(|item| item.surface == on) {
        match read(item, asked, &desk.speaker()) {
            Ok(Some((answer, reason))) => {
                kept.answers.insert(item.id.clone(), answer);
                kept.reasons.remove(&item.id);
                if let Some(reason) = reason {
                    kept.reasons.insert(item.id.clone(), reason);
                }
            }
            Ok(None) => {}
            Err(refusal) => return walk(id, surface, desk, Some((asked, &refusal))),
        }
    }
    if let Err(refusal) = keep(desk, &list, &kept) {
        return walk(id, surface, desk, Some((asked, &refusal)));
    }
    Answer::go(match neighbours(&list, on).1 {
        Some(next) => format!("/room/walk/{id}/{next}"),
        None => format!("/room/measure/{id}"),
    })
}

/// The recording and the photos.
pub(super) fn measure(id: &str, desk: &Desk, typed: Option<(&Asked, &Refusal)>) -> Answer {
    let speaker = desk.speaker();
    let field = |name: &str| typed.and_then(|(asked, _)| asked.field(name));
    let (list, kept) = match kept(id, desk) {
        Ok(found) => found,
        Err(refusal) => return refuse(desk, &refusal),
    };
    let open: Vec<&Item> = list.list.items.iter().filter(|item| !kept.answers.contains_key(&item.id)).collect();
    let body = html! {
        @if let Some((_, refusal)) = typed { (frame::refused(&speaker, refusal)) }
        @if !open.is_empty() { p.note { (speaker.say_with("room-open", &[("count", u32::try_from(open.len()).unwrap_or(u32::MAX).into())])) } }
        form method="post" action={ "/room/measure/" (id) } enctype="multipart/form-data" {
            (frame::file(&speaker, "photo", "room-photos", "image/*", true, Some("room-photos-help")))
            (frame::file(&speaker, "sound", "room-sound", "audio/*", false, Some("room-sound-help")))
            (meter::recorder(&speaker, "sound", ROOM_SECONDS))
            (frame::file(&speaker, "voice", "room-voice", "audio/*", false, Some("room-voice-help")))
            (meter::recorder(&speaker, "voice", VOICE_SECONDS))
            (frame::text(&speaker, "offset", "sound-offset", field("offset").unwrap_or_default(), Some("sound-offset-help")))
            label.pick { input type="checkbox" name="child-audible" value="yes" checked[field("child-audible").is_some()]; span { (speaker.say("sound-child-audible")) } }
            (frame::text(&speaker, "minutes", "room-minutes", field("minutes").unwrap_or("15"), None))
            p.send {
                a.button.second href={ "/room/walk/" (id) "/" (last_surface(&list)) } { (speaker.say("room-back")) }
                button type="submit" { (speaker.say("room-finish")) }
            }
        }
    };
    let page = frame::scripted(&speaker, "/room", &speaker.say("room-measure-title"), &body, &["/listen.js"]);
    if typed.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// Does the audit and stores it.
pub(super) fn finish(id: &str, asked: &Asked, desk: &Desk) -> Answer {
    match audited(id, asked, desk) {
        Ok(stored) => Answer::go(format!("/room/found/{stored}")),
        Err(refusal) => measure(id, desk, Some((asked, &refusal))),
    }
}

fn audited(id: &str, asked: &Asked, desk: &Desk) -> Result<String, Refusal> {
    let (list, kept) = kept(id, desk)?;
    let case = Case::open(&desk.case().unwrap_or_default())?;
    let child_audible = asked.field("child-audible").is_some();
    let sound = super::sound::of_form(asked, child_audible)?;
    let mut seen = Vec::new();
    for upload in asked.files.iter().filter(|file| file.field == "photo") {
        seen.push(photos::photo(&Named { name: upload.name.clone(), content: upload.bytes.clone() })?.doc);
    }
    let minutes = match asked.field("minutes") {
        None => MINUTES,
        Some(typed) => super::sound::number(typed, "minutes")?,
    };
    let answers = Named { name: "answers".to_owned(), content: written_answers(&list.list, &kept) };
    let request = AuditRequest {
        place: None,
        checklist: list.clone(),
        answers,
        sound,
        child_audible,
        photos: seen,
        kept_photos: Vec::new(),
        scale: None,
        minutes,
        sensitivity: sensitivities::newest(&case)?,
        recheck: None,
    };
    let result = audits::audit(request)?;
    let stored = audits::store(&case, &result, desk.now())?;
    keeper(desk, &list).forget()?;
    Ok(stored)
}

/// What an audit found.
pub(super) fn found(id: &str, desk: &Desk) -> Answer {
    let Some(folder) = desk.case() else { return no_case(desk) };
    let told = Case::open(&folder).map_err(Refusal::from).and_then(|case| {
        let all = audits::every_audit(&case)?;
        let (_, body) = audits::pick(&all, id)?;
        let place = body.figures.place.clone();
        let earlier = all
            .iter()
            .filter(|(_, other)| other.figures.place == place)
            .map(|(_, other)| other)
            .take_while(|other| other.figures.id != body.figures.id)
            .last();
        let change = earlier.map(|earlier| audits::compare(earlier, body)).transpose()?;
        Ok((body.clone(), change))
    });
    match told {
        Ok((body, change)) => found::page(desk, &body, change.as_ref()),
        Err(refusal) => refuse(desk, &refusal),
    }
}

/// The shipped list of that name; a path from an address is never opened.
fn find(id: &str) -> Result<ReadChecklist, Refusal> {
    if !known(id) {
        return Err(Refusal::new("checklist-unknown", format!("there is no checklist `{id}`")));
    }
    checklists::find(id, &mut empty())
}

fn keeper(desk: &Desk, list: &ReadChecklist) -> Keeper {
    Keeper::new(desk.state.as_deref(), desk.case().as_deref(), list, None)
}

/// The list and the answers kept so far.
fn kept(id: &str, desk: &Desk) -> Result<(ReadChecklist, Answers), Refusal> {
    let list = find(id)?;
    match keeper(desk, &list).found(&list) {
        Found::Walk(kept) => Ok((list, kept.answers)),
        Found::Nothing => Err(Refusal::new("no-walk", desk.speaker().say("room-no-walk"))),
        Found::Other(why) => Err(Refusal::new("walk-unreadable", why)),
    }
}

fn keep(desk: &Desk, list: &ReadChecklist, answers: &Answers) -> Result<(), Refusal> {
    let walk = Walk::new(&list.list, answers.keep.clone(), |_| true);
    let at = walk.len();
    let walk = walk.resumed(at, &answers.answers, &answers.reasons);
    debug_assert_eq!(filled(answers, &walk).answers.len(), answers.answers.len());
    keeper(desk, list).keep(list, &walk, answers, desk.now())
}

/// The surfaces a list asks about, in the order of a walk.
fn surfaces(list: &ReadChecklist) -> Vec<Surface> {
    Surface::ALL.into_iter().filter(|surface| list.list.items.iter().any(|item| item.surface == *surface)).collect()
}

fn first_surface(list: &ReadChecklist) -> Surface {
    surfaces(list).first().copied().unwrap_or(Surface::Table)
}

fn last_surface(list: &ReadChecklist) -> Surface {
    surfaces(list).last().copied().unwrap_or(Surface::Company)
}

fn neighbours(list: &ReadChecklist, of: Surface) -> (Option<Surface>, Option<Surface>) {
    let all = surfaces(list);
    let at = all.iter().position(|surface| *surface == of);
    let before = at.and_then(|at| at.checked_sub(1)).and_then(|at| all.get(at)).copied();
    (before, at.and_then(|at| all.get(at + 1)).copied())
}

fn progress(speaker: &Speaker, list: &ReadChecklist, now: Surface) -> Markup {
    html! {
        ol.way {
            @for surface in surfaces(list) {
                li aria-current=[(surface == now).then_some("step")] {
                    a href={ "/room/walk/" (list.list.id) "/" (surface) } { (speaker.say(&format!("surface-{surface}"))) }
                }
            }
        }
    }
}

fn question(speaker: &Speaker, list: &ReadChecklist, item: &Item, kept: &Answers, typed: Option<&Asked>) -> Markup {
    let words = |what: &str, own: &str| {
        speaker.find(&format!("{}-{}.{what}", list.list.id, item.id), &[]).unwrap_or_else(|| own.to_owned())
    };
    let name = format!("a-{}", item.id);
    let value = typed
        .and_then(|asked| asked.field(&name))
        .map(ToOwned::to_owned)
        .or_else(|| kept.answers.get(&item.id).map(shown))
        .unwrap_or_default();
    let option = |key: &str, label: &str| {
        html! {
            label.pick.tall { input type="radio" name=(name) value=(key) checked[value == key]; span { (label) } }
        }
    };
    let unseen = value == "not seen";
    html! {
        fieldset.question {
            legend { (words("ask", &item.ask)) }
            @if let Some(help) = &item.help { p.help { (words("help", help)) } }
            @match &item.unit {
                Unit::Count { .. } => {
                    div.count {
                        label for=(name) { (speaker.say("room-how-many")) }
                        input type="number" inputmode="numeric" min="0" max="100000" step="1" id=(name) name=(name) value=(if unseen { "" } else { &value });
                    }
                    label.pick { input type="checkbox" name={ "u-" (item.id) } value="yes" checked[unseen]; span { (speaker.say("word-not-seen")) } }
                }
                Unit::Yes { .. } => { (option("yes", &speaker.say("word-yes"))) (option("no", &speaker.say("word-no"))) (option("not seen", &speaker.say("word-not-seen"))) }
                Unit::Choice(options) => {
                    @for one in options { (option(&one.key, &words(&format!("option-{}", one.key), &one.text))) }
                    (option("not seen", &speaker.say("word-not-seen")))
                }
            }
            details.why open[unseen] {
                summary { (speaker.say("room-why")) }
                label for={ "w-" (item.id) } { (speaker.say("checklist-why")) }
                input type="text" id={ "w-" (item.id) } name={ "w-" (item.id) } value=(kept.reasons.get(&item.id).map_or("", String::as_str)) maxlength="200";
            }
        }
    }
}

fn shown(answer: &Given) -> String {
    match answer {
        Given::Yes(there) => if *there { "yes" } else { "no" }.to_owned(),
        other => other.to_string(),
    }
}

/// An answer as a form sends it; `None` when nothing was answered.
fn read(item: &Item, asked: &Asked, speaker: &Speaker) -> Result<Option<(Given, Option<String>)>, Refusal> {
    let reason = asked.field(&format!("w-{}", item.id)).map(ToOwned::to_owned);
    if asked.field(&format!("u-{}", item.id)).is_some() {
        return Ok(Some((Given::NotSeen, Some(reason.unwrap_or_else(|| speaker.say("word-not-seen"))))));
    }
    let Some(typed) = asked.field(&format!("a-{}", item.id)) else { return Ok(None) };
    let wrong = || {
        Err(Refusal::new(
            "answer",
            speaker.say_with("room-not-an-answer", &[("typed", Said::Words(crate::words::printable(typed)))]),
        )
        .at(item.ask.clone()))
    };
    if typed == "not seen" {
        return Ok(Some((Given::NotSeen, Some(reason.unwrap_or_else(|| speaker.say("word-not-seen"))))));
    }
    let answer = match &item.unit {
        Unit::Count { .. } => match typed.parse() {
            Ok(count) if count <= 100_000 => Given::Count(count),
            _ => return wrong(),
        },
        Unit::Yes { .. } => match typed {
            "yes" => Given::Yes(true),
            "no" => Given::Yes(false),
            _ => return wrong(),
        },
        Unit::Choice(options) if options.iter().any(|option| option.key == typed) => Given::Option(typed.to_owned()),
        Unit::Choice(_) => return wrong(),
    };
    Ok(Some((answer, None)))
}
