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
const SIZE: f64 = 14.0;

impl Bars<'_> {
    /// The chart in one width.
    pub(crate) fn draw(&self, id: &str, layout: Layout) -> Markup {
        let (left, right) = if layout.narrow() { (6.0, layout.width() - 8.0) } else { (176.0, layout.width() - 122.0) };
        let scale = Scale { from: (0.0, self.end), to: (left, right) };
        let top = if self.zones.is_empty() { 4.0 } else { 24.0 };
        let mut y = top + 4.0;
        let heights: Vec<(f64, f64, Vec<String>)> = self
            .rows
            .iter()
            .map(|bar| {
                let room =
                    if layout.narrow() { right - left - width_of(&bar.figure, SIZE) - 10.0 } else { left - 14.0 };
                let lines = wrap(&bar.label, SIZE, room, 2);
                let above = if layout.narrow() { 18.0 * lines.len().max(1) as f64 + 2.0 } else { 0.0 };
                let bars = BAR + if bar.before.is_some() { BEFORE + 3.0 } else { 0.0 };
                let needed = if layout.narrow() { bars } else { bars.max(17.0 * lines.len() as f64) };
                let place = y;
                y += above + needed + 12.0;
                (place, above, lines)
            })
            .collect();
        let foot = y + 2.0;
        let frame = Frame {
            id,
            class: layout.class(),
            width: layout.width(),
            height: foot + 40.0,
            title: self.title,
            desc: &self.desc,
        };
        let body = html! {
            (self.grid(&scale, layout, top, foot))
            @for (bar, (place, above, lines)) in self.rows.iter().zip(&heights) {
                (row(&frame, layout, &scale, bar, (*place, *above), lines))
            }
            (line([scale.at(0.0), top, scale.at(0.0), foot], Ink::Text, 1.2, None))
        };
        frame.svg(&body)
    }

    fn grid(&self, scale: &Scale, layout: Layout, top: f64, foot: f64) -> Markup {
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
            @for tick in ticks(0.0, self.end, if layout.narrow() { 4 } else { 5 }) {
                (line([scale.at(tick), top, scale.at(tick), foot], Ink::Rule, 0.8, None))
                (text(scale.at(tick), foot + 16.0, Hold::Middle, Ink::Quiet, 13.0, &say::short(tick)))
            }
            @for (from, to, word) in zones {
                (text((scale.at(from) + scale.at(to)) / 2.0, 14.0, Hold::Middle, Ink::Quiet, 13.0, word))
                @if to < self.end {
                    (line([scale.at(to), 2.0, scale.at(to), foot], Ink::Quiet, 1.0, Some("2 4")))
                }
            }
            (text((scale.to.0 + scale.to.1) / 2.0, foot + 34.0, Hold::Middle, Ink::Quiet, 13.0, self.axis))
        }
    }
}

fn row(
    frame: &Frame<'_>,
    layout: Layout,
    scale: &Scale,
    bar: &Bar,
    (place, above): (f64, f64),
    lines: &[String],
) -> Markup {
    let y = place + above;
    let zero = scale.at(0.0);
    html! {
        @for (k, words) in lines.iter().enumerate() {
            @if layout.narrow() {
                (text(zero, place + 14.0 + 18.0 * k as f64, Hold::Start, Ink::Text, SIZE, words))
            } @else {
                (text(zero - 10.0, y + if lines.len() > 1 { 8.0 } else { 15.0 } + 17.0 * k as f64, Hold::End, Ink::Text, SIZE, words))
            }
        }
        (frame.area(bar.fill, [zero, y, scale.at(bar.value) - zero, BAR], Some(bar.value)))
        @if let Some(before) = bar.before {
            (frame.area(Fill::Hollow, [zero, y + BAR + 3.0, scale.at(before) - zero, BEFORE], Some(before)))
        }
        @if let Some((low, high)) = bar.interval {
            (whisker(scale, low, high, y + BAR / 2.0))
        }
        @if layout.narrow() {
            (text(scale.to.1, place + 14.0, Hold::End, Ink::Text, SIZE, &bar.figure))
        } @else {
            (text(scale.to.1 + 12.0, y + 15.0, Hold::Start, Ink::Text, SIZE, &bar.figure))
        }
    }
}

/// An interval: a dark line on a light one, seen on any fill.
fn whisker(scale: &Scale, low: f64, high: f64, y: f64) -> Markup {
    let (low, high) = (scale.at(low), scale.at(high));
    html! {
        @for (ink, width) in [(Ink::Paper, 5.0), (Ink::Text, 1.8)] {
            (line([low, y, high, y], ink, width, None))
            (line([low, y - 5.0, low, y + 5.0], ink, width, None))
            (line([high, y - 5.0, high, y + 5.0], ink, width, None))
        }
    }
}
