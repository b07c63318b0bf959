//! Looking at a room: what must stay, one surface at a time, then recording and photos, then what came out. Every answer
//! is kept as soon as its page is sent, so that a closed page or a stopped computer loses none.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::desk::Desk;
use super::form::{self, Beside, Form, Refused, Wrong};
use super::home::lines;
use super::papers::{no_case, refuse};
use super::{found, frame, photo, sound};
use crate::case::Case;
use crate::checklist::{Answer as Given, Answers, Item, Unit, Walk, shipped, worded_as, written_answers};
use crate::language::{Said, Speaker};
use crate::tasks::checklists::{self, ReadChecklist};
use crate::tasks::walks::{Found, Keeper, filled};
use crate::tasks::{AuditRequest, Named, Refusal, audits, sensitivities};
use crate::words::{Surface, printable};

/// Minutes there are for rearranging, when nothing else is said.
const MINUTES: f64 = 15.0;

/// The first page of a walk: which list, which place, what must stay.
pub(super) fn start(desk: &Desk, refused: Option<Refused<'_>>) -> Answer {
    let speaker = desk.speaker();
    let Some(case) = desk.case() else { return no_case(desk) };
    let keep = Case::open(&case).ok().and_then(|case| case.child().ok()).map(|child| child.keep).unwrap_or_default();
    let form = Form::new(&speaker, refused, "/room");
    let titles: Vec<(&str, String)> = lists()
        .map(|list| {
            let id = list.list.id.as_str();
            (id, speaker.find(&format!("{id}.title"), &[]).unwrap_or_else(|| list.list.title.clone()))
        })
        .collect();
    let help = format!("{} {}", speaker.say("checklist-keep-help"), speaker.say("room-line-each"));
    let body = html! {
        (form.top())
        @for list in lists() {
            @if let Found::Walk(kept) = keeper(desk, list).found(list) {
                div.note { p { (speaker.say_with("room-kept", &[("place", Said::Words(kept.answers.place.clone()))])) }
                    p { a.button href={ "/room/walk/" (list.list.id) "/" (first_open(list, &kept.answers)) } { (speaker.say("room-go-on")) } } }
            }
        }
        p { (speaker.say("checklist-aim")) }
        form method="post" action="/room" {
            (form.choice("list", "room-which", "home-corner", true, &titles))
            (form.text("place", "room-place", "", Some("room-place-help")))
            @let places = places(&case);
            @if !places.is_empty() && !form.is_refused() { p.quiet { (speaker.say_with("room-places", &[("places", Said::Words(places.join(", ")))])) } }
            (form.text("by", "room-by", "", Some("room-by-help")))
            (form.lines("keep", "checklist-keep", &keep.join("\n"), &help))
            (frame::send(&speaker, "room-begin"))
        }
        p { a href="/room/change" { (speaker.say("change-title")) } }
        p { a href="/where" { (speaker.say("calm-title")) } ": " (speaker.say("calm-help")) }
    };
    let page = frame::page(&speaker, "/room", &speaker.say("room-title"), &body);
    if refused.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// The shipped lists.
fn lists() -> impl Iterator<Item = &'static ReadChecklist> {
    shipped().iter().filter_map(|(id, _)| checklists::shipped(id))
}

/// The places that were looked at, so that the same words are used again.
fn places(folder: &Path) -> Vec<String> {
    let all = Case::open(folder).map_err(Refusal::from).and_then(|case| audits::every_audit(&case)).unwrap_or_default();
    let places: BTreeSet<String> = all.into_iter().map(|(_, body)| body.figures.place).collect();
    places.into_iter().collect()
}

/// Begins a walk, or one anew.
pub(super) fn begin(asked: &Asked, desk: &Desk) -> Answer {
    match begun(asked, desk) {
        Ok(to) => Answer::go(to),
        Err(wrong) => start(desk, Some((asked, &[wrong]))),
    }
}

fn begun(asked: &Asked, desk: &Desk) -> Result<String, Wrong> {
    let list = find(asked.field("list").unwrap_or("home-corner")).beside("list")?;
    let Some(place) = asked.field("place") else {
        let refusal = Refusal::new("place-missing", desk.speaker().say("room-place-missing"));
        return Err(Wrong::about("place", refusal));
    };
    let keep = lines(asked, "keep");
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
    keeper(desk, &list).keep(&list, &walk, &about, desk.now())?;
    Ok(format!("/room/walk/{}/{}", list.list.id, first_surface(&list)))
}

/// One surface with its questions.
pub(super) fn walk(id: &str, surface: &str, desk: &Desk, refused: Option<Refused<'_>>) -> Answer {
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
    let action = format!("/room/walk/{id}/{surface}");
    let form = Form::new(&speaker, refused, &action);
    let body = html! {
        (form.top())
        (progress(&speaker, &list, surface))
        p.quiet { (kept.place) ". " (speaker.say("room-saved")) }
        form method="post" action=(action) {
            @for item in list.list.items.iter().filter(|item| item.surface == surface) {
                (question(&speaker, &list, item, &kept, &form))
            }
            p.send {
                a.button.second href=(back) { (speaker.say("room-back")) }
                button type="submit" { (speaker.say(if after.is_some() { "room-next" } else { "room-to-measure" })) }
            }
        }
    };
    let page = frame::page(&speaker, "/room", &title, &body);
    if refused.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// Keeps the answers of one surface and goes on; where one is refused the others are kept all the same.
pub(super) fn answered(id: &str, surface: &str, asked: &Asked, desk: &Desk) -> Answer {
    let (list, mut kept) = match kept(id, desk) {
        Ok(found) => found,
        Err(refusal) => return refuse(desk, &refusal),
    };
    let Some(on) = Surface::from_word(surface) else {
        return refuse(desk, &Refusal::new("no-such-page", desk.speaker().say("page-nothing-here")));
    };
    let mut wrong = Vec::new();
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
            Err(refusal) => wrong.push(Wrong::about(&format!("a-{}", item.id), refusal)),
        }
    }
    if let Err(refusal) = keep(desk, &list, &kept) {
        wrong.push(refusal.into());
    }
    if !wrong.is_empty() {
        return walk(id, surface, desk, Some((asked, &wrong)));
    }
    Answer::go(match neighbours(&list, on).1 {
        Some(next) => format!("/room/walk/{id}/{next}"),
        None => format!("/room/measure/{id}"),
    })
}

/// The recording and the photos.
pub(super) fn measure(id: &str, desk: &Desk, refused: Option<Refused<'_>>) -> Answer {
    let speaker = desk.speaker();
    let (list, kept) = match kept(id, desk) {
        Ok(found) => found,
        Err(refusal) => return refuse(desk, &refusal),
    };
    let open: Vec<&Item> = list.list.items.iter().filter(|item| !kept.answers.contains_key(&item.id)).collect();
    let action = format!("/room/measure/{id}");
    let form = Form::new(&speaker, refused, &action);
    let body = html! {
        (form.top())
        @if !open.is_empty() { p.note { (speaker.say_with("room-open", &[("count", u32::try_from(open.len()).unwrap_or(u32::MAX).into())])) } }
        form method="post" action=(action) enctype="multipart/form-data" {
            (form.held())
            (form.file("photo", "room-photos", "image/*", true, Some("room-photos-help")))
            (sound::fields(&speaker, &form, "room-sound"))
            (form.text("minutes", "room-minutes", "15", None))
            p.send {
                a.button.second href={ "/room/walk/" (id) "/" (last_surface(&list)) } { (speaker.say("room-back")) }
                button type="submit" { (speaker.say("room-finish")) }
            }
        }
    };
    let page = frame::scripted(&speaker, "/room", &speaker.say("room-measure-title"), &body, &["/listen.js"]);
    if refused.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// Does the audit and stores it.
pub(super) fn finish(id: &str, asked: &Asked, desk: &Desk) -> Answer {
    let asked = desk.with_held(asked);
    match audited(id, &asked, desk) {
        Ok(stored) => Answer::go(format!("/room/found/{stored}")),
        Err(wrong) => {
            let wrong = [wrong];
            measure(id, desk, Some((&form::hold(asked, &wrong, desk), &wrong)))
        }
    }
}

fn audited(id: &str, asked: &Asked, desk: &Desk) -> Result<String, Wrong> {
    let (list, kept) = kept(id, desk)?;
    let case = Case::open(&desk.case().unwrap_or_default()).map_err(Refusal::from)?;
    let minutes = match asked.field("minutes") {
        None => MINUTES,
        Some(typed) => sound::number(typed, "minutes").beside("minutes")?,
    };
    let child_audible = asked.field("child-audible").is_some();
    let sound = sound::of_form(asked, &desk.speaker())?;
    let seen = photo::of_form(asked)?.into_iter().map(|photo| photo.doc).collect();
    let answers = Named { name: "answers".to_owned(), content: written_answers(&list.list, &kept) };
    let request = AuditRequest {
        place: None,
        checklist: list.clone(),
        answers,
        keep: case.child().map_err(Refusal::from)?.keep,
        sound,
        child_audible,
        photos: seen,
        kept_photos: Vec::new(),
        scale: None,
        minutes,
        sensitivity: sensitivities::newest(&case)?,
        recheck: None,
    };
    let result = audits::audit(request).map_err(|refusal| match refusal.code.as_str() {
        "minutes" => Wrong::about("minutes", refusal),
        _ => refusal.into(),
    })?;
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
    let unknown = || Refusal::new("checklist-unknown", format!("there is no checklist `{}`", printable(id)));
    checklists::shipped(id).cloned().ok_or_else(unknown)
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

/// The first surface with a question that has no answer yet.
fn first_open(list: &ReadChecklist, kept: &Answers) -> Surface {
    let open = |surface: &Surface| {
        list.list.items.iter().any(|item| item.surface == *surface && !kept.answers.contains_key(&item.id))
    };
    surfaces(list).into_iter().find(open).unwrap_or_else(|| last_surface(list))
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

fn question(speaker: &Speaker, list: &ReadChecklist, item: &Item, kept: &Answers, form: &Form<'_>) -> Markup {
    let words = |what: &str, own: &str| {
        speaker.find(&format!("{}-{}.{what}", worded_as(&list.list.id), item.id), &[]).unwrap_or_else(|| own.to_owned())
    };
    let name = format!("a-{}", item.id);
    let before = kept.answers.get(&item.id).map(shown).unwrap_or_default();
    let value = form.value(&name, &before);
    let unseen_name = format!("u-{}", item.id);
    let unseen = value == "not seen" || form.chosen(&unseen_name, "yes", false);
    let option = |key: &str, label: &str| {
        html! {
            label.pick.tall { input type="radio" name=(name) value=(key) checked[value == key]; span { (label) } }
        }
    };
    let reason = form.value(&format!("w-{}", item.id), kept.reasons.get(&item.id).map_or("", String::as_str));
    html! {
        fieldset.question aria-describedby=[form.any_wrong(&[&name]).then(|| format!("{name}-wrong"))] {
            legend { (words("ask", &item.ask)) }
            @if let Some(help) = &item.help { p.help { (words("help", help)) } }
            (form.wrong(&name))
            @match &item.unit {
                Unit::Count { .. } => {
                    div.count data-less=(speaker.say("room-less")) data-more=(speaker.say("room-more")) {
                        label for=(name) { (speaker.say("room-how-many")) }
                        input type="text" inputmode="numeric" size="6" autocomplete="off" id=(name) name=(name) value=(if unseen { "" } else { &value })
                            aria-invalid=[form.any_wrong(&[&name]).then_some("true")] autofocus[form.any_wrong(&[&name])];
                    }
                    label.pick { input type="checkbox" name=(unseen_name) value="yes" checked[unseen]; span { (speaker.say("word-not-seen")) } }
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
                input type="text" id={ "w-" (item.id) } name={ "w-" (item.id) } value=(reason) maxlength="200";
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
