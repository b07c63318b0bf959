//! Agreement of two people: two answers files about one room, or two logs of the same sessions.

use crate::checklist::{self, Answers, Checklist};
use crate::contract::{AgreedItemDoc, AgreementDoc, AnswerSdDoc, NoteDoc, RetrainDoc};
use crate::load::Scale;
use crate::practice::{self, Agreement, AnswerPair, ItemAgreement, KappaReason, PracticeError};
use crate::words::{did_you_mean, printable};

use super::checklists::{self, ReadChecklist, answer_value};
use super::files::Named;
use super::refusal::Refusal;
use super::reviews::read_log;

/// How weighted kappa is weighted, and over what.
const VARIANT: &str = "linear weights over five classes: absent, then up to a quarter, half, three quarters and all of \
                       what the item can take at most";

/// Compares two files. `list` is needed only for answers to a checklist that is not a shipped one.
pub fn agree(
    first: &Named<String>,
    second: &Named<String>,
    list: Option<ReadChecklist>,
) -> Result<AgreementDoc, Refusal> {
    match (is_log(first), is_log(second)) {
        (true, true) => agree_logs(first, second),
        (false, false) => agree_answers(first, second, list),
        _ => Err(Refusal::new("two-kinds", format!("{} and {} are not of one kind", first.name, second.name))
            .at(second.name.clone())
            .hint("give two answers files (.toml) or two session logs (.csv)")),
    }
}

/// Whether a text is a session log: by its name, or else by what it begins with.
fn is_log(text: &Named<String>) -> bool {
    let name = text.name.to_lowercase();
    if name.ends_with(".csv") || name.ends_with(".toml") {
        return name.ends_with(".csv");
    }
    let first = text.content.lines().map(str::trim).find(|line| !line.is_empty() && !line.starts_with('#'));
    first.is_some_and(|line| line.contains(',') && !line.contains('='))
}

fn agree_logs(first: &Named<String>, second: &Named<String>) -> Result<AgreementDoc, Refusal> {
    let found =
        practice::agree_logs(&read_log(first)?, &read_log(second)?).map_err(|fault| refused(&fault, &second.name))?;
    Ok(document("sessions", &found))
}

fn agree_answers(
    first: &Named<String>,
    second: &Named<String>,
    list: Option<ReadChecklist>,
) -> Result<AgreementDoc, Refusal> {
    let list = match list {
        Some(read) => read.list,
        None => shipped(first)?,
    };
    let (one, other) = (checklists::read_answers(first, &list)?, checklists::read_answers(second, &list)?);
    let plain = practice::agree_answers(&one, &other, Some(&list)).map_err(|fault| refused(&fault, &second.name))?;
    let found = practice::agree_items(&one, &other, &list);
    let mut doc = document("answers", &plain);
    doc.kappa_weighted = found.weighted.and_then(Result::ok);
    doc.kappa_weighted_reason = found.weighted.and_then(Result::err).map(|reason| reason.code().to_owned());
    doc.kappa_weighted_variant = Some(VARIANT.to_owned());
    doc.kappa_weighted_n = found.weighted_n;
    let assumed = Scale::shipped().doubt().answer_other;
    doc.answer_sd =
        found.answer_sd.map(|sd| AnswerSdDoc { observed: sd.observed, low: sd.low, high: sd.high, assumed, n: sd.n });
    doc.items = found.pairs.iter().map(item).collect();
    doc.retrain = retrain(&found, &list);
    doc.cautions.extend(cautions(&one, &other, &found, assumed));
    Ok(doc)
}

/// The shipped checklist that a text answers; its strict reading comes after.
fn shipped(text: &Named<String>) -> Result<Checklist, Refusal> {
    let fault = |message: String, hint: &str| Refusal::new("answers-faults", message).at(text.name.clone()).hint(hint);
    let table: toml::Table = text.content.parse().map_err(|_| {
        fault(
            format!("{} is no answers file: it is not TOML", printable(&text.name)),
            "give two answers files, or two session logs whose names end in .csv",
        )
    })?;
    let id = table.get("checklist").and_then(toml::Value::as_str).unwrap_or_default();
    match checklist::shipped().iter().find(|(shipped, _)| *shipped == id) {
        Some((name, content)) => {
            Ok(checklists::read(&Named { name: (*name).to_owned(), content: (*content).to_owned() })?.list)
        }
        None => {
            let hint = did_you_mean(id, checklist::shipped().iter().map(|(shipped, _)| *shipped));
            Err(fault(
                format!(
                    "{} answers the checklist `{}`, which is none of the shipped ones{hint}",
                    printable(&text.name),
                    printable(id)
                ),
                "name the checklist's file with --checklist",
            ))
        }
    }
}

fn refused(fault: &PracticeError, name: &str) -> Refusal {
    Refusal::new(fault.code(), fault.to_string()).at(name).hint(fault.hint())
}

fn document(kind: &str, found: &Agreement) -> AgreementDoc {
    let mut cautions = Vec::new();
    if let Some(reason) = found.kappa_reason {
        cautions.push(NoteDoc::new(reason.code(), reason.text()));
    }
    AgreementDoc {
        kind: kind.to_owned(),
        n: found.n,
        agreement_percent: found.agreement_percent,
        kappa: found.kappa,
        kappa_reason: found.kappa_reason.map(|reason| KappaReason::code(reason).to_owned()),
        count_agreement_percent: found.count_agreement_percent,
        kappa_weighted: None,
        kappa_weighted_reason: None,
        kappa_weighted_variant: None,
        kappa_weighted_n: 0,
        answer_sd: None,
        reaches_standard: found.reaches_standard(),
        items: Vec::new(),
        retrain: Vec::new(),
        cautions,
    }
}

fn item(pair: &AnswerPair) -> AgreedItemDoc {
    AgreedItemDoc {
        id: pair.id.to_string(),
        first: answer_value(&pair.first),
        second: answer_value(&pair.second),
        agree: pair.agree,
        pull_difference: pair.pull_difference,
    }
}

/// The items on which the two differ, the widest apart in pull first.
fn retrain(found: &ItemAgreement, list: &Checklist) -> Vec<RetrainDoc> {
    let mut apart: Vec<&AnswerPair> = found.pairs.iter().filter(|pair| !pair.agree).collect();
    apart.sort_by(|a, b| b.pull_difference.abs().total_cmp(&a.pull_difference.abs()).then_with(|| a.id.cmp(&b.id)));
    apart
        .into_iter()
        .map(|pair| {
            let help = list.item(&pair.id).and_then(|item| item.help.clone()).unwrap_or_default();
            let text =
                format!("{} against {}. Look at it together and say what counts. {help}", pair.first, pair.second);
            RetrainDoc { id: pair.id.to_string(), text: text.trim().to_owned() }
        })
        .collect()
}

fn cautions(one: &Answers, other: &Answers, found: &ItemAgreement, assumed: f64) -> Vec<NoteDoc> {
    let mut notes = Vec::new();
    let mut note = |code: &str, text: String| notes.push(NoteDoc::new(code, text));
    if one.by.trim() == other.by.trim() {
        let by = printable(&one.by);
        note(
            "same-person",
            format!("Both files are by `{by}`. This is how well one person repeats, not how well two agree."),
        );
    }
    if one.place != other.place || one.date != other.date {
        note(
            "not-one-visit",
            "The two files are not about one place on one day; what changed in between counts here as disagreement."
                .to_owned(),
        );
    }
    if !found.only_one.is_empty() {
        let ids: Vec<String> = found.only_one.iter().map(|id| printable(id.as_str())).collect();
        note("only-one", format!("Answered by only one of the two, so left out: {}.", ids.join(", ")));
    }
    match &found.answer_sd {
        None => note(
            "too-few",
            "Fewer than three items in which both saw something: how unsure an answer is cannot be told.".to_owned(),
        ),
        Some(sd) if sd.low > assumed => note(
            "answers-vaguer",
            format!(
                "These two differ more than the scale assumes ({:.2} against {assumed:.2}): comparisons between them are less sure than they say. Train the items below, or set `answer_other` in a scale of your own.",
                sd.observed
            ),
        ),
        Some(_) => {}
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::is_log;
    use crate::tasks::Named;

    #[test]
    fn a_log_is_known_by_its_name_or_else_by_its_first_line() {
        let log = |name: &str, content: &str| is_log(&Named { name: name.to_owned(), content: content.to_owned() });
        assert!(log("a.CSV", "") && !log("a.toml", "date,rung"));
        assert!(log("standard input", "\n# mine\ndate,rung,opportunities\n"));
        assert!(!log("standard input", "format = \"stillroom.answers/1\"\n") && !log("standard input", ""));
    }
}
