//! The demo: the invented case that comes with the program, through the same tasks that a user's own files go through.
//! Its dates are in its sources, so the same sources make the same folder on any day.

use std::path::Path;

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde::Deserialize;

use crate::case::Case;
use crate::contract::{ChildBody, DemoDoc, LadderBody, LadderSettings, RecordBody, TaskBody};
use crate::language::Language;
use crate::practice::Log;
use crate::sound::Settings;
use crate::words::did_you_mean;

use super::audits::{self, AuditRequest, AuditResult};
use super::cases::record;
use super::checklists;
use super::files::{self, Named, PHOTO_LIMIT, TEXT_LIMIT};
use super::ladders;
use super::photos;
use super::refusal::Refusal;
use super::reports::{self, Reader, Story};
use super::reviews;
use super::sounds;

/// The sources inside the program, so that it works from any folder.
static INSIDE: [(&str, &[u8]); 12] = [
    ("case.toml", include_bytes!("../../demo/case.toml")),
    ("answers-before.toml", include_bytes!("../../demo/answers-before.toml")),
    ("answers-after.toml", include_bytes!("../../demo/answers-after.toml")),
    ("sessions.csv", include_bytes!("../../demo/sessions.csv")),
    ("room-before.flac", include_bytes!("../../demo/room-before.flac")),
    ("room-after.flac", include_bytes!("../../demo/room-after.flac")),
    ("voice.flac", include_bytes!("../../demo/voice.flac")),
    ("voice-after.flac", include_bytes!("../../demo/voice-after.flac")),
    ("photo-before-1.jpg", include_bytes!("../../demo/photo-before-1.jpg")),
    ("photo-before-2.jpg", include_bytes!("../../demo/photo-before-2.jpg")),
    ("photo-after-1.jpg", include_bytes!("../../demo/photo-after-1.jpg")),
    ("photo-after-2.jpg", include_bytes!("../../demo/photo-after-2.jpg")),
];

/// Largest recording of a demo, in bytes.
const SOUND_LIMIT: u64 = 200 << 20;

/// What the demo is told about its case.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct DemoCase {
    format: String,
    alias: String,
    born: String,
    keep: Vec<String>,
    sound_sensitive: String,
    hearing_checked: String,
    place: String,
    task: String,
    correct: String,
    materials: Vec<String>,
    checklist: String,
    sessions: String,
    decided_on: String,
    signed_by: String,
    minutes: f64,
    offset_db: f64,
    before: DemoAudit,
    after: DemoAudit,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct DemoAudit {
    answers: String,
    sound: String,
    voice: String,
    photos: Vec<String>,
}

/// An audit with its photos, reduced and without metadata.
type Audited = (AuditResult, Vec<Vec<u8>>);

/// Builds the case and its report in `into`, which must be empty or not there yet.
pub fn run(into: &Path, from: Option<&Path>, progress: &mut dyn FnMut(f64)) -> Result<DemoDoc, Refusal> {
    let sources = Sources { folder: from };
    let told = sources.case()?;
    let before = audit(&sources, &told, &told.before)?;
    progress(0.4);
    let now = audit(&sources, &told, &told.after)?;
    progress(0.8);
    let log = reviews::read_log(&sources.text(&told.sessions)?)?;
    let decided_on = reviews::read_date(&told.decided_on)?;
    let review = reviews::document(&reviews::in_case(&log, decided_on));
    let compare = audits::compare(&before.0.body, &now.0.body)?;
    let child = child(&told);
    let settings = LadderSettings::default();
    let plan = ladders::from_audit(&ladders::Wanted {
        goal: &before.0.body,
        start: None,
        child: &child,
        audits: &[&before.0.body, &now.0.body],
        signed_by: Some(&told.signed_by),
        settings: &settings,
        learning: &ladders::Learning::default(),
    })?;
    let ladder = LadderBody {
        task: Some(told.task.clone()),
        place: told.place.clone(),
        signed_by: Some(told.signed_by.clone()),
        goal_audit: Some(before.0.figures.id.clone()),
        why: None,
        changed: Vec::new(),
        settings: Some(settings),
        plan,
        criterion: None,
    };

    files::fresh_folder(into)?;
    let case_folder = into.join("case");
    let (before_figures, now_figures) = write_case(&case_folder, &told, &before.0, &now.0, &ladder, &log)?;
    let pictures = into.join("pictures");
    files::fresh_folder(&pictures)?;
    for (audited, names) in [(&before, &told.before.photos), (&now, &told.after.photos)] {
        for (picture, name) in audited.1.iter().zip(names) {
            files::write(&pictures.join(name), picture)?;
        }
    }
    let plan = ladder.plan.clone();
    let story = Story {
        child,
        task: Some(told.task.clone()),
        before: Some((before.0.body, before.1)),
        now: (now.0.body, now.1),
        compare: Some(compare.clone()),
        ladder: Some(ladder),
        sessions: log.sessions().to_vec(),
        review: Some(review.clone()),
        made_on: decided_on,
        elsewhere: None,
    };
    let report = into.join("report.html");
    for (name, reader) in
        [("report.html", Reader::Clinician), ("family.html", Reader::Family), ("visit.html", Reader::Visitor)]
    {
        files::write(&into.join(name), reports::page(&story, reader, Language::English)?.as_bytes())?;
    }
    progress(1.0);
    Ok(DemoDoc {
        folder: files::shown(into),
        report: files::shown(&report),
        case: files::shown(&case_folder),
        alias: told.alias,
        before: before_figures,
        now: now_figures,
        compare,
        ladder: plan,
        review,
    })
}

fn child(told: &DemoCase) -> ChildBody {
    ChildBody {
        alias: told.alias.clone(),
        born: Some(told.born.clone()),
        keep: told.keep.clone(),
        sound_sensitive: told.sound_sensitive.clone(),
        hearing_checked: told.hearing_checked.clone(),
        excluded_sounds: Vec::new(),
    }
}

fn audit(sources: &Sources<'_>, told: &DemoCase, one: &DemoAudit) -> Result<Audited, Refusal> {
    let sound = sounds::from_opened(
        sounds::from_bytes(&one.sound, sources.bytes(&one.sound, SOUND_LIMIT)?.content),
        Some(sounds::from_bytes(&one.voice, sources.bytes(&one.voice, SOUND_LIMIT)?.content)),
        Settings { calibration: sounds::offset(told.offset_db)?, ..Settings::default() },
        false,
        &mut |_| (),
    )?;
    let mut measured = Vec::new();
    for name in &one.photos {
        measured.push(photos::photo(&sources.bytes(name, PHOTO_LIMIT)?)?);
    }
    let pictures = measured.iter().map(photos::reduced).collect::<Result<Vec<_>, _>>()?;
    let result = audits::audit(AuditRequest {
        place: Some(told.place.clone()),
        checklist: checklists::find(&told.checklist, &mut std::io::empty())?,
        answers: sources.text(&one.answers)?,
        keep: Vec::new(),
        sound: Some(sound),
        child_audible: false,
        photos: measured.into_iter().map(|photo| photo.doc).collect(),
        kept_photos: Vec::new(),
        scale: None,
        minutes: told.minutes,
        sensitivity: None,
        recheck: None,
    })?;
    Ok((result, pictures))
}

/// Writes every record as a user's own commands would, at nine in the morning of its day; gives the two audits' figures
/// with their ids.
fn write_case(
    folder: &Path,
    told: &DemoCase,
    before: &AuditResult,
    now: &AuditResult,
    ladder: &LadderBody,
    log: &Log,
) -> Result<(crate::contract::AuditDoc, crate::contract::AuditDoc), Refusal> {
    let first_day = reviews::read_date(&before.figures.date)?;
    let at = |day: Date, second: i8| -> Result<Timestamp, Refusal> {
        day.at(9, 0, second, 0)
            .to_zoned_datetime(TimeZone::UTC)
            .map(|moment| moment.timestamp())
            .map_err(|error| Refusal::new("date", error.to_string()))
    };
    let (case, _) = Case::create(
        folder,
        &record(RecordBody::Child(child(told)), &before.figures.date, Some(&before.figures.by), at(first_day, 0)?),
    )?;
    let task = TaskBody {
        name: told.task.clone(),
        correct: told.correct.clone(),
        materials: told.materials.clone(),
        prompts: vec![],
        after_error: None,
    };
    case.add(&record(RecordBody::Task(task), &before.figures.date, Some(&before.figures.by), at(first_day, 1)?))?;
    let mut figures = [before.figures.clone(), now.figures.clone()];
    for (result, figures) in [before, now].into_iter().zip(&mut figures) {
        figures.id = audits::store(&case, result, at(reviews::read_date(&result.figures.date)?, 2)?)?;
    }
    let ladder = LadderBody { goal_audit: Some(figures[0].id.clone()), ..ladder.clone() };
    let planned_on = reviews::read_date(&figures[1].date)?;
    case.add(&record(
        RecordBody::Ladder(Box::new(ladder)),
        &figures[1].date,
        Some(&told.signed_by),
        at(planned_on, 3)?,
    ))?;
    for (number, session) in log.sessions().iter().enumerate() {
        let written = at(session.date, i8::try_from(number % 60).unwrap_or(0))?;
        let body = RecordBody::Session(reviews::body(session));
        case.add(&record(body, &session.date.to_string(), session.by.as_deref(), written))?;
    }
    let [before, now] = figures;
    Ok((before, now))
}

/// Where the sources come from: inside the program, or a folder like `demo/`.
struct Sources<'a> {
    folder: Option<&'a Path>,
}

impl Sources<'_> {
    fn bytes(&self, name: &str, limit: u64) -> Result<Named<Vec<u8>>, Refusal> {
        if let Some(folder) = self.folder {
            return files::read_bytes(&folder.join(name), limit, &mut std::io::empty());
        }
        let found = INSIDE.iter().find(|(inside, _)| *inside == name);
        found.map(|(_, bytes)| Named { name: name.to_owned(), content: bytes.to_vec() }).ok_or_else(|| {
            let names = INSIDE.iter().map(|(inside, _)| *inside);
            Refusal::new("no-such-source", format!("the demo holds no `{name}`{}", did_you_mean(name, names)))
        })
    }

    fn text(&self, name: &str) -> Result<Named<String>, Refusal> {
        let bytes = self.bytes(name, TEXT_LIMIT)?;
        files::as_text(bytes, name)
    }

    fn case(&self) -> Result<DemoCase, Refusal> {
        const FORMAT: &str = "stillroom.demo-case/1";
        let text = self.text("case.toml")?;
        let fault = |message: String| {
            Refusal::new("demo-case", format!("case.toml: {message}"))
                .at("case.toml")
                .hint("compare it with demo/case.toml")
        };
        let told: DemoCase =
            toml::from_str(&text.content).map_err(|error| fault(error.to_string().trim_end().to_owned()))?;
        if told.format == FORMAT { Ok(told) } else { Err(fault(format!("its format is not `{FORMAT}`"))) }
    }
}
