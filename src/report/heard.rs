//! What is heard: bands with the criterion curve, the level over the minute, figures beside orientation values.

use maud::{Markup, html};

use super::chart::{Bands, DecayChart, History, figure};
use super::page::{missing, table};
use super::{AuditView, CaseReport, say};
use crate::contract::{BandDoc, SoundDoc};
use crate::words::printable;

/// Length of a block of the level history, seconds.
const BLOCK_S: f64 = 0.125;

/// The section.
pub(crate) fn section(report: &CaseReport<'_>) -> Markup {
    let Some(sound) = report.now.sound else {
        return html! {
            (missing("Not measured: this audit has no recording."))
            p { "A recording of one minute at the child's chair, at learning time and with the child elsewhere, \
                would show it." }
        };
    };
    let earlier = report.before.as_ref().and_then(|before| before.sound);
    let same = earlier.filter(|earlier| earlier.level_unit == sound.level_unit);
    html! {
        (introduction(sound))
        @if sound.quality.silent {
            (missing("Not measured: the recording holds no sound at all. A muted microphone is not a quiet room; \
                record again."))
        } @else {
            (bands(&report.now, sound, same))
            (history(sound))
            @if let Some(decay) = decay(sound) { (decay) }
            h3 { "Figures" }
            (figures(sound, same))
            p.note { "The values beside the figures are asked of schools and dwellings, over half an hour to a \
                day. No standard exists for a learning corner at home, and a minute is not an hour: "
                "they are for orientation, and nothing here says that a room meets them." }
        }
        @if earlier.is_some() && same.is_none() {
            p.note { "The earlier recording counts its decibels from another zero, so the two are not drawn \
                together." }
        } @else if same.is_some() && sound.level_unit == "dBFS" {
            p.note { "Neither recording is calibrated: the comparison holds only if both were made with the same \
                device, settings and place." }
        }
        @if sound.pull.is_none() {
            p.note { "This recording gives no pull: it is neither calibrated nor beside a recorded voice, or it \
                could not be used. What was heard counts by the checklist alone." }
        }
    }
}

fn introduction(sound: &SoundDoc) -> Markup {
    let calibration = match (sound.calibration.kind.as_str(), sound.calibration.sd_db) {
        ("none", _) => "The device was not calibrated, so its decibels (dBFS) compare sounds within this recording \
            and do not say how loud the room is."
            .to_owned(),
        (kind, sd) => {
            let way = match kind {
                "reading" => "by the reading of a sound level meter",
                "offset" => "by an offset noted earlier",
                _ => "in a way that is not named",
            };
            let doubt = sd.map_or_else(String::new, |sd| {
                format!(
                    ", with a standard uncertainty of {} \
                dB",
                    say::short(sd)
                )
            });
            format!("The decibels are calibrated {way}{doubt}.")
        }
    };
    html! {
        p { (format!("The recording lasts {} seconds ({}).", say::whole(sound.source.seconds), printable(&sound.source.name))) " "
            @match sound.when.as_deref() {
                Some("learning") => { "It was made at learning time. " }
                Some("visit") => { "It was made during a visit, when a home is quieter than usual. " }
                _ => {}
            }
            (calibration) }
    }
}

fn bands(view: &AuditView<'_>, sound: &SoundDoc, before: Option<&SoundDoc>) -> Markup {
    if sound.third_octaves.is_empty() {
        return missing("Not measured: the recording gives no bands.");
    }
    let curve = view.nc_curve.as_ref().map(|(number, curve)| (*number, curve.as_slice()));
    let caption = html! {
        "Levels in third-octave bands, unweighted, averaged over the recording; the bars have no zero and start at \
            the foot of the chart. "
        @if let Some((number, _)) = curve { (format!("The dashed line is the noise criterion curve NC\u{a0}{}, the lowest \
            that no octave passes.", say::whole(number))) }
        @else { "No criterion curve is drawn: that needs a calibrated device." }
    };
    figure("bands", &caption, |id, layout| {
        let bands = Bands {
            title: "Sound in third-octave bands",
            now: &sound.third_octaves,
            octaves: &sound.octaves,
            before: before.map_or(&[] as &[BandDoc], |before| &before.third_octaves),
            criterion: curve,
            unit: unit(sound),
            paper: false,
        };
        bands.draw(id, layout)
    })
}

fn history(sound: &SoundDoc) -> Markup {
    if sound.history_laeq_db.is_empty() {
        return missing("The level over time was not kept.");
    }
    let caption = html! { "The A-weighted level every eighth of a second. Dotted lines: the background (LA90), and \
    10\u{a0}dB above it, where a sudden sound starts to count; a wedge above marks where each began." };
    figure("history", &caption, |id, layout| {
        History {
            levels: &sound.history_laeq_db,
            block_s: BLOCK_S,
            la90: sound.levels.la90_db,
            events_s: &sound.events_s,
            unit: unit(sound),
            paper: false,
        }
        .draw(id, layout)
    })
}

/// The decay, where one was measured.
fn decay(sound: &SoundDoc) -> Option<Markup> {
    let decay = sound.decay.as_ref().filter(|decay| !decay.curves.is_empty())?;
    let caption = html! { "How the sound dies away in the octaves of 500\u{a0}Hz and 1\u{a0}kHz, free of the background. T20 is read between the dotted lines at −5 and −25\u{a0}dB and stretched to 60\u{a0}dB." };
    Some(figure("decay", &caption, |id, layout| DecayChart { curves: &decay.curves, paper: false }.draw(id, layout)))
}

/// A figure: its name, its value in a recording, and what rooms are asked to be.
struct Figure {
    name: &'static str,
    of: fn(&SoundDoc) -> String,
    orientation: &'static str,
}

const FIGURES: [Figure; 13] = [
    Figure {
        name: "Level (LAeq)",
        of: |sound| decibels(sound, sound.levels.laeq_db),
        orientation: "Empty classroom, an hour: 35 dB at most (ANSI/ASA S12.60). Dwelling indoors, 16 hours: 35 dB \
            (WHO 1999). Rooms for special hearing or communication needs, new: 30 dB (BB93).",
    },
    Figure { name: "Background (LA90)", of: |sound| decibels(sound, sound.levels.la90_db), orientation: "–" },
    Figure {
        name: "Louder tenth of the time (LA10)",
        of: |sound| decibels(sound, sound.levels.la10_db),
        orientation: "–",
    },
    Figure {
        name: "Loudest moment (LAFmax)",
        of: |sound| decibels(sound, sound.levels.lafmax_db),
        orientation: "Bedrooms: 45 dB (WHO 1999).",
    },
    Figure {
        name: "Spread (LA10 − LA90)",
        of: |sound| say::level(sound.changes.la10_minus_la90_db, "dB"),
        orientation: "–",
    },
    Figure {
        name: "Sudden sounds",
        of: |sound| {
            sound.changes.events_per_minute.map_or_else(none, |events| format!("{} a minute", say::short(events)))
        },
        orientation: "–",
    },
    Figure {
        name: "Speech-like or rhythmic fluctuation",
        of: |sound| {
            sound.changes.speech_share.map_or_else(none, |share| format!("{} of the time", say::percent(share)))
        },
        orientation: "A ticking clock or music counts too.",
    },
    Figure {
        name: "Listening margin",
        of: |sound| sound.margin.as_ref().map_or_else(none, |margin| say::level(Some(margin.margin_db), "dB")),
        orientation: "15 dB and more for complicated messages (WHO 1999).",
    },
    Figure { name: "Noise criterion (NC)", of: criterion, orientation: "Curves of ANSI/ASA S12.2." },
    Figure {
        name: "Noise rating (NR)",
        of: |sound| sound.criteria.nr.map_or_else(none, say::whole),
        orientation: "Curves of ISO/R 1996:1971.",
    },
    Figure {
        name: "Speech interference level", of: |sound| decibels(sound, sound.criteria.sil_db), orientation: "–"
    },
    Figure {
        name: "Decay time (T20)",
        of: |sound| seconds(sound.decay.as_ref().and_then(|decay| decay.t20_s)),
        orientation: "Classroom: 0.6 s (ANSI/ASA S12.60, WHO 1999). Special hearing or communication needs: 0.4 s \
            (BB93).",
    },
    Figure {
        name: "Decay time (T30)",
        of: |sound| seconds(sound.decay.as_ref().and_then(|decay| decay.t30_s)),
        orientation: "As T20.",
    },
];

fn none() -> String {
    say::NOT_MEASURED.to_owned()
}

fn decibels(sound: &SoundDoc, level: Option<f64>) -> String {
    say::level(level, unit(sound))
}

/// A criterion is null without calibration, but also for octaves outside its curves or beyond the recording's reach.
fn criterion(sound: &SoundDoc) -> String {
    match sound.criteria.nc {
        Some(number) => say::whole(number),
        None if sound.calibration.kind == "none" => none(),
        None => "none: outside 15 to 70, or an octave is missing".to_owned(),
    }
}

/// The unit of a recording's levels: one of two words, whatever the document says.
fn unit(sound: &SoundDoc) -> &'static str {
    if sound.level_unit == "dB" { "dB" } else { "dBFS" }
}

fn seconds(time: Option<f64>) -> String {
    time.map_or_else(none, |time| format!("{}\u{a0}s", say::fixed(time, 2)))
}

fn figures(sound: &SoundDoc, before: Option<&SoundDoc>) -> Markup {
    let rows: Vec<Vec<Markup>> = FIGURES
        .iter()
        .map(|figure| {
            let mut row = vec![html! { (figure.name) }, html! { ((figure.of)(sound)) }];
            if let Some(before) = before {
                row.push(html! { ((figure.of)(before)) });
            }
            row.push(html! { (figure.orientation) });
            row
        })
        .collect();
    let heads: &[&str] = if before.is_some() {
        &["Figure", "Now", "Before", "For orientation"]
    } else {
        &["Figure", "Now", "For orientation"]
    };
    table("What the recording gives", heads, &rows)
}
