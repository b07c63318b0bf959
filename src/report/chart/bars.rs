//! Horizontal bars from zero: one a row, with an interval, and the figure of before as an outline below.

use maud::{Markup, html};

use super::axis::{Scale, ticks};
use super::draw::{Fill, Frame, Hold, Ink, Layout, line, text, width_of, wrap};
use crate::report::say;

/// One row.
pub(crate) struct Bar {
    /// What the bar is of.
    pub(crate) label: String,
    /// Its length, in the numbers of the axis.
    pub(crate) value: f64,
    /// The figure as written beside it.
    pub(crate) figure: String,
    /// The ends of an interval.
    pub(crate) interval: Option<(f64, f64)>,
    /// The same figure in the audit before.
    pub(crate) before: Option<f64>,
    /// How it is filled.
    pub(crate) fill: Fill,
}

/// The whole chart.
pub(crate) struct Bars<'a> {
    /// Its name.
    pub(crate) title: &'a str,
    /// What it shows, in words.
    pub(crate) desc: String,
    /// The end of the axis, which starts at 0.
    pub(crate) end: f64,
    /// What the axis counts.
    pub(crate) axis: &'a str,
    /// Words for stretches of the axis: where each ends, and its word.
    pub(crate) zones: &'a [(f64, &'a str)],
    /// The rows.
    pub(crate) rows: Vec<Bar>,
}

const BAR: f64 = 20.0;
const BEFORE: f64 = 11.0;
const INTERVAL: f64 = 12.0;
const SIZE: f64 = 14.0;

/// Where a row stands.
struct Place {
    top: f64,
    bar: f64,
    foot: f64,
    label: Vec<String>,
}

impl Bars<'_> {
    /// How tall it is.
    pub(crate) fn height(&self, layout: Layout) -> f64 {
        self.laid(layout).3 + 40.0
    }

    /// Its axis, its top, its rows and where they end.
    fn laid(&self, layout: Layout) -> (Scale, f64, Vec<Place>, f64) {
        let longest = self.rows.iter().map(|bar| width_of(&bar.label, SIZE)).fold(0.0, f64::max);
        let (left, right) = if layout.narrow() {
            (2.0, layout.width() - 14.0)
        } else {
            (if longest > 0.0 { (longest + 12.0).clamp(20.0, 190.0) } else { 6.0 }, layout.width() - 122.0)
        };
        let scale = Scale { from: (0.0, self.end), to: (left, right) };
        let top = if self.zones.is_empty() { 4.0 } else { 24.0 };
        let places = self.places(layout, left, top + 4.0);
        let foot = places.last().map_or(top, |place| place.foot) + 8.0;
        (scale, top, places, foot)
    }

    /// The chart in one width.
    pub(crate) fn draw(&self, id: &str, layout: Layout) -> Markup {
        let (scale, top, places, foot) = self.laid(layout);
        let frame = Frame {
            id,
            class: layout.class(),
            width: layout.width(),
            height: foot + 40.0,
            title: self.title,
            desc: &self.desc,
        };
        // On a telephone labels stand over the bars, so lines run along the bars only and cross no word.
        let spans: Vec<(f64, f64)> = if layout.narrow() {
            places.iter().map(|place| (place.bar - 3.0, place.foot + 3.0)).collect()
        } else {
            vec![(top, foot)]
        };
        let body = html! {
            (self.grid(&scale, layout, &spans, foot))
            @for (bar, place) in self.rows.iter().zip(&places) { (row(&frame, layout, &scale, bar, place)) }
            @for (from, to) in &spans { (line([scale.at(0.0), *from, scale.at(0.0), *to], Ink::Text, 1.2, None)) }
        };
        frame.svg(&body)
    }

    fn places(&self, layout: Layout, left: f64, top: f64) -> Vec<Place> {
        let mut y = top;
        let mut places = Vec::new();
        for bar in &self.rows {
            let room = if layout.narrow() { layout.width() - width_of(&bar.figure, SIZE) - 12.0 } else { left - 12.0 };
            let label = wrap(&bar.label, SIZE, room, 2);
            let rows = label.len().max(1) as f64;
            let above = if layout.narrow() { 18.0 * rows + 4.0 } else { 0.0 };
            let bars = BAR
                + if bar.interval.is_some() { INTERVAL } else { 0.0 }
                + if bar.before.is_some() { BEFORE + 3.0 } else { 0.0 };
            let height = if layout.narrow() { bars } else { bars.max(17.0 * rows) };
            places.push(Place { top: y, bar: y + above, foot: y + above + height, label });
            y += above + height + 12.0;
        }
        places
    }

    fn grid(&self, scale: &Scale, layout: Layout, spans: &[(f64, f64)], foot: f64) -> Markup {
        let mut start = 0.0;
        let zones: Vec<(f64, f64, &str)> = self
            .zones
            .iter()
            .map(|(end, word)| {
                let zone = (start, end.min(self.end), *word);
                start = *end;
                zone
            })
            .collect();
        html! {
            @for tick in ticks(0.0, self.end, 5) {
                @for (from, to) in spans { (line([scale.at(tick), *from, scale.at(tick), *to], Ink::Rule, 0.8, None)) }
                @let place = scale.at(tick).max(scale.to.0 + if layout.narrow() { 4.0 } else { 0.0 });
                (text(place, foot + 16.0, Hold::Middle, Ink::Quiet, 13.0, &say::short(tick)))
            }
            @for (from, to, word) in zones {
                @if width_of(word, 13.0) < scale.at(to) - scale.at(from) {
                    (text((scale.at(from) + scale.at(to)) / 2.0, 14.0, Hold::Middle, Ink::Quiet, 13.0, word))
                }
                @if to < self.end {
                    (line([scale.at(to), 4.0, scale.at(to), 18.0], Ink::Quiet, 1.0, Some("2 4")))
                    @for (from, below) in spans { (line([scale.at(to), *from, scale.at(to), *below], Ink::Quiet, 1.0, Some("2 4"))) }
                }
            }
            (text((scale.to.0 + scale.to.1) / 2.0, foot + 34.0, Hold::Middle, Ink::Quiet, 13.0, self.axis))
        }
    }
}

fn row(frame: &Frame<'_>, layout: Layout, scale: &Scale, bar: &Bar, place: &Place) -> Markup {
    let y = place.bar;
    let zero = scale.at(0.0);
    let below = y + BAR + if bar.interval.is_some() { INTERVAL } else { 0.0 };
    let first = if place.label.len() > 1 { 8.0 } else { 15.0 };
    html! {
        @for (k, words) in place.label.iter().enumerate() {
            @if layout.narrow() {
                (text(zero, place.top + 14.0 + 18.0 * k as f64, Hold::Start, Ink::Text, SIZE, words))
            } @else {
                (text(zero - 10.0, y + first + 17.0 * k as f64, Hold::End, Ink::Text, SIZE, words))
            }
        }
        (frame.area(bar.fill, [zero, y, scale.at(bar.value) - zero, BAR], Some(bar.value)))
        @if let Some((low, high)) = bar.interval { (interval(scale, low, high, y + BAR + 7.0)) }
        @if let Some(before) = bar.before {
            (frame.area(Fill::Hollow, [zero, below + 3.0, scale.at(before) - zero, BEFORE], Some(before)))
        }
        @if layout.narrow() {
            (text(layout.width() - 2.0, place.top + 14.0, Hold::End, Ink::Text, SIZE, &bar.figure))
        } @else {
            (text(scale.to.1 + 12.0, y + 15.0, Hold::Start, Ink::Text, SIZE, &bar.figure))
        }
    }
}

/// An interval, below its bar.
fn interval(scale: &Scale, low: f64, high: f64, y: f64) -> Markup {
    let (low, high) = (scale.at(low), scale.at(high));
    html! {
        (line([low, y, high, y], Ink::Text, 1.8, None))
        @for end in [low, high] { (line([end, y - 4.0, end, y + 4.0], Ink::Text, 1.8, None)) }
    }
}
