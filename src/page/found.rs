//! What an audit found: the load with its doubt, what to move first, what changed.

use maud::html;

use super::answer::Answer;
use super::desk::Desk;
use super::{frame, home};
use crate::contract::{AuditBody, CompareDoc};
use crate::language::Said;
use crate::words::id_in_words;

/// Items shown as carrying most.
const MOST: usize = 6;

/// The page of an audit.
pub(super) fn page(desk: &Desk, body: &AuditBody, change: Option<&CompareDoc>) -> Answer {
    let speaker = desk.speaker();
    let figures = &body.figures;
    let number = |value: f64| Said::Words(speaker.number(value, 0));
    let share = |id: &str| figures.shares.iter().find(|share| share.id == id);
    let shown = html! {
        p.quiet { (figures.place) ", " (home::day(&speaker, &figures.date)) }
        p.lead { (speaker.say_with("visitor-load", &[
            ("load", number(figures.load)), ("grade", Said::Words(speaker.say(&format!("grade-{}", figures.grade)))),
            ("low", number(figures.load_low)), ("high", number(figures.load_high)),
        ])) }
        svg.line viewBox="0 0 400 40" role="img" aria-label=(speaker.say_with("found-line", &[("load", number(figures.load))])) {
            path.track d="M10 20H390" {}
            path.doubt d={ "M" (10.0 + figures.load_low * 3.8) " 20H" (10.0 + figures.load_high * 3.8) } {}
            circle.pebble cx=(10.0 + figures.load * 3.8) cy="20" r="9" {}
        }
        @if let Some(change) = change {
            p.lead { strong { (speaker.say(match change.verdict.as_str() { "calmer" => "family-calmer", "busier" => "family-busier", _ => "family-same" })) }
                " " (speaker.say_with("found-change", &[("before", number(change.load_before)), ("after", number(change.load_after)), ("low", number(change.low)), ("high", number(change.high))])) }
        }
        section {
            h2 { (speaker.say("visitor-first")) }
            p { (speaker.say_with("visitor-first-help", &[("minutes", number(figures.first_moves.minutes))])) }
            @if figures.first_moves.ids.is_empty() { p { (speaker.say("family-move-none")) } }
            ol.moves { @for id in &figures.first_moves.ids {
                @if let Some(share) = share(id) { li { (share.remedy.as_deref().unwrap_or(id)) @if let Some(minutes) = share.minutes { " " span.quiet { (speaker.number(minutes, 0)) " min" } } } }
            } }
            p { (speaker.say_with("found-after", &[("load", number(figures.first_moves.load_after))])) }
        }
        section {
            h2 { (speaker.say("found-most")) }
            ul.shares { @for share in figures.shares.iter().filter(|share| share.share > 0.0).take(MOST) {
                li { span { (id_in_words(&share.id)) } svg.share viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true" { rect width="100" height="8" {} rect.part width=(share.share * 100.0) height="8" {} } span.quiet { (speaker.number(share.share * 100.0, 0)) " %" } }
            } }
        }
        @if !figures.disagreements.is_empty() { section { h2 { (speaker.say("visitor-differ")) } ul { @for one in &figures.disagreements { li { (one.text) } } } } }
        @if !figures.cautions.is_empty() { section { h2 { (speaker.say("visitor-mind")) } ul { @for one in &figures.cautions { li { (one.text) } } } } }
        p { a.button href="/report/family" { (speaker.say("papers-family")) } " " a.button.second href="/papers" { (speaker.say("way-papers")) } }
    };
    Answer::page(frame::page(&speaker, "/room", &speaker.say("found-title"), &shown))
}
