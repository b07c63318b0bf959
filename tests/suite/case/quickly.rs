//! A caseload reads plain records quickly: over random cases, some of them damaged, it says to the letter what it says when
//! every record has to go through the full reader.

use std::fs;
use std::path::Path;

use stillroom::case::name_of;
use stillroom::contract::{
    CaseloadDoc, CorrectionBody, DecisionBody, DetailsBody, NoteDoc, RecordBody, RecordDoc, SessionBody, UnreadableDoc,
};
use stillroom::language::{Language, Speaker};
use stillroom::tasks::caseload::{caseload, pile};

use super::made::{child, note, record};

/// Knuth's MMIX generator: seeded, the same everywhere.
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % limit
    }

    fn small(&mut self, limit: u32) -> u32 {
        u32::try_from(self.below(limit.into())).unwrap()
    }

    fn often(&mut self, of: u64) -> bool {
        self.below(of) == 0
    }

    fn one_of(&mut self, texts: &[&str]) -> String {
        texts[usize::try_from(self.below(texts.len() as u64)).unwrap()].to_owned()
    }

    fn maybe(&mut self, texts: &[&str]) -> Option<String> {
        (!self.often(3)).then(|| self.one_of(texts))
    }
}

const NOTES: [&str; 9] = [
    "",
    "calm",
    "maintenance: toys out of sight",
    "harm: bit a hand",
    "cleared by the clinician",
    "said \"no\"",
    "a\nb",
    "tab\tbed",
    "unwell, ñandú",
];
const TASKS: [&str; 2] = ["matching leaf shapes", "rings \"on\" a rod"];
const PLACES: [&str; 2] = ["window table", "abuela's kitchen"];

fn session(dice: &mut Dice) -> RecordBody {
    let independent = dice.small(11);
    let prompted = dice.small(11 - independent);
    let details = DetailsBody { time: dice.maybe(&["16:30"]), breaks: Some(dice.small(3)), ..DetailsBody::default() };
    RecordBody::Session(SessionBody {
        rung: dice.small(4),
        opportunities: 10,
        independent,
        prompted,
        errors: 10 - independent - prompted,
        distress: dice.often(12),
        assent: !dice.often(15),
        distractor_on: !dice.often(10),
        minutes: dice.often(2).then_some(9),
        note: if dice.often(3) { dice.one_of(&NOTES) } else { String::new() },
        task: dice.maybe(&TASKS),
        place: dice.maybe(&PLACES),
        exemplar: dice.maybe(&["a poster"]),
        after: dice.often(20),
        details: if dice.often(3) { details } else { DetailsBody::default() },
    })
}

fn decision(dice: &mut Dice) -> RecordBody {
    let reason = NoteDoc::new("few", "one session so far");
    RecordBody::Decision(DecisionBody {
        rung: dice.small(4),
        decision: dice.one_of(&["advance", "hold", "step-back", "break-down", "pause"]),
        sessions_to: None,
        reasons: if dice.often(2) { vec![reason] } else { Vec::new() },
        task: dice.maybe(&TASKS),
        place: dice.maybe(&PLACES),
        ladder: None,
        signed_by: dice.maybe(&["clinician"]),
        lifts_pause: dice.often(4),
        recommended: None,
        why: dice.maybe(&["so it was agreed"]),
    })
}

/// The records of a random case, each with the place in the list of the one that it replaces.
fn records(dice: &mut Dice) -> Vec<(RecordDoc, Option<usize>)> {
    let mut made = vec![(child("Fern"), None)];
    for second in 1..=5 + dice.small(40) {
        let body = match dice.below(12) {
            0 | 1 => decision(dice),
            2 => note(second, "rain").body,
            3 => RecordBody::Correction(CorrectionBody { why: "wrong case".to_owned() }),
            _ => session(dice),
        };
        let corrects = matches!(body, RecordBody::Correction(_)) || dice.often(15);
        let replaces = corrects.then(|| usize::try_from(dice.below(made.len() as u64)).unwrap()).filter(|at| *at > 0);
        let date = format!("2026-10-{:02}", 1 + second / 2);
        let by = dice.maybe(&["parent", "aunt \"Bee\""]);
        made.push((RecordDoc { by, ..record(&date, second, body) }, replaces));
    }
    made
}

/// Writes the records with something behind each text, which changes nothing of what it says, and damages the same of them
/// in the same way whatever stands behind.
fn write(folder: &Path, records: &[(RecordDoc, Option<usize>)], behind: &str, mut dice: Dice) {
    fs::create_dir_all(folder).unwrap();
    let mut ids: Vec<String> = Vec::new();
    for (record, replaces) in records {
        let record = RecordDoc { replaces: replaces.map(|at| ids[at].clone()), ..record.clone() };
        let mut text = toml::to_string(&record).unwrap();
        let head = text.len() - 20;
        if ids.len() > 1 && dice.often(40) {
            // Wrong from the beginning: the hash is right, the record is none.
            text = text.replacen(" = ", " = x", usize::try_from(4 + dice.below(6)).unwrap());
        }
        text.push_str(behind);
        let name = name_of(text.as_bytes(), record.date.parse().unwrap(), record.body.kind());
        let mut bytes = text.into_bytes();
        if dice.often(30) {
            // Changed later: the hash is wrong.
            let at = usize::try_from(dice.below(head as u64)).unwrap();
            bytes[at] ^= 1;
        }
        fs::write(folder.join(name.to_string()), bytes).unwrap();
        ids.push(name.id);
    }
    if dice.often(10) {
        fs::write(folder.join("holiday.txt"), "sea").unwrap();
    }
}

/// Without hashes, which differ with what stands behind a text, and in an order that does not hang on them.
fn without_hashes(mut doc: CaseloadDoc) -> CaseloadDoc {
    let hashless = |text: &str| {
        let parts: Vec<&str> = text
            .split_inclusive(|sign: char| !sign.is_ascii_hexdigit())
            .map(|part| if part.trim_end_matches('.').len() == 16 { "ID." } else { part })
            .collect();
        parts.concat()
    };
    let plain = |one: &UnreadableDoc| UnreadableDoc { name: hashless(&one.name), text: hashless(&one.text) };
    doc.unreadable = doc.unreadable.iter().map(plain).collect();
    doc.unreadable.sort_by(|a, b| (&a.name, &a.text).cmp(&(&b.name, &b.text)));
    doc
}

#[test]
fn quick_reading_says_what_full_reading_says_of_random_and_damaged_cases() {
    const CASES: u64 = 150;
    let outer = tempfile::tempdir().unwrap();
    let told = ["", "# no plain text\n"].map(|behind| {
        let folder = outer.path().join("cases");
        for number in 0..CASES {
            let mut dice = Dice(number);
            let records = records(&mut dice);
            write(&folder.join(format!("case-{number:03}")), &records, behind, dice);
        }
        let now = "2026-10-30T09:00:00Z".parse().unwrap();
        let english = Speaker::new(Language::English);
        let all = without_hashes(caseload(&folder, None, now).unwrap());
        let (earlier, sheets) = pile(&folder, Some("2026-10-12"), &english, now).unwrap();
        fs::remove_dir_all(&folder).unwrap();
        (all, without_hashes(earlier), sheets)
    });
    let [(all, earlier, sheets), in_full] = told;
    assert!(all.unreadable.iter().any(|one| one.text.contains("does not match its name")));
    assert!(all.unreadable.iter().any(|one| one.text.contains("does not read as a record")));
    assert!(all.unreadable.iter().any(|one| one.name.ends_with("holiday.txt")));
    assert!(all.cases.len() > 100 && all.cases.iter().any(|one| one.decision.as_deref() == Some("pause")));
    assert_eq!(all, in_full.0);
    assert_eq!(earlier, in_full.1);
    assert_eq!(sheets, in_full.2);
}
