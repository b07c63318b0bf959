//! A drawing of the corner before and now: a small shape for each thing that was counted on the wall, the table and
//! the floor. It shows the answers, not the load.

use maud::{Markup, html};

use super::{AuditView, CaseReport};
use crate::language::{Said, Speaker};
use crate::words::printable;

/// Shapes a surface has room for; what is more is said in words.
const ROOM_FOR: u32 = 12;

/// The surfaces drawn, with where their shapes stand: left edge, base line, and steps right and up.
const PLACES: [(&str, f64, f64, f64); 3] =
    [("wall", 118.0, 62.0, 28.0), ("table", 132.0, 130.0, 26.0), ("floor", 30.0, 212.0, 28.0)];

/// Things counted on a surface: numbers as answered, and one for each thing that is there or not.
fn counted(view: &AuditView<'_>, surface: &str) -> u32 {
    let Some(found) = view.audit.surfaces.iter().find(|one| one.surface == surface) else { return 0 };
    found
        .items
        .iter()
        .filter(|item| item.pull > 0.0)
        .filter_map(|item| item.answer.as_u64().or_else(|| item.answer.as_bool().map(u64::from)))
        .filter_map(|count| u32::try_from(count).ok())
        .fold(0, u32::saturating_add)
}

/// Both drawings, or the one there is.
pub(crate) fn before_and_now(report: &CaseReport<'_>, speaker: &Speaker) -> Markup {
    html! {
        figure.corner {
            div.pair {
                @if let Some(before) = &report.before { (one(before, "family-before", speaker)) }
                (one(&report.now, "family-now", speaker))
            }
            figcaption { (speaker.say("family-sketch-help")) }
        }
    }
}

fn one(view: &AuditView<'_>, heading: &str, speaker: &Speaker) -> Markup {
    let day = view.audit.date.parse().map_or_else(|_| printable(&view.audit.date), |date| speaker.day(date));
    let counts: Vec<(String, u32)> = PLACES
        .iter()
        .map(|(surface, ..)| (speaker.say(&format!("surface-{surface}")), counted(view, surface)))
        .collect();
    let told: Vec<String> = counts.iter().map(|(surface, count)| format!("{surface}: {count}")).collect();
    html! {
        div {
            p.when { (speaker.say_with(heading, &[("day", Said::Words(day))])) }
            svg viewBox="0 0 400 236" role="img" aria-label={ (speaker.say("family-sketch")) " " (told.join(", ")) } {
                g.room {
                    path d="M12 12H388V178H12Z" {}
                    path d="M12 178L2 232M388 178L398 232" {}
                    path d="M112 132H330M128 132V204M314 132V204" {}
                    path d="M60 206L66 160H98L104 206M66 160L58 110" {}
                    path d="M106 66H300" {}
                }
                @for (surface, left, base, apart) in PLACES {
                    @for number in 0..counted(view, surface).min(ROOM_FOR) { (thing(number, left, base, apart, surface)) }
                }
            }
            p.told { (told.join(" · ")) }
        }
    }
}

/// A block, a ball, a cup or a book, in turn, in one or two rows.
fn thing(number: u32, left: f64, base: f64, apart: f64, surface: &str) -> Markup {
    let row = if surface == "floor" { ROOM_FOR } else { ROOM_FOR / 2 };
    let (column, up) = (number % row, number / row);
    let x = left + apart * f64::from(column) + 9.0 * f64::from(up % 2);
    let y = base - 20.0 * f64::from(up);
    html! {
        @match number % 4 {
            0 => rect.thing x=(x) y=(y - 15.0) width="15" height="15" {},
            1 => circle.thing cx=(x + 8.0) cy=(y - 8.0) r="8" {},
            2 => path.thing d={ "M" (x) " " (y - 14.0) "h14l-2 14h-10z" } {},
            _ => rect.thing x=(x) y=(y - 18.0) width="8" height="18" {},
        }
    }
}
