//! Printable sheets, blank or with a case's own words.

use std::path::Path;

use jiff::civil::{Date, date};
use jiff::{Timestamp, ToSpan};
use sha2::{Digest, Sha256};

use crate::case::Case;
use crate::checklist::Checklist;
use crate::contract::{FormDoc, FormEntryDoc, FormsDoc, LadderBody, RecordBody, TaskBody};
use crate::language::{Language, Said, Speaker};
use crate::paper::alias_code;
use crate::report::papers::{Paper, PaperFacts, Printed, RungWords, paper};
use crate::words::did_you_mean;

use super::case_view;
use super::caseload;
use super::cases::day;
use super::files::shown;
use super::plans;
use super::refusal::Refusal;
use super::reports;
use super::reviews;

/// The language asked for, or the one of the locale, or English.
pub fn language(asked: Option<&str>, locale: Option<&str>) -> Result<Language, Refusal> {
    let Some(asked) = asked else {
        return Ok(locale.and_then(Language::of_locale).unwrap_or(Language::English));
    };
    Language::of_locale(asked).ok_or_else(|| {
        let known: Vec<String> =
            Language::SPOKEN.iter().map(|language| format!("{} ({})", language.tag(), language.name())).collect();
        Refusal::new("language-unknown", format!("there is no language `{asked}`"))
            .hint(format!("languages: {}", known.join(", ")))
    })
}

/// The sheets there are.
pub fn list(language: Language) -> FormsDoc {
    let speaker = Speaker::new(language);
    FormsDoc {
        forms: Paper::ALL
            .into_iter()
            .map(|paper| FormEntryDoc {
                name: paper.name().to_owned(),
                title: paper.title(&speaker),
                tells: paper.tells(&speaker),
            })
            .collect(),
    }
}

/// The sheet of that name, as HTML.
pub fn form(
    name: &str,
    case: Option<&Path>,
    list: &Checklist,
    language: Language,
    printing: Printing,
) -> Result<FormDoc, Refusal> {
    let now = printing.now;
    let Some(wanted) = Paper::of_name(name) else {
        let names: Vec<&str> = Paper::ALL.into_iter().map(Paper::name).collect();
        return Err(Refusal::new(
            "form-unknown",
            format!("there is no sheet `{name}`{}", did_you_mean(name, names.iter().copied())),
        )
        .hint("`stillroom form --list` names the sheets"));
    };
    let speaker = Speaker::new(language);
    if let (Paper::RungCards, Some(folder)) = (wanted, case) {
        return cards(folder, &speaker, now);
    }
    let mut facts = match case {
        Some(folder) => facts(folder, &speaker, now)?,
        None => PaperFacts::default(),
    };
    facts.checklist = Some(list);
    facts.version = env!("CARGO_PKG_VERSION");
    facts.printed = printed(wanted, &facts, case.is_some(), printing);
    Ok(FormDoc {
        name: wanted.name().to_owned(),
        title: wanted.title(&speaker),
        language: language.tag().to_owned(),
        html: paper(wanted, &facts, &speaker),
    })
}

/// The cards of the plan that holds.
fn cards(folder: &Path, speaker: &Speaker, now: Timestamp) -> Result<FormDoc, Refusal> {
    let case = Case::open(folder)?;
    let (_, ladder) = task_and_ladder(&case)?;
    let Some(ladder) = ladder else {
        return Err(Refusal::new("no-ladder", "the case has no ladder yet")
            .at(shown(folder))
            .hint("plan one with `stillroom ladder --case DIR`, or leave --case out for blank cards"));
    };
    Ok(FormDoc {
        name: Paper::RungCards.name().to_owned(),
        title: Paper::RungCards.title(speaker),
        language: speaker.language().tag().to_owned(),
        html: reports::plan_cards(&case.child()?.alias, &ladder, speaker, now),
    })
}

/// The newest task, and the plan that holds.
fn task_and_ladder(case: &Case) -> Result<(Option<TaskBody>, Option<LadderBody>), Refusal> {
    let (mut task, mut ladder) = (None, None);
    for stored in case.standing(|kind| kind == "task" || kind == "ladder")?.records {
        match stored.record.body {
            RecordBody::Task(body) => task = Some(body),
            RecordBody::Ladder(body) => ladder = Some(plans::holding(ladder, *body)),
            _ => {}
        }
    }
    Ok((task, ladder))
}

/// What a case says on its sheets: its newest task, plan and decision.
fn facts(folder: &Path, speaker: &Speaker, now: Timestamp) -> Result<PaperFacts<'static>, Refusal> {
    let case = Case::open(folder)?;
    let glance = case_view::view(folder, now)?;
    let (task, ladder) = task_and_ladder(&case)?;
    let standing = ladder.as_ref().map(|_| glance.rung.unwrap_or(0));
    let on = standing.and_then(|rung| ladder.as_ref()?.plan.rungs.iter().find(|one| one.number == rung));
    let place = ladder.as_ref().map(|ladder| ladder.place.clone());
    Ok(PaperFacts {
        alias: Some(glance.alias),
        task: task.as_ref().map(|task| task.name.clone()),
        correct: task.map(|task| task.correct),
        place: place.or_else(|| glance.places.first().map(|place| place.place.clone())),
        keep: glance.keep,
        rung: standing.map(|rung| RungWords {
            number: rung.to_string(),
            new: on.map(|rung| rung.set_up.clone()).unwrap_or_default(),
        }),
        decision: glance.decision.map(|decision| {
            let word = speaker.say(&format!("decision-{decision}"));
            glance.reason.as_ref().map_or_else(
                || word.clone(),
                |reason| {
                    speaker.say_with(
                        "decision-because",
                        &[("decision", Said::Words(word.clone())), ("reason", Said::Words(reason.clone()))],
                    )
                },
            )
        }),
        due: caseload::due_in(folder, reviews::read_date(&day(now))?),
        tries: on.map(|rung| rung.trials),
        minutes: on.map(|rung| whole_minutes(rung.minutes)),
        checklist: None,
        version: "",
        printed: Printed::default(),
    })
}

/// When a sheet is printed, and for which week.
#[derive(Clone, Copy, Debug)]
pub struct Printing {
    /// Now; the sheet's number follows from it.
    pub now: Timestamp,
    /// A day of the week that the sheet is for.
    pub day: Date,
}

/// What the sheet says of itself. One of no case is for any week and any rung.
fn printed(paper: Paper, facts: &PaperFacts<'_>, of_case: bool, printing: Printing) -> Printed {
    let alias = facts.alias.as_deref().unwrap_or_default();
    let seed = format!("{} {} {alias}", printing.now.as_nanosecond(), paper.name());
    let number = Sha256::digest(seed).iter().take(4).fold(0u32, |sum, &byte| (sum << 8) | u32::from(byte)) % 1_000_000;
    if !of_case {
        return Printed { number, ..Printed::default() };
    }
    let monday = monday_of(printing.day);
    let rung = facts.rung.as_ref().and_then(|rung| rung.number.parse().ok());
    Printed { alias_code: alias_code(alias), week: week_of(monday), monday: Some(monday), rung, number }
}

/// The Monday of a day's week.
pub fn monday_of(day: Date) -> Date {
    let back = i64::from(day.weekday().to_monday_zero_offset());
    day.checked_sub(back.days()).unwrap_or(day)
}

/// Weeks are counted from this Monday.
const WEEK_ZERO: Date = date(2024, 1, 1);

/// A Monday as sheets write it.
pub fn week_of(monday: Date) -> Option<u16> {
    let days = monday.since(WEEK_ZERO).ok()?.get_days();
    u16::try_from(days / 7).ok().filter(|week| *week < 4095)
}

/// The Monday that a sheet means.
pub fn monday_of_week(week: u16) -> Option<Date> {
    WEEK_ZERO.checked_add((i64::from(week) * 7).days()).ok()
}

/// Minutes of a sitting, to the whole minute.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between 0 and a day")]
fn whole_minutes(minutes: f64) -> u32 {
    minutes.clamp(0.0, 1440.0).round() as u32
}
