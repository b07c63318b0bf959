//! The ladder as a staircase of loads: what was there before pale, what a rung adds in its channel's pattern.
//!
//! On a wide page the stairs rise from left to right; on a telephone they go down the screen, a row a rung.

use maud::{Markup, html};

use super::axis::{Scale, step, ticks};
use super::draw::{Fill, Frame, Hold, Ink, Layout, cut, line, n, text, width_of};
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
}

const ROW: f64 = 44.0;

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
            @for tick in ticks(0.0, y.from.1, 6) {
                (line([left, y.at(tick), right, y.at(tick)], Ink::Rule, 0.8, None))
                (text(left - 6.0, y.at(tick) + 4.5, Hold::End, Ink::Quiet, 12.5, &say::short(tick)))
            }
            (text(left - 6.0, 34.0, Hold::End, Ink::Quiet, 12.5, "load"))
            (frame.area(Fill::Pale, [left, y.at(self.start), tread_width, foot - y.at(self.start)], Some(self.start)))
            @for (k, tread) in self.treads.iter().enumerate() {
                (self.column(&frame, &y, (left + tread_width * (k as f64 + 1.0), tread_width), k, tread))
            }
            @for (row, (k, channel)) in self.phases().into_iter().enumerate() {
                @let x = left + tread_width * (k as f64 + 1.0);
                @let above = if row % 2 == 0 { 14.0 } else { 30.0 };
                (line([x, above - 10.0, x, foot], Ink::Quiet, 1.2, Some("2 4")))
                (phase(x, above, channel, right))
            }
            (self.edge(&y, left, tread_width))
            (line([left, foot, right, foot], Ink::Text, 1.2, None))
            @for k in (0..=self.treads.len()).step_by(each) {
                (text(left + tread_width * (k as f64 + 0.5), foot + 17.0, Hold::Middle, Ink::Quiet, 12.5, &k.to_string()))
            }
            (text((left + right) / 2.0, height - 4.0, Hold::Middle, Ink::Quiet, 13.0, "rung (0 is the cleared room)"))
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
        let phases = self.phases();
        let rows = self.treads.len() as f64 + 1.0;
        let height = 8.0 + ROW * rows + 24.0 * phases.len() as f64 + 40.0;
        let desc = self.desc();
        let frame = Frame { id, class: Layout::Narrow.class(), width, height, title: TITLE, desc: &desc };
        let x = Scale { from: (0.0, self.end()), to: (6.0, width - 10.0) };
        let foot = height - 40.0;
        let mut y = 8.0;
        let mut places = Vec::new();
        for k in 0..self.treads.len() {
            let phase = phases.iter().find(|(start, _)| *start == k).map(|(_, channel)| *channel);
            if k == 0 {
                y += ROW;
            }
            let head = y;
            y += if phase.is_some() { 24.0 } else { 0.0 };
            places.push((head, phase, y));
            y += ROW;
        }
        let body = html! {
            @for tick in ticks(0.0, x.from.1, 5) {
                (line([x.at(tick), 4.0, x.at(tick), foot], Ink::Rule, 0.8, None))
                (text(x.at(tick), foot + 16.0, Hold::Middle, Ink::Quiet, 12.5, &say::short(tick)))
            }
            (text(width / 2.0, foot + 34.0, Hold::Middle, Ink::Quiet, 13.0, "load of the room"))
            (step_row(&frame, &x, 8.0, "0  the cleared room", "", (0.0, self.start), Fill::Pale, self.here_place() == Some(0)))
            @for (k, (tread, (head, phase, place))) in self.treads.iter().zip(&places).enumerate() {
                @if let Some(channel) = phase {
                    (line([6.0, head + 3.0, width - 6.0, head + 3.0], Ink::Quiet, 1.2, Some("2 4")))
                    (text(x.to.0, head + 19.0, Hold::Start, Ink::Quiet, 13.0, phase_word(*channel)))
                }
                (step_row(&frame, &x, *place, &format!("{}  {}", tread.number, tread.name), &format!("+{}", say::fixed(tread.step, 2)),
                    (self.before(k).min(tread.load), tread.load), tread.channel.map_or(Fill::Solid, Fill::of), self.here_place() == Some(k + 1)))
            }
            (line([x.to.0, 4.0, x.to.0, foot], Ink::Text, 1.2, None))
        };
        frame.svg(&body)
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

#[expect(clippy::too_many_arguments, reason = "a private row of a chart: each argument is one thing drawn")]
fn step_row(
    frame: &Frame<'_>,
    x: &Scale,
    y: f64,
    name: &str,
    step: &str,
    (low, high): (f64, f64),
    fill: Fill,
    here: bool,
) -> Markup {
    let right = x.to.1;
    let room = right - x.to.0 - width_of(step, 13.0) - 8.0;
    let name = if here { format!("{name} (now)") } else { name.to_owned() };
    html! {
        (text(x.to.0, y + 14.0, Hold::Start, Ink::Text, 13.5, &cut(&name, 13.5, room)))
        (text(right, y + 14.0, Hold::End, Ink::Quiet, 13.0, step))
        @if fill == Fill::Pale {
            (frame.area(Fill::Pale, [x.to.0, y + 20.0, x.at(high) - x.to.0, 15.0], Some(high)))
        } @else {
            (frame.area(Fill::Pale, [x.to.0, y + 20.0, x.at(low) - x.to.0, 15.0], Some(low)))
            (frame.area(fill, [x.at(low), y + 20.0, x.at(high) - x.at(low), 15.0], Some(high - low)))
        }
        @if here {
            path d={ "M" (n(x.at(high) + 3.0)) " " (n(y + 27.5)) "l9 -6v12z" } class=(Ink::Text.fill()) fill=(Ink::Text.hex()) {}
        }
    }
}
