//! How long `caseload` takes: 1,000 cases of 200 records each, warm, beside reading the same files without looking at them.
//!
//! The two take turns, so that whatever else the machine does falls on both; processor time, which hardly depends on that,
//! is told beside the time on the clock. `cargo bench --bench caseload -- FOLDER` keeps the cases in FOLDER for another run;
//! without it they are made anew.
#![expect(
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a bench reads the clock and prints, and may fail loudly"
)]

use std::fs;
use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

use stillroom::case::name_of;
use stillroom::contract::{
    ChildBody, DecisionBody, NoteBody, RECORD_FORMAT, RecordBody, RecordDoc, ScreenTimeBody, SessionBody, TaskBody,
    read_record,
};
use stillroom::tasks::caseload::caseload;

const CASES: usize = 1000;
/// Of 200 records: a child, a task, a ladder of 12 rungs, 140 sessions, 9 decisions; notes and screen time are counted by
/// name and not read.
const SESSIONS: usize = 140;
const DECISIONS: usize = 9;
const OTHERS: usize = 48;
const RUNGS: u32 = 12;
/// Repetitions; the middle one is told.
const ROUNDS: usize = 9;

fn main() {
    let given = std::env::args().skip(1).find(|word| !word.starts_with("--"));
    let made = tempfile::tempdir().unwrap();
    let folder = given.map_or_else(|| made.path().to_owned(), PathBuf::from);
    if !folder.join("case-0000").is_dir() {
        (0..CASES).for_each(|number| make(&folder.join(format!("case-{number:04}")), number));
    }
    let now = "2026-11-02T09:00:00Z".parse().unwrap();
    let doc = caseload(&folder, Some("2026-11-02"), now).unwrap();
    assert_eq!((doc.cases.len(), doc.unreadable.len()), (CASES, 0));
    let wanted = files(&folder);
    let bytes: u64 = wanted.iter().map(|path| fs::metadata(path).unwrap().len()).sum();
    println!(
        "{} files are read, {} kB, of {} in all",
        wanted.len(),
        bytes / 1000,
        CASES * (3 + SESSIONS + DECISIONS + OTHERS)
    );
    let (mut reading, mut whole) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        reading.push(timed(|| read(&wanted)));
        whole.push(timed(|| caseload(&folder, Some("2026-11-02"), now).unwrap().cases.len()));
    }
    let ratios = |which: fn(&Took) -> f64| middle(whole.iter().zip(&reading).map(|(a, b)| which(a) / which(b)));
    for (what, took) in [("reading those files, in parallel", &reading), ("caseload", &whole)] {
        println!(
            "{what}: {:.3} s, processor {:.2} s",
            middle(took.iter().map(|one| one.clock)),
            middle(took.iter().map(|one| one.work))
        );
    }
    println!("ratio of a turn: {:.2}, of processor time {:.2}", ratios(|one| one.clock), ratios(|one| one.work));
}

/// Seconds on the clock, and of the processor over all threads.
struct Took {
    clock: f64,
    work: f64,
}

fn timed(run: impl FnOnce() -> usize) -> Took {
    let (begun, worked) = (Instant::now(), processor_seconds());
    black_box(run());
    Took { clock: begun.elapsed().as_secs_f64(), work: processor_seconds() - worked }
}

/// User and system time of this program, in steps of a hundredth, where the system tells it.
fn processor_seconds() -> f64 {
    let told = fs::read_to_string("/proc/self/stat").unwrap_or_default();
    // The name, in brackets, may hold blanks; user and system time are the twelfth and thirteenth word behind it.
    let words = told.rsplit(')').next().unwrap_or_default().split_whitespace().skip(11).take(2);
    words.map(|ticks| ticks.parse::<f64>().unwrap_or(f64::NAN) / 100.0).sum()
}

fn middle(times: impl Iterator<Item = f64>) -> f64 {
    let mut times: Vec<f64> = times.collect();
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

/// The files that a caseload needs: of every case, those whose name says child, session, decision, ladder, task or
/// correction.
fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for case in fs::read_dir(folder).unwrap() {
        for file in fs::read_dir(case.unwrap().path()).unwrap() {
            let path = file.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if ["-child-", "-session-", "-decision-", "-ladder-", "-task-", "-correction-"]
                .iter()
                .any(|kind| name.contains(kind))
            {
                found.push(path);
            }
        }
    }
    found
}

/// Reads them on all processors, and lists the folders, as any program must.
fn read(wanted: &[PathBuf]) -> usize {
    let (next, total) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let work = || {
        while let Some(path) = wanted.get(next.fetch_add(1, Ordering::Relaxed)) {
            total.fetch_add(fs::read(path).unwrap().len(), Ordering::Relaxed);
        }
    };
    std::thread::scope(|scope| {
        for _ in 1..std::thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(work);
        }
        work();
    });
    total.into_inner()
}

/// A signed ladder: the one of the stored formats, with more rungs.
fn ladder() -> RecordBody {
    let text = include_str!("../tests/formats/v1/fern/2026-11-25-ladder-6feb846cc62c0904.toml");
    let RecordBody::Ladder(mut body) = read_record(text).unwrap().body else { unreachable!("a ladder is a ladder") };
    let first = body.plan.rungs[0].clone();
    body.plan.rungs = (1..=RUNGS).map(|number| stillroom::contract::RungDoc { number, ..first.clone() }).collect();
    body.goal_audit = None;
    RecordBody::Ladder(body)
}

/// Writes a case without syncing: this is no case that anybody relies on.
fn make(folder: &Path, number: usize) {
    fs::create_dir_all(folder).unwrap();
    let mut second = 0;
    let mut add = |date: &str, body: RecordBody| {
        second += 1;
        let record = RecordDoc {
            format: RECORD_FORMAT.to_owned(),
            date: date.to_owned(),
            written: format!("{date}T09:{:02}:{:02}.123456789Z", second / 60, second % 60),
            by: Some("parent".to_owned()),
            replaces: None,
            body,
        };
        let text = toml::to_string(&record).unwrap();
        let name = name_of(text.as_bytes(), date.parse().unwrap(), record.body.kind());
        fs::write(folder.join(name.to_string()), text).unwrap();
    };
    add(
        "2026-05-01",
        RecordBody::Child(ChildBody {
            alias: format!("Plant {number}"),
            born: Some("2022-07".to_owned()),
            keep: vec!["picture schedule".to_owned()],
            sound_sensitive: "no".to_owned(),
            hearing_checked: "yes".to_owned(),
            excluded_sounds: Vec::new(),
        }),
    );
    add(
        "2026-05-01",
        RecordBody::Task(TaskBody {
            name: "matching leaf shapes".to_owned(),
            correct: "puts each leaf on its shape".to_owned(),
            materials: vec!["leaf cards".to_owned()],
            prompts: Vec::new(),
            after_error: None,
        }),
    );
    add("2026-05-01", ladder());
    let day = |at: usize| format!("2026-{:02}-{:02}", 5 + at / 28, 1 + at % 28);
    for at in 0..SESSIONS {
        let independent = u32::try_from((at * 7 + number) % 4).unwrap() + 7;
        add(
            &day(at),
            RecordBody::Session(SessionBody {
                rung: u32::try_from(at / 14).unwrap(),
                opportunities: 10,
                independent,
                prompted: 10 - independent,
                errors: 0,
                distress: false,
                assent: true,
                distractor_on: true,
                minutes: Some(9),
                note: String::new(),
                task: Some("matching leaf shapes".to_owned()),
                place: Some("window table".to_owned()),
                exemplar: None,
                after: false,
                details: Default::default(),
            }),
        );
    }
    for at in 0..DECISIONS {
        add(
            &day(at * 14 + 13),
            RecordBody::Decision(DecisionBody {
                rung: u32::try_from(at).unwrap(),
                decision: "advance".to_owned(),
                sessions_to: None,
                reasons: Vec::new(),
                task: None,
                place: None,
                ladder: None,
                signed_by: Some("clinician".to_owned()),
                lifts_pause: false,
                recommended: None,
                why: None,
            }),
        );
    }
    for at in 0..OTHERS {
        let body = if at % 2 == 0 {
            RecordBody::Note(NoteBody { text: "a calm morning".to_owned(), place: None, about: None })
        } else {
            RecordBody::ScreenTime(ScreenTimeBody {
                minutes: 20,
                what: None,
                together: true,
                with: None,
                repeat: false,
                place: None,
                read_from: None,
            })
        };
        add(&day(at), body);
    }
}
