//! A recording's reading for people.

use crate::contract::{NoteDoc, SoundDoc, TargetDoc};
use crate::words::printable;

use super::paint::{bar, bold, wrapped};

/// Cells of a band's bar, and decibels that fill it.
const CELLS: u32 = 30;
const BAR_DB: f64 = 60.0;

/// The reading of one recording.
pub(super) fn sound(doc: &SoundDoc) -> String {
    let source = &doc.source;
    let unit = &doc.level_unit;
    let mut out = format!(
        "{}\n{:.1} s, {} Hz, {}\n\n",
        bold(&source.name),
        source.seconds,
        source.sample_rate_hz,
        if source.channels == 1 {
            "1 channel".to_owned()
        } else {
            format!("{} channels, combined in power", source.channels)
        }
    );
    out.push_str(&made(doc));
    if doc.quality.silent {
        out.push_str("There is no sound in it at all: nothing was measured.\n");
    } else {
        out.push_str(&calibration(doc));
        out.push('\n');
        out.push_str(&levels(doc, unit));
        out.push_str(&changes(doc));
        out.push_str(&bands(doc, unit));
        if let Some(history) = &doc.third_octave_history {
            let steps = history.db.len();
            out.push_str(&wrapped(
                "",
                &format!(
                    "\nThe {steps} levels of each band, one every 125 ms, stand in the JSON form (--format json)."
                ),
            ));
        }
        out.push_str(&decay(doc));
        out.push_str(&chair(doc));
        out.push_str(&match doc.pull {
            Some(pull) => format!("\nPull {pull:.3} by the shipped scale (a convention of this tool, not a validated scale).\n"),
            None => wrapped("", "\nNo pull: a pull needs a calibration (--offset, or --reference with --reference-db), or an adult's voice recorded by the same device with the usual background running (--voice), and a recording without the child's own sounds."),
        });
        if unit == "dB" {
            out.push_str(&wrapped("", "No standard exists for a learning corner at home; nearest are 35 dB LAeq in a classroom or a dwelling (WHO, Guidelines for Community Noise, 1999). This is what was heard in this recording, not over an hour."));
        }
    }
    out.push_str(&notes(&doc.quality.warnings));
    out
}

/// How it lies to a target, when and with what it was made.
fn made(doc: &SoundDoc) -> String {
    let mut out = String::new();
    if let Some(target) = &doc.target {
        out.push_str(&wrapped("", &beside(target, doc)));
    }
    if let Some(when) = &doc.when {
        out.push_str(if when == "learning" { "Recorded at learning time.\n" } else { "Recorded during a visit.\n" });
    }
    if let Some(device) = &doc.device {
        let gain = device.gain_db.map_or_else(String::new, |gain| format!(", gain {gain:.1} dB"));
        out.push_str(&wrapped("", &format!("Recorded now with {}{gain}.", printable(&device.name))));
    }
    if !out.is_empty() {
        out.push('\n');
    }
    out
}

/// The words first: below, at, over.
fn beside(target: &TargetDoc, doc: &SoundDoc) -> String {
    let (Some(state), Some(difference), Some(laeq)) = (&target.state, target.difference_db, doc.levels.laeq_db) else {
        return "Nothing was measured, so nothing can be said of the target.".to_owned();
    };
    let off = difference.abs();
    if target.kind == "voice" {
        return match state.as_str() {
            "below" => format!("below: {off:.1} dB quieter than the adult's ordinary voice."),
            "at" => "at: as loud as the adult's ordinary voice.".to_owned(),
            _ => format!("over: {off:.1} dB louder than the adult's ordinary voice."),
        };
    }
    let sure = match target.surely_met {
        Some(true) => "Met, its doubt counted in.",
        _ => "Not surely met: the reading and twice its doubt pass the target. Turn it down until they do not.",
    };
    format!(
        "{state}: LAeq {laeq:.1} dB, {off:.1} dB {} the target of {:.0} dB. {sure}",
        if difference < 0.0 { "under" } else { "over" },
        target.target_db
    )
}

/// Warnings or cautions, each with its code.
pub(super) fn notes(notes: &[NoteDoc]) -> String {
    if notes.is_empty() {
        return String::new();
    }
    let mut out = format!("\n{}\n", bold("Mind"));
    for note in notes {
        out.push_str(&wrapped("  - ", &format!("{} ({})", note.text, note.code)));
    }
    out
}

fn calibration(doc: &SoundDoc) -> String {
    match (doc.calibration.offset_db, doc.calibration.sd_db) {
        (Some(offset), Some(sd)) => {
            format!(
                "Levels in dB, offset {offset:+.1} dB ({}), doubt ±{sd:.1} dB (one standard deviation).\n",
                doc.calibration.kind
            )
        }
        _ => wrapped(
            "",
            "Not calibrated: levels are dBFS. Differences, shapes and the listening margin mean something, the levels themselves do not.",
        ),
    }
}

fn levels(doc: &SoundDoc, unit: &str) -> String {
    let levels = &doc.levels;
    let rows = [
        ("LAeq", levels.laeq_db, "the energy mean, as loud as the ear weighs it"),
        ("LA90", levels.la90_db, "the background: exceeded 90 % of the time"),
        ("LA50", levels.la50_db, "exceeded half of the time"),
        ("LA10", levels.la10_db, "exceeded 10 % of the time"),
        ("LAFmax", levels.lafmax_db, "the loudest moment (time weighting F)"),
        ("LASmax", levels.lasmax_db, "the same by the slow time weighting S"),
        ("LCeq", levels.lceq_db, "with the low tones counted"),
        ("LZeq", levels.lzeq_db, "unweighted"),
    ];
    let mut out = String::new();
    for (name, level, meaning) in rows {
        out.push_str(&match level {
            Some(db) => format!("  {name:<7}{db:>7.1} {unit:<5} {meaning}\n"),
            None => format!("  {name:<7}{:>7} {:<5} {meaning}\n", "–", "not measured"),
        });
    }
    for (name, value, meaning) in [
        ("NC", doc.criteria.nc, "noise criterion, ANSI/ASA S12.2 (table of 2008 and 2019)"),
        ("NR", doc.criteria.nr, "noise rating, ISO/R 1996:1971"),
        ("SIL", doc.criteria.sil_db, "speech interference level, mean of 500 Hz to 4 kHz"),
    ] {
        if let Some(value) = value {
            out.push_str(&format!("  {name:<7}{value:>7.0} {:<5} {meaning}\n", ""));
        }
    }
    out
}

fn changes(doc: &SoundDoc) -> String {
    let mut out = String::new();
    let changes = &doc.changes;
    if let Some(spread) = changes.la10_minus_la90_db {
        out.push_str(&format!("  {spread:.1} dB between LA10 and LA90: how restless it is\n"));
    }
    if let Some(events) = changes.events_per_minute {
        out.push_str(&format!("  {events:.1} sudden rises a minute (10 dB above the background)\n"));
    }
    if let Some(share) = changes.speech_share {
        out.push_str(&format!("  {:.0} % of the time speech-like or rhythmic fluctuation\n", share * 100.0));
    }
    if let Some(margin) = &doc.margin {
        let verdict = if margin.margin_db >= 15.0 {
            "15 dB or more are wanted: enough"
        } else {
            "15 dB or more are wanted: too little"
        };
        out.push_str(&format!("  listening margin {:.1} dB, voice over background ({verdict})\n", margin.margin_db));
    }
    out
}

fn bands(doc: &SoundDoc, unit: &str) -> String {
    let Some(top) = doc.third_octaves.iter().map(|band| band.db).reduce(f64::max) else { return String::new() };
    let floor = top - BAR_DB;
    let mut out = format!("\n{} (third octaves, {unit}, unweighted)\n", bold("Bands"));
    for band in &doc.third_octaves {
        out.push_str(&format!("  {:>7} Hz {:>6.1}  {}\n", band.hz, band.db, bar((band.db - floor) / BAR_DB, CELLS)));
    }
    out
}

fn decay(doc: &SoundDoc) -> String {
    let Some(decay) = &doc.decay else { return String::new() };
    let shown =
        |value: Option<f64>| value.map_or_else(|| "not measured".to_owned(), |seconds| format!("{seconds:.2} s"));
    let mut out = format!(
        "\n{}\n  T20 {}, T30 {}, EDT {} (mean of 500 Hz and 1 kHz)\n",
        bold("Decay"),
        shown(decay.t20_s),
        shown(decay.t30_s),
        shown(decay.edt_s)
    );
    for band in &decay.bands {
        out.push_str(&format!(
            "  {:>5} Hz  T20 {}, T30 {}, EDT {}\n",
            band.hz,
            shown(band.t20_s),
            shown(band.t30_s),
            shown(band.edt_s)
        ));
    }
    out
}

fn chair(doc: &SoundDoc) -> String {
    let Some(chair) = &doc.chair else { return String::new() };
    let at = |level: Option<f64>| level.map_or_else(|| "not measured".to_owned(), |db| format!("{db:.1}"));
    let mut out = format!(
        "\n{}\n  LAeq {} {} (from {} to {}), carried from {} m to {} m from the source: {:+.1} dB\n",
        bold("At the child's chair"),
        at(chair.laeq_db),
        doc.level_unit,
        at(chair.laeq_low_db),
        at(chair.laeq_high_db),
        chair.at_m,
        chair.chair_m,
        chair.change_db
    );
    out.push_str(&wrapped(
        "  ",
        &format!(
            "Direct plus reverberant field: {} m³, decay {} s ({}), {:.1} m² of absorption; beyond {:.1} m from the source distance changes little. Measuring at the chair is better than computing.",
            chair.volume_m3, chair.decay_s, chair.decay, chair.absorption_m2, chair.reverberation_radius_m
        ),
    ));
    out
}
