//! One audit: answers, a recording's reading and photos' readings become a load; and two audits are compared.

use std::path::Path;

use jiff::Timestamp;

use crate::case::{Case, Stored, id_of};
use crate::checklist::{Answers, Checklist};
use crate::contract::{
    AuditBody, AuditDoc, ChannelDoc, ChannelsDoc, CompareDoc, CompareItemDoc, DisagreementDoc, MovesDoc, NoteDoc,
    PhotoDoc, RecheckDoc, RecordBody, SensitivityDoc, ShareDoc, SoundDoc,
};
use crate::load::{self, Assessment, AuditInputs, Caution, PhotoReading, Scale, Sensitivity, SoundReading};
use crate::words::printable;

use super::cases::record;
use super::checklists::{self, ReadChecklist};
use super::files::Named;
use super::rechecks;
use super::refusal::Refusal;
use super::reviews;
use super::sensitivities;
use super::sounds::sound_level;

/// What an audit is made from.
#[derive(Clone, Debug)]
pub struct AuditRequest {
    /// The place, when it is not the one in the answers.
    pub place: Option<String>,
    /// The questions.
    pub checklist: ReadChecklist,
    /// The answers, as read.
    pub answers: Named<String>,
    /// What must stay in reach by the child's record, beside what the answers say.
    pub keep: Vec<String>,
    /// A recording's reading.
    pub sound: Option<SoundDoc>,
    /// The child's own sounds are in it.
    pub child_audible: bool,
    /// The photos' readings.
    pub photos: Vec<PhotoDoc>,
    /// Copies of the photos to keep, reduced and without metadata, as JPEG; none unless they were asked for.
    pub kept_photos: Vec<Vec<u8>>,
    /// Another scale than the shipped one.
    pub scale: Option<Named<String>>,
    /// Minutes there are for rearranging.
    pub minutes: f64,
    /// Sensitivities that the clinician set.
    pub sensitivity: Option<SensitivityDoc>,
    /// Only some items were asked, the others carried over.
    pub recheck: Option<RecheckDoc>,
}

/// What an audit found.
#[derive(Clone, Debug)]
pub struct AuditResult {
    /// The figures.
    pub figures: AuditDoc,
    /// The whole calculation, line by line.
    pub calculation: Vec<String>,
    /// The record to store.
    pub body: AuditBody,
    /// The copies of photos to store with it.
    pub kept_photos: Vec<Vec<u8>>,
}

/// Does one audit.
pub fn audit(request: AuditRequest) -> Result<AuditResult, Refusal> {
    if !(0.0..=1440.0).contains(&request.minutes) {
        return Err(Refusal::new("minutes", format!("{} minutes is no time for rearranging", request.minutes))
            .hint("give 0 to 1440"));
    }
    let scale = read_scale(request.scale.as_ref())?;
    let mut answers = checklists::read_answers(&request.answers, &request.checklist.list)?;
    keep_too(&mut answers.keep, &request.keep);
    let mut cautions = Vec::new();
    if let Some(place) = request.place {
        if place.trim().is_empty() {
            return Err(Refusal::new("place", "the place has no name")
                .hint("name it as in the other audits, such as --place \"window table\""));
        }
        if place != answers.place {
            let text = format!(
                "The answers say `{}`; the audit is stored for `{}`. Check that they are one place.",
                printable(&answers.place),
                printable(&place)
            );
            cautions.push(NoteDoc::new("other-place", text));
        }
        answers.place = place;
    }
    let evidence = Evidence::new(
        request.checklist.list,
        answers,
        &request.photos,
        request.sound.as_ref(),
        request.child_audible,
        scale,
        request.sensitivity,
    );
    cautions.extend(sensitivities::note(&evidence.sensitivity, evidence.set.as_ref()));
    let inputs = evidence.inputs();
    let found = load::assess(&inputs, request.minutes);
    let mut figures = figures(&found, &evidence, &mut cautions);
    figures.recheck = request.recheck;
    let mut calculation: Vec<String> = load::explain(&inputs, &found).iter().map(ToString::to_string).collect();
    calculation.push(load::explain_doubt(&inputs, &found));
    let body = AuditBody {
        figures: figures.clone(),
        sound: request.sound.map(with_short_history),
        child_audible: request.child_audible,
        photos: request.photos,
        kept_photos: request.kept_photos.iter().map(|jpeg| id_of(jpeg)).collect(),
        read_from: None,
        checklist_text: request.checklist.text,
        answers_text: request.answers.content,
        scale_text: evidence.scale.text().to_owned(),
    };
    figures.id = Case::name_for(&record(
        RecordBody::Audit(Box::new(body.clone())),
        &figures.date,
        Some(&figures.by),
        Timestamp::UNIX_EPOCH,
    ))?
    .id;
    Ok(AuditResult { figures, calculation, body, kept_photos: request.kept_photos })
}

/// What must stay in reach by one list and by another; in other capitals it is the same thing.
fn keep_too(keep: &mut Vec<String>, more: &[String]) {
    for name in more {
        if !keep.iter().any(|one| one.trim().to_lowercase() == name.trim().to_lowercase()) {
            keep.push(name.clone());
        }
    }
}

/// Longest level history kept in a record: ten minutes of 125 ms. A longer one would outweigh everything else in it.
const LONGEST_HISTORY: usize = 4800;

fn with_short_history(mut sound: SoundDoc) -> SoundDoc {
    if sound.history_laeq_db.len() > LONGEST_HISTORY {
        sound.history_laeq_db.clear();
    }
    sound
}

/// Stores an audit and gives its id; its photos first, so that no record names one that is not there.
pub fn store(case: &Case, result: &AuditResult, now: Timestamp) -> Result<String, Refusal> {
    let date = reviews::read_date(&result.figures.date)?;
    for jpeg in &result.kept_photos {
        case.add_photo(date, jpeg)?;
    }
    let body = RecordBody::Audit(Box::new(result.body.clone()));
    Ok(case.add(&record(body, &result.figures.date, Some(&result.figures.by), now))?.id)
}

/// The scale in a file, or the shipped one.
pub fn read_scale(text: Option<&Named<String>>) -> Result<Scale, Refusal> {
    let Some(text) = text else { return Ok(Scale::shipped()) };
    Scale::parse(&text.content, &text.name).map_err(|faults| {
        Refusal::new("scale-faults", faults.to_string())
            .at(text.name.clone())
            .hint("mend these lines; `stillroom checklist show scale` prints a scale that reads")
    })
}

/// Everything an audit's load rests on, owned.
#[derive(Clone, Debug)]
pub struct Evidence {
    /// The questions.
    pub checklist: Checklist,
    /// The answers.
    pub answers: Answers,
    /// The photos.
    pub photos: Vec<PhotoReading>,
    /// The recording.
    pub sound: Option<SoundReading>,
    /// The scale.
    pub scale: Scale,
    /// The child's sensitivities.
    pub sensitivity: Sensitivity,
    /// As the clinician set them, if so.
    pub set: Option<SensitivityDoc>,
}

impl Evidence {
    fn new(
        checklist: Checklist,
        answers: Answers,
        photos: &[PhotoDoc],
        sound: Option<&SoundDoc>,
        child_audible: bool,
        scale: Scale,
        set: Option<SensitivityDoc>,
    ) -> Self {
        let photos = photos
            .iter()
            .map(|doc| PhotoReading {
                name: doc.photo.name.clone(),
                busyness: doc.busyness,
                busyness_sd: doc.busyness_sd,
            })
            .collect();
        let sound = sound.map(|doc| SoundReading { level: sound_level(doc), child_audible });
        let sensitivity = sensitivities::of(set.as_ref(), &scale);
        Self { checklist, answers, photos, sound, scale, sensitivity, set }
    }

    /// The evidence of a stored audit, read again from its texts.
    pub fn stored(body: &AuditBody, name: &str) -> Result<Self, Refusal> {
        let checklist = checklists::read(&Named { name: name.to_owned(), content: body.checklist_text.clone() })?.list;
        let mut answers =
            checklists::read_answers(&Named { name: name.to_owned(), content: body.answers_text.clone() }, &checklist)?;
        answers.place.clone_from(&body.figures.place);
        keep_too(&mut answers.keep, &body.figures.keep);
        let scale = read_scale(Some(&Named { name: name.to_owned(), content: body.scale_text.clone() }))?;
        let set = body.figures.sensitivity.clone();
        Ok(Self::new(checklist, answers, &body.photos, body.sound.as_ref(), body.child_audible, scale, set))
    }

    /// As the load room takes it.
    pub fn inputs(&self) -> AuditInputs<'_> {
        AuditInputs {
            checklist: &self.checklist,
            answers: &self.answers,
            photos: &self.photos,
            sound: self.sound.as_ref(),
            scale: &self.scale,
            sensitivity: &self.sensitivity,
        }
    }
}

fn figures(found: &Assessment, evidence: &Evidence, cautions: &mut Vec<NoteDoc>) -> AuditDoc {
    let channel = |at: usize| ChannelDoc {
        pull: found.channels[at].pull.u(),
        pull_checklist: found.channels[at].checklist.u(),
        pull_measured: found.channels[at].measured.map(|pull| pull.u()),
    };
    cautions.extend(found.cautions.iter().map(caution));
    AuditDoc {
        id: String::new(),
        place: evidence.answers.place.clone(),
        date: evidence.answers.date.to_string(),
        by: evidence.answers.by.clone(),
        checklist: evidence.checklist.id.clone(),
        scale_hash: evidence.scale.hash().to_owned(),
        channels: ChannelsDoc { seen: channel(0), heard: channel(1), company: channel(2) },
        pull: found.pull.u(),
        keep: found.keep.clone(),
        load: found.load.points(),
        load_low: found.load_low.points(),
        load_high: found.load_high.points(),
        grade: found.grade.word().to_owned(),
        shares: found
            .shares
            .iter()
            .map(|share| ShareDoc {
                id: share.id.clone(),
                channel: share.channel.word().to_owned(),
                share: share.share,
                chance_largest: share.chance_largest,
                remedy: share.remedy.clone(),
                minutes: share.minutes,
            })
            .collect(),
        first_moves: MovesDoc {
            minutes: found.first_moves.minutes,
            ids: found.first_moves.ids.iter().map(ToString::to_string).collect(),
            load_after: found.first_moves.load_after.points(),
            takes_minutes: Some(found.first_moves.takes_minutes),
        },
        disagreements: found
            .disagreements
            .iter()
            .map(|one| DisagreementDoc {
                channel: one.channel.word().to_owned(),
                checklist: one.checklist.u(),
                measured: one.measured.u(),
                text: one.advice(),
            })
            .collect(),
        cautions: std::mem::take(cautions),
        unanswered: found.unanswered.iter().map(ToString::to_string).collect(),
        surfaces: checklists::score(&evidence.checklist, &evidence.answers).surfaces,
        reasons: evidence.answers.reasons.iter().map(|(id, reason)| (id.to_string(), reason.clone())).collect(),
        sensitivity: evidence.set.clone(),
        recheck: None,
        calculation: Vec::new(),
    }
}

fn caution(caution: &Caution) -> NoteDoc {
    NoteDoc::new(caution.code(), caution.text())
}

/// The audits of a case, oldest first, of one place if one is named.
pub fn audits(case: &Case, place: Option<&str>) -> Result<Vec<(Stored, AuditBody)>, Refusal> {
    let mut audits = every_audit(case)?;
    let Some(last) = audits.last() else { return Ok(audits) };
    let wanted = place.map_or_else(|| last.1.figures.place.clone(), ToOwned::to_owned);
    let places: Vec<String> = audits.iter().map(|(_, body)| body.figures.place.clone()).collect();
    audits.retain(|(_, body)| body.figures.place == wanted);
    if audits.is_empty() {
        return Err(Refusal::new(
            "no-such-place",
            format!(
                "no audit of `{}`{}",
                printable(&wanted),
                crate::words::did_you_mean(&wanted, places.iter().map(String::as_str))
            ),
        )
        .hint("`stillroom case list DIR` shows the audits there are"));
    }
    Ok(audits)
}

/// The audit of that id (or the start of one) or date; of several on one day the last.
pub fn pick<'a>(audits: &'a [(Stored, AuditBody)], wanted: &str) -> Result<&'a (Stored, AuditBody), Refusal> {
    let by_id: Vec<_> =
        audits.iter().filter(|(stored, _)| wanted.len() >= 4 && stored.name.id.starts_with(wanted)).collect();
    match by_id[..] {
        [one] => return Ok(one),
        [] => {}
        _ => {
            return Err(Refusal::new("ambiguous-id", format!("`{}` begins several audits' ids", printable(wanted)))
                .hint("give more of the id"));
        }
    }
    audits.iter().rev().find(|(stored, _)| stored.name.date.to_string() == wanted).ok_or_else(|| {
        Refusal::new("no-such-audit", format!("there is no audit `{}`", printable(wanted)))
            .hint("give a date such as 2026-10-05 or an id that `stillroom case list DIR` shows")
    })
}

/// Compares two audits of a case: those named, else the last two of the place.
pub fn compare_in_case(folder: &Path, wanted: &[String], place: Option<&str>) -> Result<CompareDoc, Refusal> {
    let case = Case::open(folder)?;
    let all = if wanted.is_empty() { audits(&case, place)? } else { every_audit(&case)? };
    let (before, after) = match wanted {
        [] => match &all[..] {
            [.., before, after] => (before, after),
            _ => {
                return Err(Refusal::new("too-few-audits", "comparing takes two audits of one place")
                    .hint("audit the place again after rearranging: `stillroom audit --case DIR …`"));
            }
        },
        [one] => {
            let last = all.last().ok_or_else(|| Refusal::new("too-few-audits", "the case holds no audit"))?;
            (pick(&all, one)?, last)
        }
        [first, second, ..] => (pick(&all, first)?, pick(&all, second)?),
    };
    compare(&before.1, &after.1)
}

/// Every audit of a case, oldest first.
pub fn every_audit(case: &Case) -> Result<Vec<(Stored, AuditBody)>, Refusal> {
    let found = case.standing(|kind| kind == "audit")?;
    Ok(found
        .records
        .into_iter()
        .filter_map(|stored| match stored.record.body.clone() {
            RecordBody::Audit(mut body) => {
                // Inside the record the id is left out, since it is the hash of that very text.
                body.figures.id.clone_from(&stored.name.id);
                Some((stored, *body))
            }
            _ => None,
        })
        .collect())
}

/// Compares two stored audits.
pub fn compare(before: &AuditBody, after: &AuditBody) -> Result<CompareDoc, Refusal> {
    let (first, second) = (Evidence::stored(before, "the first audit")?, Evidence::stored(after, "the second audit")?);
    let found = load::compare_carried(&first.inputs(), &second.inputs(), &rechecks::carried(before, after));
    let mut cautions: Vec<NoteDoc> = found.notes.iter().map(|note| NoteDoc::new(note.code(), note.text())).collect();
    cautions.extend(sensitivities::note(&second.sensitivity, second.set.as_ref()));
    Ok(CompareDoc {
        load_before: found.load_before.points(),
        load_after: found.load_after.points(),
        difference: found.difference,
        low: found.low,
        high: found.high,
        verdict: found.verdict.word().to_owned(),
        items: found
            .items
            .iter()
            .map(|item| CompareItemDoc { id: item.id.clone(), before: item.before.u(), after: item.after.u() })
            .collect(),
        cautions,
        sensitivity: second.set,
    })
}
