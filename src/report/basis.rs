//! What the report rests on: cautions, what was not measured, the calculation, the constants, sources, privacy.

use maud::{Markup, html};

use super::page::{Scope, table};
use super::{AuditView, CaseReport, say};
use crate::contract::{AuditDoc, NoteDoc};
use crate::words::{Evidence, printable};

/// Everything to mind, by where it arose.
pub(crate) fn cautions(report: &CaseReport<'_>, scope: Scope) -> Markup {
    let mut groups: Vec<(String, Vec<NoteDoc>)> = vec![("The audit".to_owned(), report.now.audit.cautions.clone())];
    groups.push((
        "Checklist against measurement".to_owned(),
        report
            .now
            .audit
            .disagreements
            .iter()
            .map(|one| {
                let words = format!(
                    "{}: the checklist gives a pull of {}, the measurement {}. {}",
                    say::capital(&printable(&one.channel)),
                    say::fixed(one.checklist, 2),
                    say::fixed(one.measured, 2),
                    one.text
                );
                NoteDoc::new("disagreement", words)
            })
            .collect(),
    ));
    groups.extend(measured(&report.now));
    if let Some(compare) = report.compare {
        groups.push(("The comparison".to_owned(), compare.cautions.clone()));
    }
    if let Some(ladder) = report.ladder.filter(|_| scope == Scope::Case) {
        groups.push(("The ladder".to_owned(), ladder.cautions.clone()));
    }
    groups.retain(|(_, notes)| !notes.is_empty());
    html! {
        @if groups.is_empty() { p { "No caution arose from the answers or the measurements." } }
        @for (heading, notes) in &groups {
            h3 { (heading) }
            ul.notes { @for note in notes { li { (note.text) " " span.code { (printable(&note.code)) } } } }
        }
        p { "Local rules and the judgement of licensed clinicians come before anything in this report. It does not \
            diagnose, does not compare children and promises nothing." }
    }
}

fn measured(view: &AuditView<'_>) -> Vec<(String, Vec<NoteDoc>)> {
    let mut groups = Vec::new();
    if let Some(sound) = view.sound {
        groups.push(("The recording".to_owned(), sound.quality.warnings.clone()));
    }
    for photo in &view.photos {
        groups.push((format!("Photo {}", printable(&photo.doc.photo.name)), photo.doc.quality.warnings.clone()));
    }
    groups
}

/// What was not measured, said plainly.
pub(crate) fn missing(report: &CaseReport<'_>, scope: Scope) -> Markup {
    let view = &report.now;
    let asked = |id: &String| view.asks.get(id).map_or_else(|| say::capital(&report.name(id)), Clone::clone);
    let mut gaps: Vec<&str> = Vec::new();
    match view.sound {
        None => gaps.push("Sound: no recording."),
        Some(sound) => {
            if sound.calibration.kind == "none" {
                gaps.push(
                    "How loud the room is: the device was not calibrated, so there is no level re 20 µPa and \
                    no noise criterion.",
                );
            }
            if sound.margin.is_none() {
                gaps.push("The listening margin: no voice was recorded beside the background.");
            }
            if sound.decay.is_none() {
                gaps.push("Decay time: not asked for.");
            }
        }
    }
    if view.photos.is_empty() {
        gaps.push("How busy the room looks in pictures: no photo.");
    }
    if report.before.is_none() {
        gaps.push("Change: there is no earlier audit of this place to compare with.");
    }
    if scope == Scope::Case {
        if report.ladder.is_none() {
            gaps.push("The ladder: not planned yet.");
        }
        if report.sessions.is_empty() {
            gaps.push("Practice: no session recorded.");
        }
    }
    gaps.push(
        "Where anyone looks, how the child feels here, and what attention is like elsewhere: this tool \
        cannot measure that.",
    );
    html! {
        @if view.audit.unanswered.is_empty() {
            p { "Every question of the checklist has an answer." }
        } @else {
            p { "Without an answer, and therefore not counted (the upper end of the interval allows for them):" }
            ul { @for id in &view.audit.unanswered { li { (asked(id)) } } }
        }
        ul { @for gap in gaps { li { (gap) } } }
    }
}

/// The calculation, the answers, the constants.
pub(crate) fn worked_out(report: &CaseReport<'_>) -> Markup {
    let audit = report.now.audit;
    html! {
        p { (format!("Every distractor alone would take a share p of attention. What is left after several is the \
            product of what each leaves, so the pulls u\u{a0}=\u{a0}−ln(1\u{a0}−\u{a0}p) add, and the load is \
            100\u{a0}(1\u{a0}−\u{a0}exp(−U)) with U the sum of the pulls, here {}.", say::fixed(audit.pull, 3))) }
        @if !report.calculation.is_empty() {
            ol.calculation { @for line in &report.calculation { li { (line) } } }
        }
        h3 { "The answers" }
        @if audit.surfaces.iter().all(|surface| surface.items.is_empty()) {
            p.missing { "Not measured: no answer is kept." }
        } @else {
            (answers(report, audit))
        }
        h3 { "The numbers it rests on" }
        @if report.constants.is_empty() {
            p.missing { "No constants were handed over with this report." }
        } @else {
            p { "Evidence: standard, a published standard; published, a paper's measure; practice, common practice \
                without a source; convention, this tool's own choice." }
            (constants(report))
        }
        p.quiet { (format!("Audit {}; scale {}.", printable(&audit.id), printable(&audit.scale_hash))) }
    }
}

fn answers(report: &CaseReport<'_>, audit: &AuditDoc) -> Markup {
    let view = &report.now;
    let rows: Vec<Vec<Markup>> = audit
        .surfaces
        .iter()
        .flat_map(|surface| &surface.items)
        .map(|item| {
            let answer = view.answers.get(&item.id).cloned().unwrap_or_else(|| match &item.answer {
                serde_json::Value::String(text) => text.clone(),
                serde_json::Value::Bool(true) => "yes".to_owned(),
                serde_json::Value::Bool(false) => "no".to_owned(),
                other => other.to_string(),
            });
            vec![
                html! { (view.asks.get(&item.id).map_or_else(|| say::capital(&report.name(&item.id)), Clone::clone)) },
                html! { (answer) },
                html! { (say::fixed(item.alone, 1)) },
                html! { (say::fixed(item.pull, 3)) },
            ]
        })
        .collect();
    table(
        "The checklist's answers and what each would take \
        alone",
        &["Question", "Answer", "Alone, %", "Pull"],
        &rows,
    )
}

fn constants(report: &CaseReport<'_>) -> Markup {
    let rows: Vec<Vec<Markup>> = report
        .constants
        .iter()
        .map(|one| {
            let source = match (one.source.is_empty(), one.evidence) {
                (false, _) => one.source.as_str(),
                (true, Evidence::Practice) => "common practice, no source",
                (true, _) => "–",
            };
            vec![html! { (one.name) }, html! { (one.value) }, html! { (one.evidence) }, html! { (source) }]
        })
        .collect();
    table("Constants with their evidence", &["Number", "Value", "Evidence", "Source"], &rows)
}

const SOUND_SOURCES: [&str; 5] = [
    "ANSI/ASA S12.60, Acoustical performance criteria, design requirements, and guidelines for schools: background \
        level and decay time of classrooms.",
    "Berglund B, Lindvall T, Schwela DH (1999). Guidelines for Community Noise. World Health Organization: \
        classrooms, dwellings, bedrooms, speech over background.",
    "Department for Education (2015). Building Bulletin 93, Acoustic design of schools: performance standards. \
        United Kingdom: rooms for special hearing or communication needs.",
    "ANSI/ASA S12.2, Criteria for evaluating room noise: the noise criterion curves. ISO/R 1996:1971: noise rating.",
    "IEC 61672-1 (weightings), IEC 61260-1 (bands), ISO 3382-2 (decay).",
];

const PHOTO_SOURCES: [&str; 4] = [
    "Fisher AV, Godwin KE, Seltman H (2014). Visual environment, attention allocation, and learning in young \
        children: when too much of a good thing may be bad. Psychological Science 25(7), 1362–1370.",
    "Godwin KE, Leroux AJ, Scupelli P, Fisher AV (2022). Mind, Brain, and Education 16(3), 239–251: less on-task \
        behaviour with more visual noise, and with either few or many displays.",
    "Remington A and others (2019). Research in Developmental Disabilities 85, 197–204: autistic children recalled \
        more of irrelevant backgrounds and kept the story; simplifying may not be the answer.",
    "Rosenholtz R, Li Y, Nakano L (2007). Measuring visual clutter. Journal of Vision 7(2), 17: the idea behind \
        the measure of clutter, here simplified.",
];

const PRACTICE_SOURCES: [&str; 3] = [
    "Parker RI, Vannest K (2009). An improved effect size for single-case research: nonoverlap of all pairs. \
        Behavior Therapy 40, 357–367; interval after Newcombe RG (2006), Statistics in Medicine 25, 559–573.",
    "Tarlow KR (2017). Behavior Modification 41, 427–467: baseline-corrected tau. Pustejovsky JE (2018). Journal \
        of School Psychology 68, 99–112: log response ratio. Sen PK (1968). Journal of the American Statistical \
        Association 63, 1379–1389: slope.",
    "Fuller JL, Fienup DM (2018). Behavior Analysis in Practice 11, 1–8, and Longino E and others (2022), 15, \
        397–405: mastery at 90 % keeps better than at 80 %.",
];

/// Published work that this report's figures or orientation values come from.
pub(crate) fn sources(report: &CaseReport<'_>) -> Markup {
    let mut shown: Vec<&str> = Vec::new();
    if report.now.sound.is_some() {
        shown.extend(SOUND_SOURCES);
    }
    if !report.now.photos.is_empty() {
        shown.extend(PHOTO_SOURCES);
    }
    if report.review.is_some() {
        shown.extend(PRACTICE_SOURCES);
    }
    html! {
        @if shown.is_empty() {
            p { "This report shows no measurement that rests on published work; its constants are listed above \
                with their evidence." }
        } @else {
            ul.sources { @for source in shown { li { (source) } } }
        }
        p.note { "No study links these figures, or any measure of a room, to the attention of one young autistic \
            child at home. That is why practice, and not the load, decides." }
    }
}

/// What is in the file, and how to keep it.
pub(crate) fn privacy(report: &CaseReport<'_>) -> Markup {
    let photos = report
        .now
        .photos
        .iter()
        .chain(report.before.iter().flat_map(|view| &view.photos))
        .any(|photo| !photo.jpeg.is_empty());
    html! {
        p { "This page holds no name and no birth date, only an alias. It is one file, complete in itself: opening \
            it sends nothing and fetches nothing. "
            @if photos { "The photos of the home stand inside it, without their metadata; whoever has the file has \
                the photos. " }
            "Keep it as you keep health papers, and give it only to those whom the family has chosen." }
    }
}
