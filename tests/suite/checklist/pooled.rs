//! The three reference rooms whole: answers, a photo's and a recording's reading, pooled, lie in their bands.

use serde::Deserialize;
use std::collections::BTreeMap;

use stillroom::load::{AuditInputs, PhotoReading, Scale, Sensitivity, SoundLevel, SoundReading, assess};
use stillroom::quantity::Decibels;

use super::lists::{WHOLE, reference};
use super::{answers, list};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Readings {
    busyness: f64,
    busyness_sd: f64,
    laeq_db: f64,
    speech_share: f64,
    sd_db: f64,
    load_from: f64,
    load_to: f64,
}

/// The bands that the readings' file must state.
const BANDS: [(&str, f64, f64); 3] = [("cleared", 5.0, 15.0), ("ordinary", 40.0, 55.0), ("party", 75.0, 85.0)];

#[test]
fn answers_photo_and_recording_together_hold_every_list_to_scale() {
    let readings: BTreeMap<String, Readings> =
        toml::from_str(include_str!("../../oracle/checklist/READINGS.toml")).unwrap();
    assert_eq!(readings.len(), 3);
    for id in WHOLE {
        for (room, from, to) in BANDS {
            let (list, read) = (list(id), &readings[room]);
            let given = answers(reference(id, room), &list);
            let photos =
                [PhotoReading { name: room.to_owned(), busyness: read.busyness, busyness_sd: read.busyness_sd }];
            let level = SoundLevel::Calibrated {
                laeq: Decibels::new(read.laeq_db),
                speech_share: read.speech_share,
                sd_db: read.sd_db,
                calibration: "meter".to_owned(),
            };
            let inputs = AuditInputs {
                checklist: &list,
                answers: &given,
                photos: &photos,
                sound: Some(&SoundReading { level, child_audible: false }),
                scale: &Scale::shipped(),
                sensitivity: &Sensitivity::PLAIN,
            };
            let found = assess(&inputs, 15.0);
            let load = found.load.points();
            assert_eq!((read.load_from, read.load_to), (from, to), "{room}");
            assert!((from..=to).contains(&load), "{id} {room}: {load}");
            assert!(found.disagreements.is_empty(), "{id} {room}: {:?}", found.disagreements);
            assert!(found.load_low.points() < load && load < found.load_high.points());
        }
    }
}
