//! Sound in bands over frequency: third-octave bars, octave levels as short lines, and the criterion curve they touch.
//!
//! A noise criterion curve is one of octave levels, so it is drawn against the short lines and never against the bars.

use maud::{Markup, html};

use super::axis::{Scale, range, ticks};
use super::draw::{Fill, Frame, Hold, Ink, Layout, line, polyline, text, wrap};
use crate::contract::{BandDoc, SoundDoc};
use crate::report::say;

/// What is drawn.
pub(crate) struct Bands<'a> {
    /// The chart's name.
    pub(crate) title: &'a str,
    /// Third-octave levels.
    pub(crate) now: &'a [BandDoc],
    /// Octave levels.
    pub(crate) octaves: &'a [BandDoc],
    /// Third-octave levels of the audit before, in the same unit.
    pub(crate) before: &'a [BandDoc],
    /// A criterion curve in octave levels, with its number.
    pub(crate) criterion: Option<(f64, &'a [BandDoc])>,
    /// `dB` or `dBFS`.
    pub(crate) unit: &'a str,
    /// Whether it brings its own paper, because it stands alone.
    pub(crate) paper: bool,
}

/// A standalone SVG of one recording's bands (and of an earlier one's, if its decibels count from the same zero).
pub fn bands_svg(doc: &SoundDoc, before: Option<&SoundDoc>, criterion: Option<(f64, &[BandDoc])>) -> String {
    let title = format!("Sound in third-octave bands: {}", crate::words::printable(&doc.source.name));
    let before = before.filter(|before| before.level_unit == doc.level_unit);
    let bands = Bands {
        title: &title,
        now: &doc.third_octaves,
        octaves: &doc.octaves,
        before: before.map_or(&[], |before| &before.third_octaves),
        criterion,
        unit: if doc.level_unit == "dB" { "dB" } else { "dBFS" },
        paper: true,
    };
    say::clean(format!("{}\n", bands.draw("bands", Layout::Wide).into_string()))
}

/// A third of an octave (or an octave) as a position: `10·lg hz` counts third octaves.
fn place(hz: f64) -> f64 {
    10.0 * libm::log10(hz.max(1e-3))
}

impl Bands<'_> {
    /// How high the chart is, its legend below it counted in.
    pub(crate) fn height(&self, layout: Layout) -> f64 {
        Self::plot(layout) + 8.0 + 19.0 * self.legend(layout).len() as f64
    }

    fn plot(layout: Layout) -> f64 {
        if layout.narrow() { 270.0 } else { 330.0 }
    }

    /// The chart in one width.
    pub(crate) fn draw(&self, id: &str, layout: Layout) -> Markup {
        let height = Self::plot(layout);
        let legend = self.legend(layout);
        let desc = self.desc();
        let (top, foot) = (16.0, height - 46.0);
        let total = self.height(layout);
        let frame =
            Frame { id, class: layout.class(), width: layout.width(), height: total, title: self.title, desc: &desc };
        let curve = self.criterion.map_or(&[][..], |(_, curve)| curve);
        let levels = self.now.iter().chain(self.octaves).chain(self.before).chain(curve).map(|band| band.db);
        let Some(levels) = range(levels, 10.0) else {
            let words = "No band level to draw: not measured.";
            return frame.svg(&text(8.0, 24.0, Hold::Start, Ink::Text, 14.0, words));
        };
        let y = Scale { from: levels, to: (foot, top) };
        let hz = self.now.iter().chain(self.octaves).chain(self.before).chain(curve).map(|band| place(band.hz));
        let (low, high) = range(hz, 1.0).unwrap_or((14.0, 42.0));
        let x = Scale {
            from: (low - 0.6, high + 0.6),
            to: (if layout.narrow() { 34.0 } else { 52.0 }, layout.width() - 8.0),
        };
        let points: Vec<(f64, f64)> =
            curve.iter().filter(|band| band.db.is_finite()).map(|band| (x.at(place(band.hz)), y.at(band.db))).collect();
        let body = html! {
            @if self.paper { (frame.area(Fill::Paper, [0.0, 0.0, frame.width, frame.height], None)) }
            (self.grid(&x, &y, layout))
            @for band in self.now.iter().filter(|band| band.db.is_finite()) {
                (frame.area(Fill::Middling, bar(&x, &y, *band, 0.84), Some(band.db)))
            }
            @for band in self.before.iter().filter(|band| band.db.is_finite()) {
                (outline(&x, &y, *band))
            }
            @for band in self.octaves.iter().filter(|band| band.db.is_finite()) {
                (line([x.at(place(band.hz) - 1.4), y.at(band.db), x.at(place(band.hz) + 1.4), y.at(band.db)], Ink::Text, 3.4, None))
            }
            @for (ink, width, dash) in [(Ink::Paper, 4.2, None), (Ink::Text, 1.8, Some("7 4"))] { (polyline(&points, ink, width, dash)) }
            (line([x.to.0, foot, x.to.1, foot], Ink::Text, 1.2, None))
            @for (row, (key, words)) in legend.iter().enumerate() {
                (entry(&frame, *key, words, height + 12.0 + 19.0 * row as f64))
            }
        };
        frame.svg(&body)
    }

    fn grid(&self, x: &Scale, y: &Scale, layout: Layout) -> Markup {
        let octaves = [31.5, 63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0, 16_000.0];
        let shown = octaves.into_iter().filter(|hz| place(*hz) > x.from.0 && place(*hz) < x.from.1);
        html! {
            @for tick in ticks(y.from.0, y.from.1, 6) {
                (line([x.to.0, y.at(tick), x.to.1, y.at(tick)], Ink::Rule, 0.8, None))
                (text(x.to.0 - 6.0, y.at(tick) + 4.5, Hold::End, Ink::Quiet, 12.5, &say::short(tick)))
            }
            (text(x.to.0 + 4.0, 12.0, Hold::Start, Ink::Quiet, 12.5, self.unit))
            @for (k, hz) in shown.enumerate() {
                (line([x.at(place(hz)), y.to.0, x.at(place(hz)), y.to.0 + 5.0], Ink::Quiet, 1.0, None))
                @if !layout.narrow() || k % 2 == 1 {
                    (text(x.at(place(hz)), y.to.0 + 19.0, Hold::Middle, Ink::Quiet, 12.5, &say::hertz(hz)))
                }
            }
            (text((x.to.0 + x.to.1) / 2.0, y.to.0 + 38.0, Hold::Middle, Ink::Quiet, 13.0, "frequency of the band, \
                Hz"))
        }
    }

    fn legend(&self, layout: Layout) -> Vec<(Key, String)> {
        let mut entries = vec![(Key::Bar, "third octaves".to_owned())];
        if !self.before.is_empty() {
            entries.push((Key::Outline, "third octaves, audit before".to_owned()));
        }
        if !self.octaves.is_empty() {
            entries.push((Key::Octave, "whole octaves".to_owned()));
        }
        if let Some((number, _)) = self.criterion {
            let words = format!("curve NC {}, for whole octaves", say::whole(number));
            entries.push((Key::Curve, words));
        }
        let room = layout.width() - 46.0;
        entries.into_iter().map(|(key, words)| (key, wrap(&words, 13.0, room, 1).concat())).collect()
    }

    fn desc(&self) -> String {
        let loudest = self.now.iter().filter(|band| band.db.is_finite()).max_by(|a, b| a.db.total_cmp(&b.db));
        let loudest = loudest.map_or_else(
            || "No band was measured.".to_owned(),
            |band| {
                format!(
                    "The strongest third-octave band is {} Hz with {} {}.",
                    say::hertz(band.hz),
                    say::fixed(band.db, 1),
                    self.unit
                )
            },
        );
        let curve = self.criterion.map_or_else(String::new, |(number, _)| {
            format!(" The octave levels touch the noise criterion curve NC {} from below.", say::whole(number))
        });
        let before = if self.before.is_empty() { "" } else { " Outlines show the audit before." };
        format!("Levels over frequency in {}. {loudest}{curve}{before}", self.unit)
    }
}

#[derive(Clone, Copy)]
enum Key {
    Bar,
    Outline,
    Octave,
    Curve,
}

fn entry(frame: &Frame<'_>, key: Key, words: &str, y: f64) -> Markup {
    html! {
        @match key {
            Key::Bar => (frame.area(Fill::Middling, [10.0, y - 10.0, 18.0, 12.0], None)),
            Key::Outline => (polyline(&[(10.0, y + 2.0), (10.0, y - 8.0), (28.0, y - 8.0), (28.0, y + 2.0)], Ink::Text, 1.3, None)),
            Key::Octave => (line([8.0, y - 4.0, 30.0, y - 4.0], Ink::Text, 3.4, None)),
            Key::Curve => (line([8.0, y - 4.0, 30.0, y - 4.0], Ink::Text, 1.8, Some("7 4"))),
        }
        (text(38.0, y + 1.0, Hold::Start, Ink::Text, 13.0, words))
    }
}

fn bar(x: &Scale, y: &Scale, band: BandDoc, share: f64) -> [f64; 4] {
    let (left, right) = (x.at(place(band.hz) - share / 2.0), x.at(place(band.hz) + share / 2.0));
    [left, y.at(band.db), right - left, y.to.0 - y.at(band.db)]
}

fn outline(x: &Scale, y: &Scale, band: BandDoc) -> Markup {
    let [left, top, width, height] = bar(x, y, band, 0.6);
    polyline(
        &[(left, top + height), (left, top), (left + width, top), (left + width, top + height)],
        Ink::Text,
        1.3,
        None,
    )
}
