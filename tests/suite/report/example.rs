//! An invented case, plausible and complete, whose every part a check can take away or spoil.

use std::collections::BTreeMap;
use std::sync::Mutex;

use jiff::civil::{Date, date};
use serde_json::{Value, json};

use stillroom::contract::{AuditDoc, BandDoc, CompareDoc, LadderDoc, PhotoDoc, ReviewDoc, SoundDoc};
use stillroom::language::{Language, Speaker};
use stillroom::report::{AuditView, CaseReport, Constant, PhotoView, SessionKind, SessionPoint};
use stillroom::words::{Channel, Evidence};

/// The clinician's report in English.
pub(super) fn case_report(report: &CaseReport<'_>) -> String {
    stillroom::report::case_report(report, &Speaker::new(Language::English))
}

/// The report of an audit in English.
pub(super) fn audit_report(report: &CaseReport<'_>) -> String {
    stillroom::report::audit_report(report, &Speaker::new(Language::English))
}

/// The documents a report is made of.
pub(crate) struct Example {
    pub(crate) before: AuditDoc,
    pub(crate) now: AuditDoc,
    pub(crate) compare: CompareDoc,
    pub(crate) sound_before: SoundDoc,
    pub(crate) sound: SoundDoc,
    pub(crate) photos: Vec<PhotoDoc>,
    pub(crate) ladder: LadderDoc,
    pub(crate) review: ReviewDoc,
    pub(crate) sessions: Vec<SessionPoint>,
    pub(crate) curve: (f64, Vec<BandDoc>),
}

const ITEMS: [(&str, &str, &str, &str, f64, f64, f64); 9] = [
    ("loose-things-on-table", "seen", "table", "Clear the table to the task and one closed box.", 4.0, 0.21, 0.05),
    ("television-on", "seen", "wall", "Switch it off; turn the seat so that it is behind the child.", 1.0, 0.28, 0.0),
    ("toys-in-view", "seen", "floor", "Put them into a lidded bin.", 6.0, 0.17, 0.06),
    ("pictures-ahead", "seen", "wall", "Cover the pictures straight ahead with a plain cloth.", 5.0, 0.09, 0.09),
    ("voices", "heard", "air", "Ask the talkers into another room.", 1.0, 0.19, 0.08),
    ("machines-heard", "heard", "air", "Run them later, and shut the door.", 3.0, 0.11, 0.11),
    ("sudden-sounds", "heard", "air", "Mute the telephone; a note on the door.", 2.0, 0.06, 0.06),
    (
        "child-playing-in-view",
        "company",
        "company",
        "Turn the seat; give the other child a time of its own later.",
        3.0,
        0.16,
        0.0,
    ),
    ("adults-phone-out", "company", "company", "Put it away.", 1.0, 0.0, 0.0),
];

fn load(pull: f64) -> f64 {
    100.0 * (1.0 - (-pull).exp())
}

fn audit(which: usize) -> AuditDoc {
    let pull_of = |item: &(&str, &str, &str, &str, f64, f64, f64)| if which == 0 { item.5 } else { item.6 };
    let total: f64 = ITEMS.iter().map(pull_of).sum();
    let channel = |name: &str| {
        let pull: f64 = ITEMS.iter().filter(|item| item.1 == name).map(pull_of).sum();
        json!({ "pull": pull, "pull_checklist": pull, "pull_measured": if name == "company" { Value::Null } else { json!(pull * 0.9) } })
    };
    let mut shares: Vec<(f64, Value)> = ITEMS
        .iter()
        .map(|item| {
            let share = pull_of(item) / total;
            (share, json!({ "id": item.0, "channel": item.1, "share": share, "chance_largest": (share * share * 3.0).min(0.97), "remedy": item.3, "minutes": item.4 }))
        })
        .collect();
    shares.sort_by(|a, b| b.0.total_cmp(&a.0));
    let surfaces: Vec<Value> = ["table", "floor", "wall", "air", "company"]
        .iter()
        .map(|surface| {
            let items: Vec<Value> = ITEMS
                .iter()
                .filter(|item| item.2 == *surface)
                .map(|item| json!({ "id": item.0, "answer": 3, "alone": load(pull_of(item)), "pull": pull_of(item), "share": pull_of(item) / total }))
                .collect();
            let pull: f64 = ITEMS.iter().filter(|item| item.2 == *surface).map(pull_of).sum();
            json!({ "surface": surface, "load": load(pull), "pull": pull, "items": items })
        })
        .collect();
    let date = if which == 0 { "2025-02-18" } else { "2025-03-02" };
    let grade = if load(total) < 40.0 { "gentle" } else { "full" };
    serde_json::from_value(json!({
        "id": "9f2c11d07ab3e412", "place": "window table", "date": date, "by": "home visitor",
        "checklist": "home-corner", "scale_hash": "0b7e55a1c2", "pull": total, "load": load(total),
        "load_low": load(total * 0.78), "load_high": load(total * 1.27), "grade": grade,
        "channels": { "seen": channel("seen"), "heard": channel("heard"), "company": channel("company") },
        "keep": ["picture schedule", "ear defenders", "chewable necklace"],
        "shares": shares.into_iter().map(|(_, share)| share).collect::<Vec<_>>(),
        "first_moves": { "minutes": 10.0, "ids": if which == 0 { json!(["television-on", "loose-things-on-table", "voices", "child-playing-in-view"]) } else { json!(["machines-heard", "pictures-ahead"]) }, "load_after": load(total * 0.52) },
        "disagreements": if which == 1 { json!([{ "channel": "heard", "checklist": 0.25, "measured": 0.09, "text": "Count the sounds once more, or record again at learning time." }]) } else { json!([]) },
        "cautions": [{ "code": "visit", "text": "The recording was made during a visit; homes are quieter with a guest. Record once more at learning time." }],
        "unanswered": if which == 1 { json!(["glare-on-table", "smell"]) } else { json!([]) },
        "surfaces": surfaces,
    }))
    .unwrap()
}

/// Third octaves from 25 Hz to 16 kHz by the base-ten midbands' nominal names.
pub(crate) const THIRDS: [f64; 29] = [
    25.0, 31.5, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0, 160.0, 200.0, 250.0, 315.0, 400.0, 500.0, 630.0, 800.0, 1000.0,
    1250.0, 1600.0, 2000.0, 2500.0, 3150.0, 4000.0, 5000.0, 6300.0, 8000.0, 10000.0, 12500.0, 16000.0,
];

fn sound(which: usize) -> SoundDoc {
    let quieter = if which == 1 { 7.0 } else { 0.0 };
    let level = |k: usize| {
        46.0 - quieter - 0.95 * k as f64 + 3.0 * ((k * k) as f64 * 0.7).sin() - if k > 12 { 2.0 } else { 0.0 }
    };
    let thirds: Vec<BandDoc> = THIRDS.iter().enumerate().map(|(k, hz)| BandDoc { hz: *hz, db: level(k) }).collect();
    let octaves: Vec<BandDoc> = (0..9)
        .map(|octave| {
            let power: f64 = thirds[3 * octave..3 * octave + 3].iter().map(|band| 10f64.powf(band.db / 10.0)).sum();
            BandDoc { hz: THIRDS[3 * octave + 1], db: 10.0 * power.log10() }
        })
        .collect();
    let history: Vec<f64> = (0..480)
        .map(|k| {
            let t = f64::from(k) * 0.125;
            let event = if (k % 170) < 9 { 14.0 } else { 0.0 };
            39.0 - quieter / 2.0 + 2.5 * (t * 2.3).sin() + 1.7 * (t * 9.1).cos() + event
        })
        .collect();
    let (nc, _) = curve(&octaves);
    serde_json::from_value(json!({
        "source": { "name": "window-table.wav", "seconds": 60.0, "sample_rate_hz": 48000, "channels": 1 },
        "calibration": { "kind": "reading", "offset_db": 93.2, "sd_db": 1.5 }, "level_unit": "dB",
        "levels": { "laeq_db": 46.2 - quieter, "lceq_db": 55.1 - quieter, "lzeq_db": 57.3 - quieter, "lafmax_db": 63.4 - quieter, "lasmax_db": 58.0,
            "la10_db": 48.6 - quieter, "la50_db": 41.8 - quieter, "la90_db": 38.1 - quieter },
        "third_octaves": thirds, "octaves": octaves,
        "criteria": { "nc": nc, "nr": 39.8 - quieter, "sil_db": 35.2 - quieter },
        "changes": { "events_per_minute": 3.0, "la10_minus_la90_db": 10.5, "speech_share": 0.37 },
        "margin": { "voice_laeq_db": 57.3, "margin_db": 12.2 + quieter }, "decay": null,
        "quality": { "clipped_share": 0.0, "silent": false, "warnings": [{ "code": "low-frequency", "text": "Much of the sound is deep; look at the bands and not only at the level." }] },
        "pull": 0.14, "history_laeq_db": history,
    }))
    .unwrap()
}

fn photo(name: &str, (width, height): (u32, u32), busyness: f64) -> PhotoDoc {
    serde_json::from_value(json!({
        "photo": { "name": name, "width": width, "height": height },
        "measures": { "edge_share": 0.11, "variability": 8.2, "components": 64, "chroma_share": 0.031, "colourfulness": 31.0, "clutter": busyness + 6.0, "colour": busyness - 18.0 },
        "busyness": busyness, "busyness_sd": 1.0,
        "busy_places": [
            { "x": 0.125, "y": 0.4166, "width": 0.1875, "height": 0.25, "share": 0.21 },
            { "x": 0.625, "y": 0.0833, "width": 0.1875, "height": 0.25, "share": 0.14 },
            { "x": 0.5, "y": 0.6666, "width": 0.1875, "height": 0.25, "share": 0.09 },
        ],
        "quality": { "warnings": [] }, "pull": 0.15,
    }))
    .unwrap()
}

const STEPS: [(&str, u32, f64); 14] = [
    ("pictures-ahead", 1, 0.05),
    ("toys-in-view", 1, 0.06),
    ("loose-things-on-table", 1, 0.07),
    ("pictures-ahead", 2, 0.05),
    ("toys-in-view", 2, 0.09),
    ("loose-things-on-table", 2, 0.1),
    ("television-on", 1, 0.16),
    ("machines-heard", 1, 0.06),
    ("voices", 1, 0.08),
    ("machines-heard", 2, 0.07),
    ("voices", 2, 0.13),
    ("adults-phone-out", 1, 0.05),
    ("child-playing-in-view", 1, 0.12),
    ("child-playing-in-view", 2, 0.14),
];

fn ladder() -> LadderDoc {
    let mut state: BTreeMap<String, u32> = STEPS.iter().map(|step| (step.0.to_owned(), 0)).collect();
    let mut pull = 0.12;
    let rungs: Vec<Value> = STEPS
        .iter()
        .enumerate()
        .map(|(k, (id, level, step))| {
            let rise = load(pull + step) - load(pull);
            pull += step;
            state.insert((*id).to_owned(), *level);
            json!({
                "number": k + 1, "distractor": id, "level": level, "load": load(pull), "rise": rise, "step": step, "state": state,
                "set_up": "Place three of the toys on the low shelf to the left, about two metres away, within sight of the seat. One adult, no other preparation.",
                "check": "Count what can be seen from the child's chair: three things, no more.",
                "exemplars": ["wooden train", "two dolls", "building bricks"], "minutes": 10.0, "trials": 10,
                "mastery": "Nine of ten independent answers in two sessions on two days, without distress and with assent.",
                "step_back": "After two sessions with half or fewer independent answers, or at any distress.",
            })
        })
        .collect();
    let sum: f64 = rungs.iter().map(|rung| rung["load"].as_f64().unwrap()).sum();
    serde_json::from_value(json!({
        "start_load": load(0.12), "goal_load": load(pull), "largest_step": 0.16, "sum_of_loads": sum, "optimal": true, "gap": 0.0,
        "obstacles": [{ "id": "television-on", "step": 0.16, "probe": "Try it once with the picture covered to half before it becomes a rung." }],
        "rungs": rungs, "cautions": [{ "code": "heard-locked", "text": "Sound rungs stay closed until a clinician has signed: whether sounds frighten the child was not asked." }],
    }))
    .unwrap()
}

fn sessions() -> Vec<SessionPoint> {
    let mut day = date(2025, 3, 4);
    let shares: [(u32, f64, SessionKind, bool, bool, i32); 24] = [
        (0, 0.5, SessionKind::Baseline, false, true, 1),
        (0, 0.4, SessionKind::Baseline, false, true, 1),
        (0, 0.5, SessionKind::Baseline, false, true, 2),
        (0, 0.7, SessionKind::Ordinary, false, true, 1),
        (0, 0.8, SessionKind::Ordinary, false, true, 2),
        (0, 0.9, SessionKind::Ordinary, false, true, 1),
        (0, 1.0, SessionKind::Ordinary, false, true, 1),
        (1, 0.7, SessionKind::Ordinary, false, true, 2),
        (1, 0.9, SessionKind::Ordinary, false, true, 1),
        (1, 1.0, SessionKind::Ordinary, false, true, 3),
        (2, 0.6, SessionKind::Ordinary, true, true, 1),
        (2, 0.8, SessionKind::Ordinary, false, true, 12),
        (2, 0.7, SessionKind::Ordinary, false, true, 2),
        (2, 0.6, SessionKind::Unwell, false, false, 1),
        (2, 0.9, SessionKind::Ordinary, false, true, 1),
        (2, 0.9, SessionKind::Ordinary, false, true, 2),
        (3, 0.8, SessionKind::Ordinary, false, true, 1),
        (1, 1.0, SessionKind::Maintenance, false, true, 1),
        (3, 0.7, SessionKind::Void, false, true, 1),
        (5, 0.5, SessionKind::Probe, false, true, 1),
        (3, 0.8, SessionKind::Ordinary, false, true, 2),
        (3, 0.9, SessionKind::Ordinary, false, true, 1),
        (3, 0.8, SessionKind::Ordinary, false, true, 1),
        (3, 0.9, SessionKind::Ordinary, false, true, 1),
    ];
    shares
        .into_iter()
        .map(|(rung, share, kind, distress, assent, wait)| {
            let point = SessionPoint { date: day, rung, share: Some(share), opportunities: 10, distress, assent, kind };
            day = day.checked_add(jiff::Span::new().days(wait)).unwrap();
            point
        })
        .collect()
}

impl Example {
    /// The invented case.
    pub(crate) fn new() -> Self {
        let (before, now) = (audit(0), audit(1));
        let items: Vec<Value> =
            ITEMS.iter().map(|item| json!({ "id": item.0, "before": item.5, "after": item.6 })).collect();
        let compare = serde_json::from_value(json!({
            "load_before": before.load, "load_after": now.load, "difference": now.load - before.load, "low": -37.2, "high": -19.4,
            "verdict": "calmer", "items": items, "cautions": [],
        }))
        .unwrap();
        let review = serde_json::from_value(json!({
            "rung": 3, "decision": "hold",
            "reasons": [
                { "code": "one-session-short", "text": "The last session on 8 April passed (9 of 10); one more on another day, and the child moves up." },
                { "code": "maintenance-due", "text": "Rung 2 was left 14 days ago: try it once this week." },
            ],
            "statistics": { "sessions": 24, "counted": 6, "streak": 1, "share_mean": 0.8167, "slope": { "per_day": 0.0081, "low": -0.004, "high": 0.031 },
                "baseline": { "n": 3, "nap": 0.97, "nap_low": 0.71, "nap_high": 0.99, "tau": 0.94, "tau_u": 0.9, "tau_bc": 0.66, "trend_p": 1.0, "corrected": false,
                    "mean_difference": 0.35, "log_response_ratio": 0.56, "lrr_se": 0.08 } },
            "tolerance": { "axis": "rung", "trials": 230, "half": 5.1, "sd": 0.8, "low": 3.9, "high": 6.4, "next_share": 0.71, "enough": true },
        }))
        .unwrap();
        Self {
            before,
            now,
            compare,
            sound_before: sound(0),
            sound: sound(1),
            photos: vec![photo("corner-1.jpg", (640, 480), 44.0), photo("corner-2.jpg", (480, 640), 37.0)],
            ladder: ladder(),
            review,
            sessions: sessions(),
            curve: curve(&sound(1).octaves),
        }
    }

    /// The report of it.
    pub(crate) fn report(&self) -> CaseReport<'_> {
        let names = [
            ("loose-things-on-table", "things lying on the table"),
            ("television-on", "the television"),
            ("toys-in-view", "toys in view"),
            ("pictures-ahead", "pictures straight ahead"),
            ("voices", "voices nearby"),
            ("machines-heard", "machines heard"),
            ("sudden-sounds", "sudden sounds"),
            ("child-playing-in-view", "another child playing in view"),
            ("adults-phone-out", "an adult's telephone"),
        ];
        let asks: BTreeMap<String, String> = ITEMS
            .iter()
            .map(|item| (item.0.to_owned(), format!("How many {} are there?", item.0.replace('-', " "))))
            .chain([("glare-on-table".to_owned(), "Is there glare or flicker on the table?".to_owned())])
            .collect();
        let view = |audit: &'_ AuditDoc| {
            audit
                .surfaces
                .iter()
                .flat_map(|surface| &surface.items)
                .map(|item| (item.id.clone(), "3".to_owned()))
                .collect()
        };
        let levels = |id: &str| {
            (
                id.to_owned(),
                BTreeMap::from([
                    ("1".to_owned(), "one, at the far edge".to_owned()),
                    ("2".to_owned(), "three, on the shelf".to_owned()),
                ]),
            )
        };
        CaseReport {
            alias: Some("Wren"),
            age: Some("4 years 3 months".to_owned()),
            task: Some("building with blocks beside an adult"),
            place: &self.now.place,
            made_on: "2025-04-10",
            version: "0.1.0",
            before: Some(AuditView { audit: &self.before, sound: Some(&self.sound_before), photos: Vec::new(), nc_curve: None, asks: asks.clone(), answers: view(&self.before) }),
            now: AuditView { audit: &self.now, sound: Some(&self.sound), photos: self.photos.iter().map(|doc| PhotoView { doc, jpeg: picture(doc.photo.width, doc.photo.height) }).collect(),
                nc_curve: Some(self.curve.clone()), asks, answers: view(&self.now) },
            compare: Some(&self.compare),
            ladder: Some(&self.ladder),
            ladder_signed_by: None,
            names: names.into_iter().map(|(id, name)| (id.to_owned(), name.to_owned())).collect(),
            channels: ITEMS.iter().map(|item| (item.0.to_owned(), Channel::from_word(item.1).unwrap())).collect(),
            level_names: ITEMS.iter().map(|item| levels(item.0)).collect(),
            sessions: self.sessions.clone(),
            review: Some(&self.review),
            criterion: 0.9,
            grades: [20.0, 40.0, 60.0],
            constants: vec![
                Constant { name: "Photo, alone".to_owned(), value: "30 %".to_owned(), evidence: Evidence::Convention, source: "derived from Fisher, Godwin and Seltman 2014".to_owned() },
                Constant { name: "A-weighting".to_owned(), value: "poles at 20.6, 107.7, 737.9 and 12194 Hz".to_owned(), evidence: Evidence::Standard, source: "IEC 61672-1:2013".to_owned() },
                Constant { name: "Sessions a week".to_owned(), value: "2".to_owned(), evidence: Evidence::Practice, source: String::new() },
            ],
            elsewhere: None,
            calculation: vec![
                "Seen: half of the checklist's 0.08 and half of the photos' 0.07, with 0.12 of what no photo sees: 0.20.".to_owned(),
                "Heard: half of 0.19 and half of 0.14, with 0.06 of sudden sounds: 0.25.".to_owned(),
                "U = 1.0 · 0.20 + 1.0 · 0.25 + 1.0 · 0.00 = 0.45; load = 100 (1 − e^−0.45) = 36.".to_owned(),
            ],
        }
    }
}

/// The noise criterion curves 15 to 40 of ANSI/ASA S12.2-2019, 63 Hz to 8 kHz (seen in public copies).
const NC: [[f64; 8]; 6] = [
    [47.0, 36.0, 28.0, 22.0, 18.0, 14.0, 12.0, 11.0],
    [50.0, 40.0, 33.0, 26.0, 22.0, 20.0, 17.0, 16.0],
    [54.0, 44.0, 37.0, 31.0, 27.0, 24.0, 22.0, 22.0],
    [57.0, 48.0, 41.0, 35.0, 32.0, 29.0, 28.0, 27.0],
    [60.0, 52.0, 45.0, 40.0, 36.0, 34.0, 33.0, 32.0],
    [64.0, 56.0, 50.0, 44.0, 41.0, 39.0, 38.0, 37.0],
];

/// The curve that the octaves from 63 Hz touch, so that the example's drawing is as it would be.
pub(crate) fn curve(octaves: &[BandDoc]) -> (f64, Vec<BandDoc>) {
    let at = |tenths: usize, k: usize| {
        let row = ((tenths - 150) / 50).min(4);
        let part = (tenths - 150) as f64 / 50.0 - row as f64;
        NC[row][k] * (1.0 - part) + NC[row + 1][k] * part
    };
    let bands = &octaves[1..9];
    let holds = |tenths: &usize| bands.iter().enumerate().all(|(k, band)| band.db <= at(*tenths, k));
    let tenths = (150..400).find(holds).unwrap();
    let curve = bands.iter().enumerate().map(|(k, band)| BandDoc { hz: band.hz, db: at(tenths, k) });
    (tenths as f64 / 10.0, curve.collect())
}

/// An invented picture of a corner: a wall, a floor, a table and coloured things.
fn picture(width: u32, height: u32) -> Vec<u8> {
    static DRAWN: Mutex<BTreeMap<(u32, u32), Vec<u8>>> = Mutex::new(BTreeMap::new());
    DRAWN.lock().unwrap().entry((width, height)).or_insert_with(|| draw(width, height)).clone()
}

fn draw(width: u32, height: u32) -> Vec<u8> {
    let mut image = image::RgbImage::from_fn(width, height, |x, y| {
        let wall = y * 100 / height < 62;
        let shade = u8::try_from(x * 20 / width).unwrap();
        if wall {
            image::Rgb([212 + shade, 204 + shade, 190 + shade])
        } else {
            image::Rgb([150 + shade, 116 + shade, 84 + shade])
        }
    });
    for k in 0..60u32 {
        let (x, y) = ((k * 97 + 31) % (width - 40), height / 3 + (k * 53) % (height / 2 - 20));
        let colour = image::Rgb([
            u8::try_from(k * 71 % 200).unwrap() + 40,
            u8::try_from(k * 37 % 180).unwrap() + 30,
            u8::try_from(k * 113 % 190).unwrap() + 30,
        ]);
        for (dx, dy) in (0..22u32).flat_map(|dx| (0..16u32).map(move |dy| (dx, dy))) {
            image.put_pixel((x + dx).min(width - 1), (y + dy).min(height - 1), colour);
        }
    }
    let mut bytes = Vec::new();
    image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, 80).encode_image(&image).unwrap();
    bytes
}

/// A session on that rung, that many days after the first of March.
pub(crate) fn session(days: i32, rung: u32, share: f64) -> SessionPoint {
    let day: Date = date(2025, 3, 1).checked_add(jiff::Span::new().days(days)).unwrap();
    SessionPoint {
        date: day,
        rung,
        share: Some(share),
        opportunities: 10,
        distress: false,
        assent: true,
        kind: SessionKind::Ordinary,
    }
}
