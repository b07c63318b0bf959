//! Handing the records of a carried page over: one file that `stillroom case merge` takes in, sealed where a passphrase is
//! given.

use maud::{Markup, html};

use super::answer::Answer;
use super::asked::Asked;
use super::carried::{case_of, out_of};
use super::desk::Desk;
use super::form::{Form, Refused, Wrong};
use super::frame;
use super::papers::{no_case, refuse};
use crate::contract::PackedDoc;
use crate::language::{Said, Speaker};
use crate::tasks::files::{is_there, private_folder, read_bytes, remove, short_name};
use crate::tasks::{Refusal, handovers};

/// Largest file that is handed over, bytes.
const MOST_BYTES: u64 = 1 << 30;

/// The page that asks for a passphrase.
pub(super) fn ask(desk: &Desk, refused: Option<Refused<'_>>) -> Answer {
    let speaker = desk.speaker();
    let Some(root) = desk.root() else { return nothing_here(desk) };
    if !is_there(&case_of(root)) {
        return no_case(desk);
    }
    let form = Form::new(&speaker, refused, "/hand-over");
    let body = html! {
        (form.top())
        p { (speaker.say("hand-over-how")) }
        form method="post" action="/hand-over" {
            (form.text("passphrase", "hand-over-passphrase", "", Some("hand-over-passphrase-help")))
            (frame::send(&speaker, "hand-over-make"))
        }
        p.note { (speaker.say("hand-over-only-here")) }
    };
    let page = frame::page(&speaker, "", &speaker.say("hand-over-title"), &body);
    if refused.is_some() { Answer::refusal(422, page) } else { Answer::page(page) }
}

/// Makes the file and offers it.
pub(super) fn make(asked: &Asked, desk: &Desk) -> Answer {
    let Some(root) = desk.root() else { return nothing_here(desk) };
    let made = || -> Result<(String, PackedDoc), Refusal> {
        let folder = out_of(root);
        private_folder(&folder)?;
        let passphrase = asked.field("passphrase");
        let word: String = crate::case::Case::open(&case_of(root))?
            .child()?
            .alias
            .to_lowercase()
            .chars()
            .map(|sign| if sign.is_ascii_alphanumeric() { sign } else { '-' })
            .collect();
        let ending = if passphrase.is_some() { "age" } else { "tar" };
        let name = format!("{}-{}.{ending}", word.trim_matches('-'), desk.today());
        let out = folder.join(&name);
        remove(&out)?;
        let packing = handovers::plan(&case_of(root), &out, None, desk.now())?;
        let doc = match passphrase {
            Some(passphrase) => handovers::seal(packing, &out, passphrase)?,
            None => handovers::plain(packing, &out)?,
        };
        Ok((name, doc))
    };
    match made() {
        Ok((name, doc)) => offer(&desk.speaker(), &name, &doc, asked.field("passphrase")),
        Err(refusal) => ask(desk, Some((asked, &[Wrong::about("passphrase", refusal)]))),
    }
}

fn offer(speaker: &Speaker, name: &str, doc: &PackedDoc, passphrase: Option<&str>) -> Answer {
    let records: usize = doc.holds.iter().map(|kind| kind.count).sum();
    let short = passphrase.is_some_and(|passphrase| handovers::too_short(passphrase).is_some());
    let body: Markup = html! {
        p role="status" { (speaker.say_with("hand-over-made", &[
            ("records", u32::try_from(records).unwrap_or(u32::MAX).into()),
            ("kilobytes", Said::Words(speaker.number((doc.bytes as f64 / 1000.0).max(1.0), 0))),
        ])) }
        @if passphrase.is_none() { p.note { (speaker.say("hand-over-open")) } }
        @if short { p.note { (speaker.say("hand-over-short")) } }
        p.send { a.button download=(name) href={ "/hand-over/" (name) } { (speaker.say("hand-over-save")) } }
        p { (speaker.say("hand-over-then")) }
        p { code { "stillroom case merge " (crate::words::printable(&doc.alias).to_lowercase()) " " (name) } }
        p.quiet { (speaker.say("hand-over-stays")) }
    };
    Answer::page(frame::page(speaker, "", &speaker.say("hand-over-title"), &body))
}

/// The file itself.
pub(super) fn file(name: &str, desk: &Desk) -> Answer {
    let Some(root) = desk.root() else { return nothing_here(desk) };
    let path = out_of(root).join(name);
    if short_name(&path) != name {
        return nothing_here(desk);
    }
    match read_bytes(&path, MOST_BYTES, &mut std::io::empty()) {
        Ok(named) => Answer::file("application/octet-stream", named.content),
        Err(refusal) => refuse(desk, &refusal),
    }
}

fn nothing_here(desk: &Desk) -> Answer {
    refuse(desk, &Refusal::new("no-such-page", desk.speaker().say("page-nothing-here")))
}
