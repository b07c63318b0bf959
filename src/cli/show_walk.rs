//! The questions of a walk as they stand on the screen: one at a time, large, with where one is and what can be typed.

use crate::checklist::{Answer, Checklist, Item, Question, Unit, Walk, accepts};
use crate::words::{Channel, Surface};

use super::paint::{bold, wrapped};

/// What can be typed at every question.
const COMMANDS: &str = "b back · s skip (s and a reason) · k this must stay · ? help · q stop and keep";

/// What is said before the first question.
pub(super) fn opening(list: &Checklist, count: usize) -> String {
    let mut out = format!("\n{}\n", bold(&list.title));
    out.push_str(&wrapped(
        "",
        &format!(
            "{count} questions, one surface at a time. Sit where the child sits, at the child's eye height. What cannot be seen is skipped, never guessed."
        ),
    ));
    out.push_str(&wrapped("", COMMANDS));
    out
}

/// One question. The surface is announced when it begins, and after going back.
pub(super) fn question(question: &Question<'_>) -> String {
    let item = question.item;
    let here = format!("{}, {} of {}", surface(item.surface), question.on_surface, question.of_surface);
    let mut out = String::from("\n");
    if question.on_surface == 1 {
        out.push_str(&format!("{}\n\n", bold(&format!("──── {} ────", surface(item.surface)))));
    }
    out.push_str(&format!("item {} of {} · {here}\n\n", question.number, question.of));
    for line in wrapped("  ", &item.ask).lines() {
        out.push_str(&format!("{}\n", bold(line)));
    }
    out.push_str(&wrapped("  ", item.help.as_deref().unwrap_or_else(|| line_of_help(item))));
    if let Unit::Choice(options) = &item.unit {
        for (number, option) in options.iter().enumerate() {
            out.push_str(&wrapped(&format!("    {}  ", number + 1), &option.text));
        }
    }
    let so_far = match (question.kept, question.given) {
        (true, _) => " So far: this must stay; Enter leaves it.".to_owned(),
        (false, Some(answer)) => format!(" So far: {}; Enter leaves it.", said(item, answer, question.reason)),
        (false, None) => String::new(),
    };
    out.push_str(&wrapped("  ", &format!("{}{so_far}", accepts(item))));
    out.push_str("> ");
    out
}

/// More help on one question.
pub(super) fn help(item: &Item) -> String {
    let mut out = String::from("\n");
    let kind = match &item.unit {
        Unit::Count { .. } => "Count what is there now, as it usually is at this hour. Above twenty, a guess will do.",
        Unit::Yes { .. } => "Yes if it is so at the time the child practises.",
        Unit::Choice(_) => "Choose the option that fits best; between two, the busier one.",
    };
    out.push_str(&wrapped("  ", kind));
    out.push_str(&wrapped("  ", "The child's way of talking, picture schedule, comfort or fidget things, glasses, hearing aid and ear defenders are never counted. If this very thing must stay, type k."));
    out.push_str(&wrapped("  ", &format!("What helps later: {}", item.remedy)));
    out.push_str(&wrapped("  ", &format!("{} An empty line leaves an answer as it is.", accepts(item))));
    out.push_str(&wrapped("  ", COMMANDS));
    out
}

/// What stands at the end, before the walk is done.
pub(super) fn ending(walk: &Walk) -> String {
    let skipped = walk.answers().values().filter(|answer| **answer == Answer::NotSeen).count();
    let answered = walk.answers().len() - skipped;
    let stay = walk.len() - walk.answers().len();
    let mut parts = vec![format!("{answered} answered"), format!("{skipped} not seen")];
    if stay > 0 {
        parts.push(format!("{stay} must stay"));
    }
    let mut out = format!("\n{}\n", bold(&format!("All {} asked: {}.", walk.len(), parts.join(", "))));
    out.push_str("Enter to finish, b to go back, or the number of an item to see it again.\n> ");
    out
}

fn said(item: &Item, answer: &Answer, reason: Option<&str>) -> String {
    match (answer, &item.unit) {
        (Answer::Option(key), Unit::Choice(options)) => {
            let place = options.iter().position(|option| option.key == *key);
            place.map_or_else(|| key.clone(), |place| format!("{} ({})", place + 1, options[place].text))
        }
        (Answer::NotSeen, _) => reason.map_or_else(|| "not seen".to_owned(), |reason| format!("not seen ({reason})")),
        _ => answer.to_string(),
    }
}

const fn surface(surface: Surface) -> &'static str {
    match surface {
        Surface::Table => "the table",
        Surface::Floor => "the floor",
        Surface::Wall => "walls, shelves, windows",
        Surface::Air => "what is heard or smelt",
        Surface::Company => "who is there",
    }
}

/// A line of help where the checklist gives none.
const fn line_of_help(item: &Item) -> &'static str {
    match (item.channel, &item.unit) {
        (Channel::Seen, Unit::Count { .. }) => "Count only what can be seen or reached from the child's chair.",
        (Channel::Seen, _) => "Look from the child's chair.",
        (Channel::Heard, _) => "Be silent for a moment at the child's chair. The child's own sounds do not count.",
        (Channel::Company, _) => "Think of the hour at which the child practises.",
    }
}
