//! Printable sheets, blank or with a case's own words.

use std::path::Path;

use jiff::Timestamp;

use crate::case::Case;
use crate::checklist::Checklist;
use crate::contract::{FormDoc, FormEntryDoc, FormsDoc, LadderBody, RecordBody, TaskBody};
use crate::language::{Language, Said, Speaker};
use crate::report::papers::{Paper, PaperFacts, RungWords, paper};
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
    now: Timestamp,
) -> Result<FormDoc, Refusal> {
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
    })
}

/// Minutes of a sitting, to the whole minute.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between 0 and a day")]
fn whole_minutes(minutes: f64) -> u32 {
    minutes.clamp(0.0, 1440.0).round() as u32
}
