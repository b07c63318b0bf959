//! Tries as beads on a thread: full alone, half with help, hollow not right, a knot where no answer came; each with its
//! word, so that nothing rests on the shape.

use maud::{Markup, html};

use crate::language::Speaker;
use crate::tasks::sittings::{Sitting, Try};

/// The message that names a try.
pub(super) const fn name(how: Try) -> &'static str {
    match how {
        Try::Alone => "sessions-alone",
        Try::Helped => "sessions-helped",
        Try::Wrong => "sessions-wrong",
        Try::Nothing => "sitting-nothing",
    }
}

/// One bead.
pub(super) fn bead(how: Try) -> Markup {
    html! {
        svg.bead viewBox="0 0 24 24" aria-hidden="true" {
            @match how {
                Try::Alone => { circle.full cx="12" cy="12" r="9" {} }
                Try::Helped => { circle.ring cx="12" cy="12" r="9" {} path.full d="M12 3a9 9 0 0 1 0 18z" {} }
                Try::Wrong => { circle.ring cx="12" cy="12" r="9" {} }
                Try::Nothing => { path.knot d="M8 8l8 8M16 8l-8 8" {} }
            }
        }
    }
}

/// The thread so far, with room for what is meant to come.
pub(super) fn thread(speaker: &Speaker, sitting: &Sitting) -> Markup {
    let left = sitting.of.saturating_sub(sitting.given());
    html! {
        ol.thread aria-label=(speaker.say("sessions-tries")) {
            @for how in &sitting.tries { li { (bead(*how)) span { (speaker.say(name(*how))) } } }
            @for _ in 0..left { li.open aria-hidden="true" { svg.bead viewBox="0 0 24 24" { circle.knot cx="12" cy="12" r="2.5" {} } span { "\u{a0}" } } }
        }
    }
}
