//! Where and when, as a picture and as a chapter: corners side by side, a day's ribbon of loudness with the window.

use maud::{Markup, html};

use super::chart::{Bar, Bars, Fill, Layout, Ribbons, figure, stacked};
use super::say;
use crate::contract::{CornerDoc, TimesDoc, WayDoc, WhereDoc};

/// The load by what all corners share, with its interval; else the corner's own.
fn side_by_side(corner: &CornerDoc) -> (f64, f64, f64) {
    match (corner.shared_load, corner.shared_low, corner.shared_high) {
        (Some(load), Some(low), Some(high)) => (load, low, high),
        _ => (corner.load, corner.load_low, corner.load_high),
    }
}

/// Corners side by side; none for fewer than two.
fn corners(doc: &WhereDoc) -> Option<Bars<'static>> {
    if doc.corners.len() < 2 {
        return None;
    }
    let rows = doc.corners.iter().map(|corner| {
        let (load, low, high) = side_by_side(corner);
        Bar {
            label: corner.place.clone(),
            value: load,
            figure: say::whole(load),
            interval: Some((low, high)),
            before: None,
            fill: if doc.calmest_place.as_ref() == Some(&corner.place) { Fill::Hollow } else { Fill::Solid },
        }
    });
    let figures: Vec<String> = doc
        .corners
        .iter()
        .map(|corner| {
            let (load, low, high) = side_by_side(corner);
            format!("{} {}, {}–{}", corner.place, say::whole(load), say::whole(low), say::whole(high))
        })
        .collect();
    let desc = format!(
        "The load of each corner by what all of them share, from 0 to 100, with its 90 % interval: {}.",
        figures.join("; ")
    );
    Some(Bars { title: "Corners side by side", desc, end: 100.0, axis: "load", zones: &[], rows: rows.collect() })
}

fn ribbons(times: &TimesDoc) -> Ribbons<'_> {
    let minutes = |time: &str| {
        let (hour, minute) = time.split_once(':').unwrap_or(("0", "0"));
        hour.parse::<f64>().unwrap_or(0.0) * 60.0 + minute.parse::<f64>().unwrap_or(0.0)
    };
    let window = times.window.as_ref().map(|window| {
        let (from, mut to) = (minutes(&window.from), minutes(&window.to));
        if to <= from {
            to += 24.0 * 60.0;
        }
        (from, to, format!("{}–{}", window.from, window.to), times.is_clear)
    });
    let desc = match (&times.window, times.is_clear) {
        (Some(window), true) => {
            format!(
                "{} days in rows, loud five minutes upwards, quiet ones downwards. The calm time from {} to {} is marked.",
                times.ribbons.len(),
                window.from,
                window.to
            )
        }
        (Some(window), false) => format!(
            "{} days in rows, loud five minutes upwards, quiet ones downwards. The lowest 20 minutes, {} to {}, are marked with broken lines: no clear difference.",
            times.ribbons.len(),
            window.from,
            window.to
        ),
        (None, _) => format!("{} days in rows, loud five minutes upwards, quiet ones downwards.", times.ribbons.len()),
    };
    Ribbons { days: &times.ribbons, window, desc }
}

/// The picture that stands alone: corners, then days; for a telephone narrow.
pub fn where_svg(doc: &WhereDoc, narrow: bool) -> String {
    let layout = if narrow { Layout::Narrow } else { Layout::Wide };
    let mut parts: Vec<(f64, Markup)> = Vec::new();
    if let Some(bars) = corners(doc) {
        parts.push((bars.height(layout), bars.draw(&layout.id("corners"), layout)));
    }
    if let Some(times) = doc.times.as_ref().filter(|times| !times.ribbons.is_empty()) {
        let ribbons = ribbons(times);
        parts.push((ribbons.height(layout), ribbons.draw(&layout.id("days"), layout)));
    }
    stacked(layout, &parts)
}

/// What to do before anything is tidied.
pub(crate) fn before_tidying(way: &WayDoc) -> String {
    let (minutes, load) = (say::minutes(way.minutes), say::whole(way.load_after));
    match (&way.place, &way.from) {
        (Some(place), Some(from)) => {
            format!(
                "Before tidying: another place and another time, {place} at {from}, with {minutes} in all; the load would then be about {load}."
            )
        }
        (Some(place), None) => {
            format!(
                "Before tidying: another place, {place}, with {minutes} in all; the load would then be about {load}."
            )
        }
        (None, from) => format!(
            "Before tidying: another time, {}, with {minutes} in all; the load would then be about {load}.",
            from.as_deref().unwrap_or_default()
        ),
    }
}

/// The chapter: what it says, the picture, the ways, what was left out.
pub(crate) fn chapter(doc: &WhereDoc) -> Markup {
    html! {
        @for sentence in &doc.said { p { (sentence) } }
        @if let Some(bars) = corners(doc) {
            (figure("corners", &html! { "Each bar is a corner's load by what all of them share, the line below it its 90\u{a0}% interval. The calmest is drawn as an outline." },
                |id, layout| bars.draw(id, layout)))
        }
        @if let Some(times) = doc.times.as_ref().filter(|times| !times.ribbons.is_empty()) {
            @let ribbons = ribbons(times);
            (figure("days", &html! { "Each row is a day: five minutes louder than that day's usual stand up, calmer ones hang down. "
                "A marked window with whole lines is clear, with broken lines it may be chance. A day in brackets is left out." },
                |id, layout| ribbons.draw(id, layout)))
        }
        @for note in &doc.notes { p.note { (note.text) } }
    }
}
