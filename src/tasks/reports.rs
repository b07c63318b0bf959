//! Gathering what a case holds for its report. The report room itself only turns it into a page.

use std::collections::BTreeMap;
use std::path::Path;

use jiff::Timestamp;
use jiff::civil::Date;

use crate::case::Case;
use crate::checklist::{Answer, Item, Unit};
use crate::contract::{
    AuditBody, BandDoc, ChildBody, CompareDoc, LadderBody, LadderDoc, RecordBody, ReviewDoc, SoundDoc, WhereDoc,
};
use crate::language::{Language, Speaker};
use crate::load::{self, Scale};
use crate::practice::{Kind, Log, Session};
use crate::report::{self, AuditView, Cards, CaseReport, Constant, PhotoView, SessionKind, SessionPoint, chart};
use crate::sound::nc_curve;
use crate::words::Evidence as Tag;
use crate::words::id_in_words;

use super::audits::{self, Evidence};
use super::cases::day;
use super::course::{self, Course};
use super::ladders::Planned;
use super::plans;
use super::refusal::Refusal;
use super::reviews;
use super::where_when;

/// The share of independent answers that passes a session by the default rule: 9 of 10.
const CRITERION: f64 = 0.9;

/// What a report tells, owned: the newest of everything in a case.
#[derive(Clone, Debug)]
pub struct Story {
    /// Who it is about.
    pub child: ChildBody,
    /// The task.
    pub task: Option<String>,
    /// An earlier audit, with its photos as JPEG (empty where none was kept).
    pub before: Option<(AuditBody, Vec<Vec<u8>>)>,
    /// The audit the report is about, with its photos.
    pub now: (AuditBody, Vec<Vec<u8>>),
    /// The two compared.
    pub compare: Option<CompareDoc>,
    /// The plan.
    pub ladder: Option<LadderBody>,
    /// The sessions so far.
    pub sessions: Vec<Session>,
    /// The decision after them.
    pub review: Option<ReviewDoc>,
    /// The day the report is made.
    pub made_on: Date,
    /// Other corners and times of day, where there are any.
    pub elsewhere: Option<WhereDoc>,
}

/// Whom a report is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reader {
    /// All figures, intervals, evidence, graphs, the calculation.
    Clinician,
    /// One page: one thing to do now, before and now, the next step.
    Family,
    /// What was measured, when, with what.
    Visitor,
}

/// The report of a case for a reader, as one HTML file.
pub fn case_report(
    folder: &Path,
    place: Option<&str>,
    reader: Reader,
    language: Language,
    now: Timestamp,
) -> Result<String, Refusal> {
    let case = Case::open(folder)?;
    page(&gather(&case, place, now)?, reader, language)
}

/// The rung cards of a case's plan.
pub fn case_cards(planned: &Planned, speaker: &Speaker, now: Timestamp) -> String {
    plan_cards(&planned.alias, &planned.body, speaker, now)
}

/// The rung cards of a stored plan.
pub(super) fn plan_cards(alias: &str, body: &LadderBody, speaker: &Speaker, now: Timestamp) -> String {
    let cards = Cards {
        alias: Some(alias),
        place: Some(&body.place),
        task: body.task.as_deref(),
        made_on: &day(now),
        signed_by: body.signed_by.as_deref(),
        ladder: &body.plan,
    };
    report::cards(&cards, speaker)
}

/// The rung cards of a plan that belongs to no case.
pub fn file_cards(plan: &LadderDoc, speaker: &Speaker, now: Timestamp) -> String {
    let made_on = day(now);
    let cards = Cards { alias: None, place: None, task: None, made_on: &made_on, signed_by: None, ladder: plan };
    report::cards(&cards, speaker)
}

/// Reads the newest of everything in a case.
fn gather(case: &Case, place: Option<&str>, now: Timestamp) -> Result<Story, Refusal> {
    let mut audits: Vec<AuditBody> = audits::audits(case, place)?.into_iter().map(|(_, body)| body).collect();
    let Some(newest) = audits.pop() else {
        return Err(Refusal::new("no-audit", "the case holds no audit yet")
            .hint("audit a place first: `stillroom audit --case DIR …`"));
    };
    let before = audits.pop();
    let compare = before.as_ref().map(|before| audits::compare(before, &newest)).transpose()?;
    let made_on = reviews::read_date(&day(now))?;
    let practised = Course::read(case.clone())?;
    let answers = if practised.log.sessions().is_empty() { Vec::new() } else { practised.answers(made_on)? };
    // The report is about one place; where nothing was practised there, about what was practised last.
    let here = |answer: &&course::Answer<'_>| answer.group.place.as_ref() == Some(&newest.figures.place);
    let answer = answers.iter().find(here).or(answers.first());
    let sessions = answer.map(|answer| answer.group.log.sessions().to_vec()).unwrap_or_default();
    let review = answer.map(|answer| reviews::answer_doc(&practised, answer, false));
    let mut task = None;
    let mut ladder = None;
    for stored in case.standing(|kind| kind == "task" || kind == "ladder")?.records {
        match stored.record.body {
            RecordBody::Task(body) => task = Some(body.name),
            RecordBody::Ladder(body) if body.place == newest.figures.place => {
                ladder = Some(plans::holding(ladder, *body));
            }
            _ => {}
        }
    }
    // Kept photos stand in the order of their readings; one that is gone leaves its place without a picture.
    let pictures = |body: &AuditBody| -> Vec<Vec<u8>> {
        let kept = |place: usize| body.kept_photos.get(place).and_then(|id| case.photo(id)).unwrap_or_default();
        (0..body.photos.len()).map(kept).collect()
    };
    let elsewhere = where_when::beside(case, &newest.figures.place, newest.figures.first_moves.minutes)?;
    Ok(Story {
        child: case.child()?,
        task,
        before: before.map(|body| (pictures(&body), body)).map(|(pictures, body)| (body, pictures)),
        now: (newest.clone(), pictures(&newest)),
        compare,
        ladder,
        sessions,
        review,
        made_on,
        elsewhere,
    })
}

/// The page of a story for a reader.
pub fn page(story: &Story, reader: Reader, language: Language) -> Result<String, Refusal> {
    let evidence = Evidence::stored(&story.now.0, "the audit")?;
    let before = story.before.as_ref().map(|(body, pictures)| view(body, pictures)).transpose()?;
    let figures = &story.now.0.figures;
    let found = load::assess(&evidence.inputs(), figures.first_moves.minutes);
    let items = &evidence.checklist.items;
    let made_on = story.made_on.to_string();
    let audited_on = reviews::read_date(&figures.date)?;
    let told = CaseReport {
        alias: Some(&story.child.alias),
        age: story.child.born.as_deref().and_then(|born| age(born, audited_on)),
        task: story.task.as_deref(),
        place: &figures.place,
        made_on: &made_on,
        version: env!("CARGO_PKG_VERSION"),
        before,
        now: view(&story.now.0, &story.now.1)?,
        compare: story.compare.as_ref(),
        ladder: story.ladder.as_ref().map(|body| &body.plan),
        ladder_signed_by: story.ladder.as_ref().and_then(|body| body.signed_by.as_deref()),
        names: items.iter().map(|item| (item.id.to_string(), id_in_words(item.id.as_str()))).collect(),
        channels: items.iter().map(|item| (item.id.to_string(), item.channel)).collect(),
        level_names: items.iter().map(|item| (item.id.to_string(), level_names(item))).collect(),
        sessions: Log::new(story.sessions.clone()).sessions().iter().map(point).collect(),
        review: story.review.as_ref(),
        criterion: story
            .review
            .as_ref()
            .and_then(|review| review.criterion.as_ref())
            .map_or(CRITERION, |rule| f64::from(rule.percent) / 100.0),
        grades: evidence.scale.grade_bounds(),
        constants: constants(&evidence.scale),
        elsewhere: story.elsewhere.as_ref(),
        calculation: load::explain(&evidence.inputs(), &found).iter().map(ToString::to_string).collect(),
    };
    Ok(match reader {
        Reader::Clinician => report::case_report(&told, &Speaker::new(language)),
        Reader::Family => report::family_page(&told, &Speaker::new(language)),
        Reader::Visitor => report::visitor_page(&told, &Speaker::new(language)),
    })
}

/// The pictures of a recording: bands, level over time, decay.
pub fn sound_chart(doc: &SoundDoc) -> String {
    let curve = criterion_curve(doc);
    chart::sound_svg(doc, curve.as_ref().map(|(nc, bands)| (*nc, bands.as_slice())))
}

/// The picture of corners and days.
pub fn where_chart(doc: &WhereDoc) -> String {
    report::where_svg(doc, false)
}

/// The same for a telephone.
pub fn where_chart_narrow(doc: &WhereDoc) -> String {
    report::where_svg(doc, true)
}

/// The picture of a plan's staircase.
pub fn ladder_chart(doc: &LadderDoc, here: Option<u32>) -> String {
    chart::ladder_svg(doc, here)
}

fn level_names(item: &Item) -> BTreeMap<String, String> {
    item.levels.iter().zip(1..).map(|(level, number): (_, u32)| (number.to_string(), level.name.clone())).collect()
}

fn view<'a>(body: &'a AuditBody, pictures: &[Vec<u8>]) -> Result<AuditView<'a>, Refusal> {
    let evidence = Evidence::stored(body, "the audit")?;
    let said = |item: &Item| match evidence.answers.to(&item.id) {
        Answer::Option(key) => match &item.unit {
            Unit::Choice(options) => {
                options.iter().find(|option| option.key == *key).map_or(key.clone(), |option| option.text.clone())
            }
            Unit::Count { .. } | Unit::Yes { .. } => key.clone(),
        },
        answer => answer.to_string(),
    };
    Ok(AuditView {
        audit: &body.figures,
        sound: body.sound.as_ref(),
        photos: body.photos.iter().zip(pictures).map(|(doc, jpeg)| PhotoView { doc, jpeg: jpeg.clone() }).collect(),
        nc_curve: body.sound.as_ref().and_then(criterion_curve),
        asks: evidence.checklist.items.iter().map(|item| (item.id.to_string(), item.ask.clone())).collect(),
        answers: evidence.checklist.items.iter().map(|item| (item.id.to_string(), said(item))).collect(),
    })
}

/// The noise criterion curve that a calibrated recording touches.
fn criterion_curve(doc: &SoundDoc) -> Option<(f64, Vec<BandDoc>)> {
    let nc = doc.criteria.nc?;
    Some((nc, nc_curve(nc).iter().map(|&(hz, db)| BandDoc { hz, db }).collect()))
}

fn constants(scale: &Scale) -> Vec<Constant> {
    let mut all = Vec::new();
    for table in scale.tables() {
        for (key, value) in &table.entries {
            all.push(Constant {
                name: format!("{}.{key}", table.name),
                value: value.clone(),
                evidence: table.evidence.unwrap_or(Tag::Convention),
                source: table.source.clone().unwrap_or_else(|| "no source given".to_owned()),
            });
        }
    }
    all
}

pub(super) fn point(session: &Session) -> SessionPoint {
    let kind = match session.kind() {
        _ if session.is_void() => SessionKind::Void,
        Kind::Baseline => SessionKind::Baseline,
        Kind::Probe => SessionKind::Probe,
        Kind::Maintenance => SessionKind::Maintenance,
        Kind::Unwell => SessionKind::Unwell,
        Kind::Harm => SessionKind::Harm,
        Kind::Ordinary | Kind::Cleared => SessionKind::Ordinary,
    };
    SessionPoint {
        date: session.date,
        rung: session.rung,
        share: (session.opportunities > 0).then(|| f64::from(session.independent) / f64::from(session.opportunities)),
        opportunities: session.opportunities,
        distress: session.was_distressed(),
        assent: session.assent,
        kind,
    }
}

/// The age in words on a day, from the month of birth.
pub fn age(born: &str, on: Date) -> Option<String> {
    let (year, month) = born.split_once('-')?;
    let months =
        (i32::from(on.year()) - year.parse::<i32>().ok()?) * 12 + i32::from(on.month()) - month.parse::<i32>().ok()?;
    let (years, months) = (months.div_euclid(12), months.rem_euclid(12));
    let plural = |count: i32, word: &str| format!("{count} {word}{}", if count == 1 { "" } else { "s" });
    match (years, months) {
        (years, _) if years < 0 => None,
        (0, months) => Some(plural(months, "month")),
        (years, 0) => Some(plural(years, "year")),
        (years, months) => Some(format!("{} {}", plural(years, "year"), plural(months, "month"))),
    }
}

#[cfg(test)]
mod tests {
    use super::age;
    use jiff::civil::date;

    #[test]
    fn an_age_is_years_and_months() {
        assert_eq!(age("2022-07", date(2026, 10, 19)).as_deref(), Some("4 years 3 months"));
        assert_eq!(age("2026-09", date(2026, 10, 19)).as_deref(), Some("1 month"));
        assert_eq!(age("2025-10", date(2026, 10, 1)).as_deref(), Some("1 year"));
        assert_eq!(age("2030-01", date(2026, 10, 1)), None);
    }
}
