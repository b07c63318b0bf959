//! Finding, checking and scoring checklists.

use std::io::Read;
use std::path::Path;
use std::sync::LazyLock;

use crate::checklist::{self, Answer, Answers, Checklist, Faults, Item, Scores, Unit};
use crate::contract::{
    ChecklistCheckDoc, ChecklistDoc, ChecklistEntryDoc, ChecklistsDoc, ItemDoc, NoteDoc, ScaleDoc, ScaleTableDoc,
    ScoreDoc, ScoreItemDoc, SurfaceDoc,
};
use crate::load::{Scale, ScaleTable};
use crate::words::did_you_mean;

use super::files::{Named, read_text, shown};
use super::refusal::Refusal;

/// A checklist with the text it was read from.
#[derive(Clone, Debug)]
pub struct ReadChecklist {
    /// What it says.
    pub list: Checklist,
    /// Its text, as stored with an audit.
    pub text: String,
}

/// The shipped checklists, read once.
static SHIPPED: LazyLock<Vec<ReadChecklist>> = LazyLock::new(|| {
    let read = |(id, text): &(&str, &str)| {
        let list = checklist::parse(text, id).ok()?;
        Some(ReadChecklist { list, text: (*text).to_owned() })
    };
    checklist::shipped().iter().filter_map(read).collect()
});

/// The shipped checklist of that id.
pub fn shipped(id: &str) -> Option<&'static ReadChecklist> {
    SHIPPED.iter().find(|one| one.list.id == id)
}

/// A shipped checklist by its id, or one's own by its file.
pub fn find(id_or_file: &str, stdin: &mut dyn Read) -> Result<ReadChecklist, Refusal> {
    if let Some(list) = shipped(id_or_file) {
        return Ok(list.clone());
    }
    let path = Path::new(id_or_file);
    let looks_like_file = id_or_file == "-"
        || crate::files::exists(path)
        || id_or_file.ends_with(".toml")
        || id_or_file.contains(['/', '\\']);
    if !looks_like_file {
        let ids = checklist::shipped().iter().map(|(id, _)| *id);
        return Err(Refusal::new(
            "no-such-checklist",
            format!("there is no checklist `{}`{}", shown(path), did_you_mean(id_or_file, ids)),
        )
        .hint("`stillroom checklist list` names the shipped ones; a list of your own is named by its file"));
    }
    read(&read_text(path, stdin)?)
}

/// Reads a checklist's text.
pub fn read(text: &Named<String>) -> Result<ReadChecklist, Refusal> {
    // Most audits carry a shipped list, and that is read already.
    if let Some(known) = SHIPPED.iter().find(|known| known.text == text.content) {
        return Ok(known.clone());
    }
    let list = checklist::parse(&text.content, &text.name)
        .map_err(|faults| faulty("checklist-faults", &text.name, &faults))?;
    Ok(ReadChecklist { list, text: text.content.clone() })
}

/// Reads answers to a checklist.
pub fn read_answers(text: &Named<String>, list: &Checklist) -> Result<Answers, Refusal> {
    checklist::parse_answers(&text.content, &text.name, list)
        .map_err(|faults| faulty("answers-faults", &text.name, &faults))
}

/// The shipped checklists.
pub fn list() -> ChecklistsDoc {
    let entry = |one: &ReadChecklist| ChecklistEntryDoc {
        id: one.list.id.clone(),
        title: one.list.title.clone(),
        items: one.list.items.len(),
    };
    ChecklistsDoc { checklists: SHIPPED.iter().map(entry).collect() }
}

/// A checklist, item by item.
pub fn document(list: &Checklist) -> ChecklistDoc {
    let item = |item: &Item| ItemDoc {
        id: item.id.to_string(),
        surface: item.surface.word().to_owned(),
        channel: item.channel.word().to_owned(),
        ask: item.ask.clone(),
        help: item.help.clone(),
        unit: match &item.unit {
            Unit::Count { .. } => "count",
            Unit::Choice(_) => "choice",
            Unit::Yes { .. } => "yes",
        }
        .to_owned(),
        options: match &item.unit {
            Unit::Choice(options) => options.iter().map(|option| (option.key.clone(), option.text.clone())).collect(),
            Unit::Count { .. } | Unit::Yes { .. } => Vec::new(),
        },
        alone: item.alone(),
        evidence: item.evidence.word().to_owned(),
        remedy: item.remedy.clone(),
        minutes: item.minutes,
        levels: item.levels.iter().map(|level| level.name.clone()).collect(),
    };
    ChecklistDoc { id: list.id.clone(), title: list.title.clone(), items: list.items.iter().map(item).collect() }
}

/// An answers file to fill in.
pub fn blank(list: &Checklist) -> String {
    checklist::blank_answers(list)
}

/// Reads a checklist and says what could be better.
pub fn check(text: &Named<String>) -> Result<ChecklistCheckDoc, Refusal> {
    let list = read(text)?.list;
    let advice = checklist::advice(&list)
        .iter()
        .map(|one| {
            let place = one.item().map_or_else(String::new, |item| format!("`{item}`: "));
            NoteDoc::new(one.code(), format!("{place}{}", one.text()))
        })
        .collect();
    Ok(ChecklistCheckDoc { id: list.id, items: list.items.len(), advice })
}

/// The shipped scale.
pub fn scale() -> ScaleDoc {
    let scale = Scale::shipped();
    let table = |table: &ScaleTable| ScaleTableDoc {
        name: table.name.to_owned(),
        evidence: table.evidence.map(|evidence| evidence.word().to_owned()),
        source: table.source.clone(),
        entries: table.entries.clone(),
    };
    ScaleDoc {
        hash: scale.hash().to_owned(),
        tables: scale.tables().iter().map(table).collect(),
        text: scale.text().to_owned(),
    }
}

/// The score of answers as a document.
pub fn score(list: &Checklist, answers: &Answers) -> ScoreDoc {
    let scores: Scores = checklist::score(list, answers);
    ScoreDoc {
        checklist: list.id.clone(),
        surfaces: scores
            .surfaces
            .iter()
            .map(|surface| SurfaceDoc {
                surface: surface.surface.word().to_owned(),
                load: surface.load.points(),
                pull: surface.pull.u(),
                items: surface
                    .items
                    .iter()
                    .map(|item| ScoreItemDoc {
                        id: item.id.to_string(),
                        answer: answer_value(&item.answer),
                        alone: item.alone,
                        pull: item.pull.u(),
                        share: item.share,
                    })
                    .collect(),
            })
            .collect(),
        pull: scores.pull.u(),
        load: scores.load.points(),
        unanswered: scores.unanswered.iter().map(ToString::to_string).collect(),
    }
}

/// An answer as it stands in an answers file.
pub(super) fn answer_value(answer: &Answer) -> serde_json::Value {
    match answer {
        Answer::Count(count) => (*count).into(),
        Answer::Yes(there) => (*there).into(),
        Answer::Option(key) => key.clone().into(),
        Answer::NotSeen => "not seen".into(),
    }
}

/// All faults of a file at once, so that one round of mending is enough.
fn faulty(code: &str, file: &str, faults: &Faults) -> Refusal {
    let hint = match faults.count() {
        1 => "mend this line and try again".to_owned(),
        count => format!("mend these {count} lines and try again"),
    };
    let first = faults.iter().next();
    let place = first.map_or_else(
        || file.to_owned(),
        |fault| match &fault.item {
            Some(item) => format!("{file}: line {}, item {item}", fault.line),
            None => format!("{file}: line {}", fault.line),
        },
    );
    Refusal::new(code, faults.to_string()).at(crate::words::printable(&place)).hint(hint)
}
