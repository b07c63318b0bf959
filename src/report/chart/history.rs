//! The level over the minute: one line, with the background level, the height at which a sudden sound counts, and a
//! mark where each began.

use maud::{Markup, html};

use super::axis::{Scale, range, ticks};
use super::draw::{Fill, Frame, Hold, Ink, Layout, line, n, polyline, text};
use crate::report::say;

/// What is drawn.
pub(crate) struct History<'a> {
    /// A-weighted levels of every block.
    pub(crate) levels: &'a [f64],
    /// Length of a block, seconds.
    pub(crate) block_s: f64,
    /// The background.
    pub(crate) la90: Option<f64>,
    /// When each sudden sound began, seconds.
    pub(crate) events_s: &'a [f64],
    /// `dB` or `dBFS`.
    pub(crate) unit: &'a str,
    /// Whether it brings its own paper, because it stands alone.
    pub(crate) paper: bool,
}

/// How far above the background a sudden sound starts to count, dB; ours.
const EVENT_DB: f64 = 10.0;

/// Room at the right for the names of the two marks.
const MARGIN: f64 = 60.0;

/// Half the width and the height of the mark of a sudden sound.
const MARK: (f64, f64) = (4.0, 7.0);

/// Most sudden sounds whose seconds are said in words.
const SAID: usize = 12;

impl History<'_> {
    /// How high the chart is.
    pub(crate) fn height(layout: Layout) -> f64 {
        if layout.narrow() { 216.0 } else { 236.0 }
    }

    /// The chart in one width.
    pub(crate) fn draw(&self, id: &str, layout: Layout) -> Markup {
        let height = Self::height(layout);
        let (top, foot) = (26.0, height - 44.0);
        let desc = self.desc();
        let frame = Frame {
            id,
            class: layout.class(),
            width: layout.width(),
            height,
            title: "The level over the recording",
            desc: &desc,
        };
        let marks = self.la90.into_iter().flat_map(|la90| [la90 - 2.0, la90 + EVENT_DB + 4.0]);
        let Some(levels) = range(self.levels.iter().copied().chain(marks), 10.0) else {
            let words = "No level to draw: not measured.";
            return frame.svg(&text(8.0, 24.0, Hold::Start, Ink::Text, 14.0, words));
        };
        let seconds = self.levels.len() as f64 * self.block_s;
        let y = Scale { from: levels, to: (foot, top) };
        let x =
            Scale { from: (0.0, seconds), to: (if layout.narrow() { 34.0 } else { 52.0 }, layout.width() - MARGIN) };
        let body = html! {
            @if self.paper { (frame.area(Fill::Paper, [0.0, 0.0, frame.width, frame.height], None)) }
            @for tick in ticks(levels.0, levels.1, 5) {
                (line([x.to.0, y.at(tick), x.to.1, y.at(tick)], Ink::Rule, 0.8, None))
                (text(x.to.0 - 6.0, y.at(tick) + 4.5, Hold::End, Ink::Quiet, 12.5, &say::short(tick)))
            }
            (text(x.to.0 + 4.0, 13.0, Hold::Start, Ink::Quiet, 12.5, &format!("{} (A)", self.unit)))
            @for tick in ticks(0.0, seconds, if layout.narrow() { 4 } else { 8 }) {
                (line([x.at(tick), foot, x.at(tick), foot + 5.0], Ink::Quiet, 1.0, None))
                (text(x.at(tick), foot + 19.0, Hold::Middle, Ink::Quiet, 12.5, &say::short(tick)))
            }
            (text((x.to.0 + x.to.1) / 2.0, foot + 38.0, Hold::Middle, Ink::Quiet, 13.0, "seconds from the start"))
            @for run in self.runs(&x, &y) {
                (polyline(&run, Ink::Deep, 1.6, None))
            }
            @if let Some(la90) = self.la90.filter(|la90| la90.is_finite()) {
                @for (level, words) in [(la90, "LA90"), (la90 + EVENT_DB, "+10 dB")] {
                    (line([x.to.0, y.at(level), x.to.1, y.at(level)], Ink::Text, 1.2, Some("2 4")))
                    (text(x.to.1 + 5.0, y.at(level) + 4.5, Hold::Start, Ink::Text, 12.5, words))
                }
            }
            @for second in self.events(seconds) {
                (mark(x.at(second), top - 3.0, second))
            }
            (line([x.to.0, foot, x.to.1, foot], Ink::Text, 1.2, None))
        };
        frame.svg(&body)
    }

    /// The sudden sounds that lie in the drawing.
    fn events(&self, seconds: f64) -> impl Iterator<Item = f64> {
        self.events_s.iter().copied().filter(move |second| (0.0..=seconds).contains(second))
    }

    /// The line, no finer than the drawing can show: each stretch of at most two units keeps its lowest and highest level.
    fn runs(&self, x: &Scale, y: &Scale) -> Vec<Vec<(f64, f64)>> {
        let columns = ((x.to.1 - x.to.0) / 2.0).max(1.0);
        let each = (1usize..).find(|each| self.levels.len() as f64 / *each as f64 <= columns).unwrap_or(1);
        let mut runs = vec![Vec::new()];
        for (k, stretch) in self.levels.chunks(each).enumerate() {
            let start = (k * each) as f64;
            let place = x.at((start + stretch.len() as f64 / 2.0) * self.block_s);
            match range_of(stretch) {
                Some((low, high)) => {
                    if let Some(run) = runs.last_mut() {
                        run.push((place, y.at(high)));
                        if each > 1 && high - low > 0.5 {
                            run.push((place, y.at(low)));
                        }
                    }
                }
                None => runs.push(Vec::new()),
            }
        }
        runs
    }

    fn desc(&self) -> String {
        let Some((low, high)) = range_of(self.levels) else {
            return "No level was measured.".to_owned();
        };
        let background = self
            .la90
            .map_or_else(String::new, |la90| format!(" The background is at {} {}.", say::fixed(la90, 1), self.unit));
        let (low, high) = (say::fixed(low, 1), say::fixed(high, 1));
        let seconds: Vec<String> = self.events(self.levels.len() as f64 * self.block_s).map(say::short).collect();
        let events = match seconds.len() {
            0 => String::new(),
            1 => format!(" One sudden sound, marked with a wedge, began at second {}.", seconds[0]),
            count if count <= SAID => {
                format!(" {count} sudden sounds, marked with wedges, began at the seconds {}.", seconds.join(", "))
            }
            count => format!(" {count} sudden sounds are marked with wedges."),
        };
        format!("The A-weighted level moves between {low} and {high} {}.{background}{events}", self.unit)
    }
}

/// A wedge that points down at a second.
fn mark(x: f64, foot: f64, second: f64) -> Markup {
    let (half, height) = MARK;
    let points = [(x - half, foot - height), (x + half, foot - height), (x, foot)];
    let points: Vec<String> = points.iter().map(|(x, y)| format!("{},{}", n(*x), n(*y))).collect();
    html! {
        polygon points=(points.join(" ")) class=(Ink::Text.fill()) fill=(Ink::Text.hex()) data-value=(second) {}
    }
}

/// The lowest and the highest finite level.
fn range_of(levels: &[f64]) -> Option<(f64, f64)> {
    let finite = levels.iter().copied().filter(|level| level.is_finite());
    finite.fold(None, |range, level| {
        Some(range.map_or((level, level), |(low, high): (f64, f64)| (low.min(level), high.max(level))))
    })
}
