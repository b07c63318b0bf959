//! How long an audit and a comparison take: 40 items, two photos, a recording, 4,000 draws.
#![expect(clippy::disallowed_methods, clippy::print_stdout, reason = "a bench reads the clock and prints")]

use std::collections::BTreeMap;
use std::hint::black_box;
use std::time::Instant;

use stillroom::checklist::{Answer, Answers, Checklist, Item, ItemId, Unit};
use stillroom::load::{
    AuditInputs, PhotoReading, Scale, Sensitivity, SoundLevel, SoundReading, assess, compare, explain,
};
use stillroom::quantity::Decibels;
use stillroom::words::{Channel, Evidence, Surface};

/// Repetitions; the middle one is told.
const ROUNDS: usize = 21;

fn main() {
    let checklist = checklist(40);
    let (before, after) = (answers(&checklist, 9), answers(&checklist, 4));
    let photos =
        ["a.jpg", "b.jpg"].map(|name| PhotoReading { name: name.to_owned(), busyness: 55.0, busyness_sd: 1.0 });
    let level = SoundLevel::Calibrated {
        laeq: Decibels::new(44.0),
        speech_share: 0.3,
        sd_db: 1.5,
        calibration: "meter".to_owned(),
    };
    let sound = SoundReading { level, child_audible: false };
    let scale = Scale::shipped();
    let inputs = |answers| AuditInputs {
        checklist: &checklist,
        answers,
        photos: &photos,
        sound: Some(&sound),
        scale: &scale,
        sensitivity: &Sensitivity::PLAIN,
    };
    let (before, after) = (inputs(&before), inputs(&after));
    let found = assess(&before, 20.0);
    time("read the scale", Scale::shipped);
    time("audit, 40 items, 4000 draws", || assess(&before, 20.0));
    time("comparison, 40 items, 4000 pairs", || compare(&before, &after));
    time("explain", || explain(&before, &found));
}

fn time<T>(what: &str, run: impl Fn() -> T) {
    let mut times: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            black_box(run());
            start.elapsed().as_secs_f64() * 1000.0
        })
        .collect();
    times.sort_by(f64::total_cmp);
    println!("{what}: {:.3} ms (best {:.3})", times[ROUNDS / 2], times[0]);
}

fn checklist(items: usize) -> Checklist {
    let item = |at: usize| Item {
        id: ItemId::new(format!("item-{at}")),
        surface: Surface::Wall,
        channel: Channel::ALL[at % 3],
        ask: "How many?".to_owned(),
        help: None,
        unit: Unit::Count { alone: 10.0 + at as f64 / 10.0, half: 6.0 },
        in_photo: at.is_multiple_of(2),
        in_recording: at.is_multiple_of(2),
        evidence: Evidence::Convention,
        source: None,
        remedy: "Take it away.".to_owned(),
        minutes: 0.5 + (at % 7) as f64,
        shares: None,
        exemplars: Vec::new(),
        levels: Vec::new(),
        needs: None,
    };
    Checklist { id: "bench".to_owned(), title: "Bench".to_owned(), items: (0..items).map(item).collect() }
}

fn answers(checklist: &Checklist, count: u32) -> Answers {
    let answers: BTreeMap<ItemId, Answer> =
        checklist.items.iter().map(|item| (item.id.clone(), Answer::Count(count))).collect();
    Answers {
        checklist: checklist.id.clone(),
        place: "window table".to_owned(),
        date: jiff::civil::date(2026, 3, 2),
        by: "visitor".to_owned(),
        keep: Vec::new(),
        answers,
        reasons: BTreeMap::new(),
    }
}
