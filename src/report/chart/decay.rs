//! How a sound dies away: the level of what is still to come over time, one line an octave, and the stretch T20 is read
//! from.

use maud::{Markup, html};

use super::axis::{Scale, ticks};
use super::draw::{Fill, Frame, Hold, Ink, Layout, line, polyline, text};
use crate::contract::DecayCurveDoc;
use crate::report::say;

/// What is drawn.
pub(crate) struct DecayChart<'a> {
    /// The decays.
    pub(crate) curves: &'a [DecayCurveDoc],
    /// Whether it brings its own paper, because it stands alone.
    pub(crate) paper: bool,
}

/// The lowest level that is drawn, dB of the start; T30 ends at −35.
const LOWEST_DB: f64 = -60.0;
/// The stretch that T20 is read from, dB. ISO 3382-2. [ISO3382-2]
const T20_DB: [f64; 2] = [-5.0, -25.0];
/// Dashes that tell the octaves apart without colour.
const DASHES: [Option<&str>; 3] = [None, Some("6 4"), Some("2 3")];
/// Room at the right for the names of the dotted lines.
const MARGIN: f64 = 60.0;

impl DecayChart<'_> {
    /// How high the chart is, its legend below it counted in.
    pub(crate) fn height(&self, layout: Layout) -> f64 {
        Self::plot(layout) + 8.0 + 19.0 * self.curves.len() as f64
    }

    fn plot(layout: Layout) -> f64 {
        if layout.narrow() { 230.0 } else { 260.0 }
    }

    /// The chart in one width.
    pub(crate) fn draw(&self, id: &str, layout: Layout) -> Markup {
        let plot = Self::plot(layout);
        let (top, foot) = (22.0, plot - 44.0);
        let desc = self.desc();
        let (width, height) = (layout.width(), self.height(layout));
        let frame = Frame { id, class: layout.class(), width, height, title: "The decay", desc: &desc };
        let points: Vec<Vec<(f64, f64)>> = self.curves.iter().map(points).collect();
        let seconds = points.iter().flatten().map(|(second, _)| *second).fold(0.0, f64::max);
        if seconds <= 0.0 {
            return frame.svg(&text(8.0, 24.0, Hold::Start, Ink::Text, 14.0, "No decay to draw: not measured."));
        }
        let y = Scale { from: (LOWEST_DB, 0.0), to: (foot, top) };
        let x = Scale { from: (0.0, seconds), to: (if layout.narrow() { 34.0 } else { 52.0 }, width - MARGIN) };
        let body = html! {
            @if self.paper { (frame.area(Fill::Paper, [0.0, 0.0, width, height], None)) }
            @for tick in ticks(LOWEST_DB, 0.0, 6) {
                (line([x.to.0, y.at(tick), x.to.1, y.at(tick)], Ink::Rule, 0.8, None))
                (text(x.to.0 - 6.0, y.at(tick) + 4.5, Hold::End, Ink::Quiet, 12.5, &say::short(tick)))
            }
            (text(x.to.0 + 4.0, 13.0, Hold::Start, Ink::Quiet, 12.5, "dB, from the start"))
            @for tick in ticks(0.0, seconds, if layout.narrow() { 3 } else { 6 }) {
                (line([x.at(tick), foot, x.at(tick), foot + 5.0], Ink::Quiet, 1.0, None))
                (text(x.at(tick), foot + 19.0, Hold::Middle, Ink::Quiet, 12.5, &say::fixed(tick, 2)))
            }
            (text((x.to.0 + x.to.1) / 2.0, foot + 38.0, Hold::Middle, Ink::Quiet, 13.0, "seconds"))
            @for level in T20_DB {
                (line([x.to.0, y.at(level), x.to.1, y.at(level)], Ink::Text, 1.2, Some("2 4")))
                (text(x.to.1 + 5.0, y.at(level) + 4.5, Hold::Start, Ink::Text, 12.5, &format!("{} dB", say::short(level))))
            }
            @for (points, dash) in points.iter().zip(DASHES.iter().cycle()) {
                @let drawn: Vec<(f64, f64)> = points.iter().map(|(second, db)| (x.at(*second), y.at(*db))).collect();
                (polyline(&drawn, Ink::Deep, 2.0, *dash))
            }
            (line([x.to.0, foot, x.to.1, foot], Ink::Text, 1.2, None))
            @for (row, (curve, dash)) in self.curves.iter().zip(DASHES.iter().cycle()).enumerate() {
                @let at = plot + 12.0 + 19.0 * row as f64;
                (line([8.0, at - 4.0, 30.0, at - 4.0], Ink::Deep, 2.0, *dash))
                (text(38.0, at + 1.0, Hold::Start, Ink::Text, 13.0, &format!("octave of {} Hz", say::hertz(curve.hz))))
            }
        };
        frame.svg(&body)
    }

    fn desc(&self) -> String {
        let told: Vec<String> = self
            .curves
            .iter()
            .filter_map(|curve| {
                let (seconds, level) = points(curve).last().copied()?;
                Some(format!(
                    "In the octave of {} Hz the sound falls by {} dB within {} s.",
                    say::hertz(curve.hz),
                    say::short(-level),
                    say::fixed(seconds, 2)
                ))
            })
            .collect();
        if told.is_empty() { "No decay was measured.".to_owned() } else { told.join(" ") }
    }
}

/// A decay as seconds and levels, down to the foot of the drawing or to its first level that is none.
fn points(curve: &DecayCurveDoc) -> Vec<(f64, f64)> {
    let step = if curve.step_s.is_finite() { curve.step_s.max(0.0) } else { 0.0 };
    let levels = curve.db.iter().take_while(|db| db.is_finite() && **db >= LOWEST_DB);
    levels.enumerate().map(|(at, db)| (at as f64 * step, db.min(0.0))).collect()
}
