//! Days as ribbons of loudness: one row a day, each five minutes a bar above or below that day's usual, and the proposed window
//! across all of them. What is louder stands up and is dark, what is calmer hangs down and is light: the side says it, not the colour.

use maud::{Markup, html};

use super::draw::{Fill, Frame, Hold, Ink, Layout, line, text};
use crate::contract::RibbonDoc;
use crate::report::say;

/// Days that are drawn, the newest.
const MOST_DAYS: usize = 14;
/// Levels are drawn up to this far from the usual, dB.
const REACH_DB: f64 = 15.0;
/// Half the height of a row's bars.
const HALF: f64 = 15.0;
const SIZE: f64 = 13.0;
const BLOCK_MINUTES: f64 = 5.0;

/// The days of one place.
pub(crate) struct Ribbons<'a> {
    /// The days.
    pub(crate) days: &'a [RibbonDoc],
    /// The window that is shown: minutes after midnight, what it is called, and whether it is clear.
    pub(crate) window: Option<(f64, f64, String, bool)>,
    /// What it shows, in words.
    pub(crate) desc: String,
}

impl Ribbons<'_> {
    fn shown(&self) -> &[RibbonDoc] {
        &self.days[self.days.len().saturating_sub(MOST_DAYS)..]
    }

    /// The hours that are drawn, minutes after midnight.
    fn span(&self) -> (f64, f64) {
        let minutes = || self.shown().iter().flat_map(|day| day.blocks.iter().map(|(at, _)| f64::from(*at)));
        let (least, most) = (minutes().fold(f64::INFINITY, f64::min), minutes().fold(0.0, f64::max));
        let from = if least.is_finite() { (least / 60.0).floor() * 60.0 } else { 0.0 };
        (from, ((most + BLOCK_MINUTES) / 60.0).ceil() * 60.0)
    }

    fn row(layout: Layout) -> f64 {
        2.0 * HALF + if layout.narrow() { 26.0 } else { 10.0 }
    }

    /// How tall it is.
    pub(crate) fn height(&self, layout: Layout) -> f64 {
        30.0 + Self::row(layout) * self.shown().len() as f64 + 42.0
    }

    /// The chart in one width.
    pub(crate) fn draw(&self, id: &str, layout: Layout) -> Markup {
        let (left, right) = if layout.narrow() { (8.0, layout.width() - 12.0) } else { (150.0, layout.width() - 20.0) };
        let (from, until) = self.span();
        let at = |minutes: f64| left + (minutes - from) / (until - from).max(1.0) * (right - left);
        let frame = Frame {
            id,
            class: layout.class(),
            width: layout.width(),
            height: self.height(layout),
            title: "When it was loud and when quiet",
            desc: &self.desc,
        };
        let top = 30.0;
        let foot = top + Self::row(layout) * self.shown().len() as f64;
        let hours = ((until - from) / 60.0).max(1.0);
        let every = (hours / if layout.narrow() { 6.0 } else { 12.0 }).ceil().max(1.0) * 60.0;
        let ticks =
            std::iter::successors(Some(from), |tick| Some(tick + every)).take_while(|tick| *tick <= until + 0.5);
        let body = html! {
            @for tick in ticks {
                (line([at(tick), top, at(tick), foot], Ink::Rule, 0.8, None))
                (text(at(tick), foot + 17.0, Hold::Middle, Ink::Quiet, SIZE, &format!("{:02}", (tick / 60.0).round() % 24.0)))
            }
            @if let Some((start, end, words, clear)) = &self.window {
                @let middle = ((at(*start) + at(*end)) / 2.0).clamp(left + 52.0, right - 52.0);
                (frame.area(Fill::Pale, [at(*start), top - 6.0, at(*end) - at(*start), foot - top + 8.0], None))
                (text(middle, 16.0, Hold::Middle, Ink::Text, SIZE, words))
                @for edge in [*start, *end] {
                    (line([at(edge), top - 8.0, at(edge), foot + 3.0], Ink::Text, 1.6, if *clear { None } else { Some("3 4") }))
                }
            }
            @for (number, day) in self.shown().iter().enumerate() {
                @let y = top + Self::row(layout) * number as f64 + if layout.narrow() { 18.0 } else { 0.0 } + HALF + 2.0;
                @let words = name(day, layout);
                @if layout.narrow() {
                    (text(left, y - HALF - 4.0, Hold::Start, Ink::Text, SIZE, &words))
                } @else {
                    (text(left - 12.0, y + 4.5, Hold::End, Ink::Text, SIZE, &words))
                }
                @for (minute, db) in &day.blocks { (bar(&frame, at(f64::from(*minute)), at(f64::from(*minute) + BLOCK_MINUTES), y, *db)) }
                (line([left, y, right, y], Ink::Quiet, 1.0, None))
            }
            (text((left + right) / 2.0, foot + 36.0, Hold::Middle, Ink::Quiet, SIZE, "hour of the day; full bar 15 dB"))
        };
        frame.svg(&body)
    }
}

/// The day beside its row; a day that is left out stands in brackets.
fn name(day: &RibbonDoc, layout: Layout) -> String {
    let short = day.date.parse().map_or_else(|_| say::day(&day.date), say::short_day);
    let words = if layout.narrow() { short } else { say::day(&day.date) };
    if day.counts { words } else { format!("({words})") }
}

/// Five minutes: up where louder than the day's usual, down where calmer.
fn bar(frame: &Frame<'_>, from: f64, to: f64, y: f64, db: f64) -> Markup {
    let long = (db.abs() / REACH_DB).min(1.0) * HALF;
    let width = (to - from - if to - from > 3.0 { 0.6 } else { 0.0 }).max(0.5);
    if db > 0.0 {
        frame.area(Fill::Solid, [from, y - long, width, long], Some((db * 10.0).round() / 10.0))
    } else {
        frame.area(Fill::Middling, [from, y, width, long], Some((db * 10.0).round() / 10.0))
    }
}
