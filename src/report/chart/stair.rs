//! The ladder as a staircase of loads: what was there before pale, what a rung adds in its channel's pattern.
//!
//! On a wide page the stairs rise from left to right; on a telephone they go down the screen, a row a rung.

use maud::{Markup, html};

use super::axis::{Scale, step, ticks};
use super::draw::{Fill, Frame, Hold, Ink, Layout, line, n, text, width_of, wrap};
use crate::report::say;
use crate::words::Channel;

/// One rung as it is drawn.
pub(crate) struct Tread {
    /// Its number; 0 is the cleared room.
    pub(crate) number: u32,
    /// What it adds.
    pub(crate) name: String,
    /// The channel of what it adds, where known.
    pub(crate) channel: Option<Channel>,
    /// The load of the room on it.
    pub(crate) load: f64,
    /// The step in pull.
    pub(crate) step: f64,
}

/// What is drawn.
pub(crate) struct Stair<'a> {
    /// The load of the cleared room.
    pub(crate) start: f64,
    /// The rungs from 1 on.
    pub(crate) treads: &'a [Tread],
    /// The rung practised now.
    pub(crate) here: Option<u32>,
    /// Whether it brings its own paper, because it stands alone.
    pub(crate) paper: bool,
}

impl Stair<'_> {
    /// The chart in one width.
    pub(crate) fn draw(&self, id: &str, layout: Layout) -> Markup {
        if layout.narrow() { self.down(id) } else { self.across(id) }
    }

    fn end(&self) -> f64 {
        let highest =
            self.treads.iter().map(|tread| tread.load).filter(|load| load.is_finite()).fold(self.start, f64::max);
        let step = step((highest / 5.0).max(0.2));
        ((highest / step).ceil() * step).max(step)
    }

    fn before(&self, tread: usize) -> f64 {
        tread.checked_sub(1).and_then(|below| self.treads.get(below)).map_or(self.start, |below| below.load)
    }

    /// Where a new channel begins.
    fn phases(&self) -> Vec<(usize, Channel)> {
        let mut phases: Vec<(usize, Channel)> = Vec::new();
        for (k, tread) in self.treads.iter().enumerate() {
            if let Some(channel) = tread.channel
                && phases.last().is_none_or(|(_, last)| *last != channel)
            {
                phases.push((k, channel));
            }
        }
        phases
    }

    /// Where each channel's line stands, how high its name, and the name where there is room for it.
    fn phase_labels(&self, left: f64, tread: f64, right: f64) -> Vec<(usize, f64, Option<Channel>)> {
        let mut taken = [f64::NEG_INFINITY; 2];
        let mut labels = Vec::new();
        for (k, channel) in self.phases() {
            let x = left + tread * (k as f64 + 1.0);
            let wide = width_of(phase_word(channel), 13.0) + 10.0;
            let (from, to) = if x + wide > right { (x - wide, x) } else { (x, x + wide) };
            let row = taken.iter().position(|end| *end <= from);
            if let Some(row) = row {
                taken[row] = to;
            }
            labels.push((k, if row == Some(1) { 30.0 } else { 14.0 }, row.map(|_| channel)));
        }
        labels
    }

    fn across(&self, id: &str) -> Markup {
        let height = 330.0;
        let (top, foot) = (46.0, height - 62.0);
        let desc = self.desc();
        let width = Layout::Wide.width();
        let frame = Frame { id, class: Layout::Wide.class(), width, height, title: TITLE, desc: &desc };
        let y = Scale { from: (0.0, self.end()), to: (foot, top) };
        let (left, right) = (52.0, width - 10.0);
        let tread_width = (right - left) / (self.treads.len() as f64 + 1.0);
        let each = (1usize..).find(|each| tread_width * *each as f64 >= 24.0).unwrap_or(1);
        let body = html! {
            @if self.paper { (frame.area(Fill::Paper, [0.0, 0.0, width, height], None)) }
            @for tick in ticks(0.0, y.from.1, 6) {
                (line([left, y.at(tick), right, y.at(tick)], Ink::Rule, 0.8, None))
                (text(left - 6.0, y.at(tick) + 4.5, Hold::End, Ink::Quiet, 12.5, &say::short(tick)))
            }
            (text(left - 6.0, 34.0, Hold::End, Ink::Quiet, 12.5, "load"))
            (frame.area(Fill::Pale, [left, y.at(self.start), tread_width, foot - y.at(self.start)], Some(self.start)))
            @for (k, tread) in self.treads.iter().enumerate() {
                (self.column(&frame, &y, (left + tread_width * (k as f64 + 1.0), tread_width), k, tread))
            }
            @for (k, above, channel) in self.phase_labels(left, tread_width, right) {
                @let x = left + tread_width * (k as f64 + 1.0);
                (line([x, above - 10.0, x, foot], Ink::Quiet, 1.2, Some("2 4")))
                @if let Some(channel) = channel { (phase(x, above, channel, right)) }
            }
            (self.edge(&y, left, tread_width))
            (line([left, foot, right, foot], Ink::Text, 1.2, None))
            @for k in (0..=self.treads.len()).step_by(each) {
                (text(left + tread_width * (k as f64 + 0.5), foot + 17.0, Hold::Middle, Ink::Quiet, 12.5, &k.to_string()))
            }
            (text((left + right) / 2.0, height - 4.0, Hold::Middle, Ink::Quiet, 13.0, if self.paper { LEGEND } else { "rung (0 is the cleared room)" }))
            @if let Some(place) = self.here_place() {
                (here(left + tread_width * (place as f64 + 0.5), foot + 24.0, left, right))
            }
        };
        frame.svg(&body)
    }

    fn column(&self, frame: &Frame<'_>, y: &Scale, (x, width): (f64, f64), k: usize, tread: &Tread) -> Markup {
        let (low, high) = (self.before(k).min(tread.load), tread.load);
        let label = say::fixed(tread.step, 2);
        let middle = x + width / 2.0;
        html! {
            (frame.area(Fill::Pale, [x, y.at(low), width, y.to.0 - y.at(low)], Some(low)))
            (frame.area(tread.channel.map_or(Fill::Solid, Fill::of), [x, y.at(high), width, y.at(low) - y.at(high)], Some(high - low)))
            @if width >= width_of(&label, 12.0) {
                (text(middle, y.at(high) - 6.0, Hold::Middle, Ink::Text, 12.0, &label))
            } @else if width >= 13.0 {
                text x=(n(middle + 4.0)) y=(n(y.at(high) - 6.0)) transform={ "rotate(-90 " (n(middle + 4.0)) " " (n(y.at(high) - 6.0)) ")" }
                    class=(Ink::Text.fill()) fill=(Ink::Text.hex()) font-size="11.5" { (label) }
            }
        }
    }

    /// The upper edge of the stairs as one line.
    fn edge(&self, y: &Scale, left: f64, width: f64) -> Markup {
        let mut points = vec![(left, y.at(self.start))];
        for (k, load) in std::iter::once(self.start).chain(self.treads.iter().map(|tread| tread.load)).enumerate() {
            points.push((left + width * k as f64, y.at(load)));
            points.push((left + width * (k as f64 + 1.0), y.at(load)));
        }
        super::draw::polyline(&points, Ink::Text, 1.6, None)
    }

    fn down(&self, id: &str) -> Markup {
        let width = Layout::Narrow.width();
        let x = Scale { from: (0.0, self.end()), to: (2.0, width - 12.0) };
        let phases = self.phases();
        let mut y = 4.0;
        let mut rows = Vec::new();
        for k in 0..=self.treads.len() {
            let phase = k
                .checked_sub(1)
                .and_then(|tread| phases.iter().find(|(start, _)| *start == tread))
                .map(|(_, channel)| *channel);
            let head = y;
            y += if phase.is_some() { 30.0 } else { 0.0 };
            let row = self.row_down(k, y);
            y += 18.0 * row.label.len() as f64 + 26.0;
            rows.push((head, phase, row));
        }
        let desc = self.desc();
        let frame = Frame { id, class: Layout::Narrow.class(), width, height: y + 40.0, title: TITLE, desc: &desc };
        let body = html! {
            @for tick in ticks(0.0, x.from.1, 5) {
                (text(x.at(tick).max(6.0), y + 14.0, Hold::Middle, Ink::Quiet, 12.5, &say::short(tick)))
            }
            (text(width / 2.0, y + 33.0, Hold::Middle, Ink::Quiet, 13.0, "load of the room"))
            @for (head, phase, row) in &rows {
                @if let Some(channel) = phase {
                    (line([x.to.0, head + 5.0, width - 2.0, head + 5.0], Ink::Quiet, 1.2, Some("2 4")))
                    (text(x.to.0, head + 22.0, Hold::Start, Ink::Quiet, 13.0, phase_word(*channel)))
                }
                (row.draw(&frame, &x))
            }
        };
        frame.svg(&body)
    }

    /// The row of the cleared room (0) or of a tread (from 1), its top at `y`.
    fn row_down(&self, k: usize, y: f64) -> Row {
        let now = self.here_place() == Some(k);
        let tread = k.checked_sub(1).and_then(|place| self.treads.get(place));
        let (name, step, low, high, fill) = match tread {
            None => ("0  the cleared room".to_owned(), String::new(), 0.0, self.start, Fill::Pale),
            Some(tread) => (
                format!("{}  {}", tread.number, tread.name),
                format!("+{}", say::fixed(tread.step, 2)),
                self.before(k - 1).min(tread.load),
                tread.load,
                tread.channel.map_or(Fill::Solid, Fill::of),
            ),
        };
        let room = Layout::Narrow.width() - width_of(&step, 13.0) - 14.0;
        let label = wrap(&if now { format!("{name} (now)") } else { name }, 13.5, room, 3);
        Row { y, label, step, low, high, fill, now }
    }

    /// How many treads from the start the child's rung stands.
    fn here_place(&self) -> Option<usize> {
        match self.here? {
            0 => Some(0),
            rung => self.treads.iter().position(|tread| tread.number == rung).map(|place| place + 1),
        }
    }

    fn desc(&self) -> String {
        let last = self.treads.last().map_or(self.start, |tread| tread.load);
        let largest = self.treads.iter().max_by(|a, b| a.step.total_cmp(&b.step));
        let largest = largest.map_or_else(String::new, |tread| {
            format!(" The largest step is {} in pull, on rung {}.", say::fixed(tread.step, 2), tread.number)
        });
        let here = self.here.map_or_else(String::new, |rung| format!(" Practised now: rung {rung}."));
        let (count, start, last) =
            (say::count(self.treads.len(), "rung", "rungs"), say::whole(self.start), say::whole(last));
        format!("{count} from a load of {start} to a load of {last}.{largest}{here}")
    }
}

/// Under a picture that stands alone.
const LEGEND: &str = "rung; filled: rise in load (lines: heard, dots: company); figures: step in pull";
const TITLE: &str = "The ladder as a staircase of loads";

const fn phase_word(channel: Channel) -> &'static str {
    match channel {
        Channel::Seen => "things seen",
        Channel::Heard => "things heard",
        Channel::Company => "company",
    }
}

fn phase(x: f64, y: f64, channel: Channel, right: f64) -> Markup {
    let words = phase_word(channel);
    if x + 5.0 + width_of(words, 13.0) > right {
        text(x - 5.0, y, Hold::End, Ink::Quiet, 13.0, words)
    } else {
        text(x + 5.0, y, Hold::Start, Ink::Quiet, 13.0, words)
    }
}

fn here(x: f64, y: f64, left: f64, right: f64) -> Markup {
    let words = "practised now";
    let half = width_of(words, 13.0) / 2.0;
    let middle = x.clamp(left + half, right - half);
    html! {
        path d={ "M" (n(x)) " " (n(y)) "l6 9h-12z" } class=(Ink::Text.fill()) fill=(Ink::Text.hex()) {}
        (text(middle, y + 20.0, Hold::Middle, Ink::Text, 13.0, words))
    }
}

/// A rung as a row on a telephone.
struct Row {
    y: f64,
    label: Vec<String>,
    step: String,
    low: f64,
    high: f64,
    fill: Fill,
    now: bool,
}

impl Row {
    fn draw(&self, frame: &Frame<'_>, x: &Scale) -> Markup {
        let bar = self.y + 18.0 * self.label.len() as f64 + 3.0;
        let (zero, low, high) = (x.to.0, x.at(self.low), x.at(self.high));
        html! {
            @for (k, words) in self.label.iter().enumerate() {
                (text(zero, self.y + 13.0 + 18.0 * k as f64, Hold::Start, Ink::Text, 13.5, words))
            }
            (text(frame.width - 2.0, self.y + 13.0, Hold::End, Ink::Quiet, 13.0, &self.step))
            @if self.fill == Fill::Pale {
                (frame.area(Fill::Pale, [zero, bar, high - zero, 14.0], Some(self.high)))
            } @else {
                (frame.area(Fill::Pale, [zero, bar, low - zero, 14.0], Some(self.low)))
                (frame.area(self.fill, [low, bar, high - low, 14.0], Some(self.high - self.low)))
            }
            (line([zero, bar - 3.0, zero, bar + 17.0], Ink::Text, 1.2, None))
            @if self.now {
                path d={ "M" (n(high + 3.0)) " " (n(bar + 7.0)) "l9 -6v12z" } class=(Ink::Text.fill()) fill=(Ink::Text.hex()) {}
            }
        }
    }
}
