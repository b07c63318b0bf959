//! One recording on one sheet: its bands, its level over time, its decay, as a picture that stands alone.

use maud::{Markup, html};

use super::bands::Bands;
use super::decay::DecayChart;
use super::draw::{Layout, n};
use super::history::History;
use super::sessions::SessionGraph;
use super::stair::{Stair, Tread};
use crate::contract::{BandDoc, LadderDoc, RungDoc, SoundDoc};
use crate::report::{SessionPoint, say};
use crate::words::{Channel, id_in_words};

/// The staircase of a plan on its own: loads, phases, rises, and the rung practised now where it is known.
pub fn ladder_svg(doc: &LadderDoc, here: Option<u32>) -> String {
    let treads: Vec<Tread> = doc.rungs.iter().map(tread).collect();
    let stair = Stair { start: doc.start_load, treads: &treads, here, paper: true };
    say::clean(format!("{}\n", stair.draw("ladder", Layout::Wide).into_string()))
}

fn tread(rung: &RungDoc) -> Tread {
    let name = rung
        .card
        .as_ref()
        .map_or_else(|| id_in_words(&rung.distractor), |card| format!("{}: {}", card.name, card.level_name));
    Tread {
        number: rung.number,
        name: crate::words::printable(&name),
        channel: rung.card.as_ref().and_then(|card| Channel::from_word(&card.channel)),
        load: rung.load,
        step: rung.step,
    }
}

/// Seconds of a block of the level history.
const BLOCK_S: f64 = 0.125;

/// A standalone SVG of one recording; what was not measured is left out.
pub fn sound_svg(doc: &SoundDoc, criterion: Option<(f64, &[BandDoc])>) -> String {
    let title = format!("Sound in third-octave bands: {}", crate::words::printable(&doc.source.name));
    let unit = if doc.level_unit == "dB" { "dB" } else { "dBFS" };
    let layout = Layout::Wide;
    let bands = Bands {
        title: &title,
        now: &doc.third_octaves,
        octaves: &doc.octaves,
        before: &[],
        criterion,
        unit,
        paper: true,
    };
    let mut parts: Vec<(f64, Markup)> = vec![(bands.height(layout), bands.draw("bands", layout))];
    if !doc.history_laeq_db.is_empty() {
        let history = History {
            levels: &doc.history_laeq_db,
            block_s: BLOCK_S,
            la90: doc.levels.la90_db,
            events_s: &doc.events_s,
            unit,
            paper: true,
        };
        parts.push((History::height(layout), history.draw("history", layout)));
    }
    if let Some(decay) = doc.decay.as_ref().filter(|decay| !decay.curves.is_empty()) {
        let chart = DecayChart { curves: &decay.curves, paper: true };
        parts.push((chart.height(layout), chart.draw("decay", layout)));
    }
    stacked(layout, &parts)
}

/// Charts with their heights, one below the other, as one picture that stands alone.
pub(crate) fn stacked(layout: Layout, parts: &[(f64, Markup)]) -> String {
    let height: f64 = parts.iter().map(|(height, _)| height).sum();
    let starts = parts.iter().scan(0.0, |next, (height, _)| {
        let start = *next;
        *next += height;
        Some(start)
    });
    let sheet = html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox={ "0 0 " (n(layout.width())) " " (n(height)) } width=(n(layout.width())) height=(n(height)) {
            @for (start, (_, part)) in starts.zip(parts) {
                g transform={ "translate(0 " (n(start)) ")" } { (part) }
            }
        }
    };
    say::clean(format!("{}\n", sheet.into_string()))
}

/// The single-case graph as a picture that stands alone.
pub fn sessions_svg(sessions: &[SessionPoint], criterion: f64) -> String {
    let graph = SessionGraph { sessions, criterion, paper: true }.draw("sessions", Layout::Wide);
    say::clean(format!("{}\n", graph.into_string()))
}
