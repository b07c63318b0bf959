//! Every figure of the oracle recordings (tests/oracle/sound/README.md tells how they were made), and their refusals.

use serde_json::{Value, json};
use stillroom::quantity::Decibels;
use stillroom::sound::{Analysis, BandLevel, Calibration, Settings, margin};

use super::made::{heard, read};

fn analysed(name: &str, settings: &Settings) -> Analysis {
    heard(read(name), name, settings).unwrap_or_else(|refusal| panic!("{refusal}"))
}

/// The figures of an analysis under the names that the oracle uses.
fn document(analysis: &Analysis, voice: Option<&Analysis>) -> Value {
    let db = |level: Option<Decibels>| level.map(Decibels::db);
    let bands = |bands: &[BandLevel]| -> Value {
        bands.iter().map(|band| json!({"hz": band.hz, "db": band.level.db()})).collect()
    };
    let levels = &analysis.levels;
    let decay = analysis.decay.as_ref().map(|decay| {
        let bands: Value = decay
            .bands
            .iter()
            .map(|band| json!({"hz": band.hz, "t20_s": band.t20_s, "t30_s": band.t30_s, "edt_s": band.edt_s}))
            .collect();
        json!({"t20_s": decay.t20_s, "t30_s": decay.t30_s, "edt_s": decay.edt_s, "bands": bands})
    });
    let margin = voice
        .and_then(|voice| margin(voice, analysis))
        .map(|margin| json!({"voice_laeq_db": margin.voice_laeq.db(), "margin_db": margin.margin_db}));
    json!({
        "source": {
            "seconds": analysis.source.seconds,
            "sample_rate_hz": analysis.source.sample_rate_hz,
            "channels": analysis.source.channels,
        },
        "calibration": {
            "kind": analysis.calibration.kind().word(),
            "offset_db": analysis.calibration.offset_db(),
            "sd_db": analysis.calibration.sd_db(),
        },
        "level_unit": analysis.calibration.unit(),
        "levels": {
            "laeq_db": db(levels.laeq), "lceq_db": db(levels.lceq), "lzeq_db": db(levels.lzeq),
            "lafmax_db": db(levels.lafmax), "la10_db": db(levels.la10), "la50_db": db(levels.la50),
            "la90_db": db(levels.la90),
        },
        "third_octaves": bands(&analysis.third_octaves),
        "octaves": bands(&analysis.octaves),
        "criteria": {
            "nc": analysis.criteria.nc.and_then(|nc| nc.number()),
            "nr": analysis.criteria.nr,
            "sil_db": analysis.criteria.sil_db,
        },
        "changes": {
            "events_per_minute": analysis.changes.events_per_minute,
            "la10_minus_la90_db": analysis.changes.la10_minus_la90_db,
            "speech_share": analysis.changes.speech_share,
        },
        "margin": margin,
        "decay": decay,
        "quality": {
            "clipped_share": analysis.quality.clipped_share,
            "silent": analysis.quality.silent,
            "warnings": analysis.quality.warnings.iter().map(|w| w.code()).collect::<Vec<_>>(),
        },
    })
}

/// The value under a dotted name; in a list the next word is the nominal frequency.
fn look_up<'a>(mut value: &'a Value, name: &str) -> &'a Value {
    const NONE: Value = Value::Null;
    let mut rest = name;
    while !rest.is_empty() {
        if let Value::Array(items) = value {
            let item = items.iter().find_map(|item| {
                let after = rest.strip_prefix(item["hz"].to_string().trim_end_matches(".0"))?;
                (after.is_empty() || after.starts_with('.')).then_some((item, after.trim_start_matches('.')))
            });
            let Some((item, after)) = item else { return &NONE };
            (value, rest) = (item, after);
            if rest.is_empty() {
                return &value["db"];
            }
        } else {
            let (word, after) = rest.split_once('.').unwrap_or((rest, ""));
            (value, rest) = (value.get(word).unwrap_or(&NONE), after);
        }
    }
    value
}

/// What is wrong with a figure, if anything.
fn wrong(document: &Value, name: &str, expected: &Value) -> Option<String> {
    if let Some((list, code)) = name.split_once(':') {
        let there = look_up(document, list).as_array().unwrap().iter().any(|found| found == code);
        return (Some(there) != expected["present"].as_bool()).then(|| format!("{name}: {there}"));
    }
    let found = look_up(document, name);
    let number = found.as_f64();
    let right = match (expected.get("value"), expected["min"].as_f64(), expected["max"].as_f64()) {
        (Some(Value::Number(value)), ..) => {
            let tolerance = expected["tol"].as_f64().unwrap();
            number.is_some_and(|number| (number - value.as_f64().unwrap()).abs() <= tolerance)
        }
        (Some(value), ..) => found == value,
        (None, None, None) => panic!("{name}: an expectation of no known kind"),
        (None, min, max) => {
            number.is_some_and(|number| min.is_none_or(|min| number >= min) && max.is_none_or(|max| number <= max))
        }
    };
    (!right).then(|| format!("{name}: {found}, not {expected}"))
}

/// The settings and the voice that a run's arguments ask for.
fn settings(arguments: &Value) -> (Settings, Option<Analysis>) {
    let words: Vec<&str> = arguments.as_array().unwrap().iter().map(|word| word.as_str().unwrap()).collect();
    let mut settings = Settings::default();
    let mut voice = None;
    let mut reference = None;
    let mut words = words.into_iter();
    while let Some(word) = words.next() {
        match word {
            "--decay" => settings.decay = true,
            "--offset" => {
                settings.calibration = Calibration::offset(words.next().unwrap().parse().unwrap()).unwrap();
            }
            "--voice" => voice = Some(analysed(words.next().unwrap(), &Settings::default())),
            "--reference" => reference = Some(analysed(words.next().unwrap(), &Settings::default())),
            "--reference-db" => {
                let reading = words.next().unwrap().parse().unwrap();
                settings.calibration = Calibration::reading(reference.as_ref().unwrap(), reading).unwrap();
            }
            other => panic!("unknown argument {other}"),
        }
    }
    (settings, voice)
}

#[test]
fn every_figure_of_the_oracle_recordings_is_right() {
    let expected: Value = serde_json::from_slice(&read("expected.json")).unwrap();
    let mut count = 0;
    let mut faults = Vec::new();
    for (name, entry) in expected["files"].as_object().unwrap() {
        if entry["refused"] == true {
            count += 1;
            match heard(read(name), name, &Settings::default()) {
                Ok(_) => faults.push(format!("{name} was not refused ({})", entry["why"])),
                Err(refusal) => assert!(!refusal.hint().is_empty()),
            }
            continue;
        }
        for run in entry["runs"].as_array().unwrap() {
            let (settings, voice) = settings(&run["args"]);
            let document = document(&analysed(name, &settings), voice.as_ref());
            for (figure, expectation) in run["figures"].as_object().unwrap() {
                count += 1;
                faults.extend(wrong(&document, figure, expectation).map(|fault| format!("{name} {figure}: {fault}")));
            }
        }
    }
    assert!(faults.is_empty(), "{} of {count} wrong:\n{}", faults.len(), faults.join("\n"));
    assert!(count > 800, "only {count} figures were looked at");
}
