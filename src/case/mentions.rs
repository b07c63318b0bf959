//! Whether a record that goes out for one place gives away the name of another.
//!
//! Only what people type is looked at: the words of a checklist or a scale are the same for everybody.

use crate::contract::{RecordBody, RecordDoc};

/// Whether the words that somebody typed into this record name one of the `others`. A name inside the name of the place
/// itself ("table" where the place is "window table") is no mention.
pub(super) fn mentions(record: &RecordDoc, others: &[&str], place: &str) -> bool {
    let mut typed: Vec<&str> = record.by.as_deref().into_iter().collect();
    let answered = match &record.body {
        RecordBody::Audit(body) => typed_answers(&body.answers_text),
        RecordBody::Answers(body) => typed_answers(&body.answers_text),
        _ => Vec::new(),
    };
    typed.extend(answered.iter().map(String::as_str));
    match &record.body {
        // Without it a pack is no case.
        RecordBody::Child(_) => return false,
        RecordBody::Task(body) => {
            typed.extend([body.name.as_str(), &body.correct]);
            typed.extend(body.materials.iter().chain(&body.prompts).chain(&body.after_error).map(String::as_str));
        }
        RecordBody::Audit(body) => {
            typed.extend(body.figures.cautions.iter().map(|note| note.text.as_str()));
            typed.extend(body.figures.keep.iter().map(String::as_str));
        }
        RecordBody::Ladder(body) => {
            typed.extend(body.task.as_deref());
            typed.extend(body.why.as_deref());
            typed.extend(body.changed.iter().map(String::as_str));
            typed.extend(body.criterion.as_ref().map(|rule| rule.why.as_str()));
        }
        RecordBody::Session(body) => {
            typed.push(&body.note);
            typed.extend(body.exemplar.as_deref());
            typed.extend(body.task.as_deref());
            typed.extend([&body.details.reinforcer, &body.details.observer].into_iter().filter_map(Option::as_deref));
        }
        RecordBody::Place(body) => {
            typed.extend([&body.home, &body.seat, &body.learning_time].into_iter().filter_map(Option::as_deref));
        }
        RecordBody::Decision(body) => {
            typed.extend(body.reasons.iter().map(|note| note.text.as_str()));
            typed.extend(body.task.as_deref());
            typed.extend(body.why.as_deref());
        }
        RecordBody::Preference(body) => typed.extend(body.items.iter().map(|item| item.name.as_str())),
        RecordBody::ScreenTime(body) => typed.extend([&body.what, &body.with].into_iter().filter_map(Option::as_deref)),
        RecordBody::Observation(body) => {
            typed.push(&body.what);
            typed.extend(body.task.as_deref());
        }
        RecordBody::Need(body) => {
            typed.extend([body.seen.as_str(), &body.before]);
            typed.extend(
                [&body.serves, &body.offered, &body.room_for_it, &body.break_sign]
                    .into_iter()
                    .filter_map(Option::as_deref),
            );
        }
        RecordBody::DayPlan(body) => {
            typed.extend(body.slots.iter().map(|slot| slot.when.as_str()));
            typed.extend(body.slots.iter().filter_map(|slot| slot.what.as_deref()));
        }
        RecordBody::Forecast(body) => {
            typed.extend(body.task.as_deref());
            typed.extend(body.distractor.as_deref());
        }
        RecordBody::DaySound(body) => typed.push(&body.device),
        RecordBody::Possible(body) => {
            typed.extend(body.taken.iter().map(|taken| taken.why.as_str()));
            typed.extend(body.places.iter().map(|place| place.name.as_str()));
        }
        RecordBody::Note(body) => typed.push(&body.text),
        RecordBody::Answers(_) | RecordBody::Reading(_) | RecordBody::Sheet(_) => {}
        RecordBody::Correction(body) => typed.push(&body.why),
    }
    let place = place.to_lowercase();
    let others = others.iter().map(|other| other.to_lowercase()).filter(|other| !place.contains(other.as_str()));
    others.into_iter().any(|other| typed.iter().any(|text| has_words(&text.to_lowercase(), &other)))
}

/// What somebody typed into an answers file: the place, who answered, what stays, why something was not seen. The answers
/// themselves are the checklist's words.
fn typed_answers(answers: &str) -> Vec<String> {
    let Ok(table) = toml::from_str::<toml::Table>(answers) else { return vec![answers.to_owned()] };
    let mut typed = Vec::new();
    for key in ["place", "by", "keep", "reasons"] {
        match table.get(key) {
            Some(toml::Value::String(text)) => typed.push(text.clone()),
            Some(toml::Value::Array(texts)) => {
                typed.extend(texts.iter().filter_map(|text| Some(text.as_str()?.to_owned())))
            }
            Some(toml::Value::Table(texts)) => {
                typed.extend(texts.values().filter_map(|text| Some(text.as_str()?.to_owned())));
            }
            _ => {}
        }
    }
    typed
}

/// Whether `words` stand in `text` by themselves, not inside longer words.
fn has_words(text: &str, words: &str) -> bool {
    let inside = |sign: Option<char>| sign.is_some_and(|sign| sign.is_alphanumeric() || sign == '-' || sign == '_');
    !words.is_empty()
        && text
            .match_indices(words)
            .any(|(at, _)| !inside(text[..at].chars().next_back()) && !inside(text[at + words.len()..].chars().next()))
}

#[cfg(test)]
mod tests {
    use super::{has_words, typed_answers};

    #[test]
    fn of_an_answers_file_what_was_typed_counts_and_not_the_words_of_the_list() {
        let text = "place = \"desk\"\nby = \"aunt\"\nkeep = [\"bear\"]\n[answers]\nlight = \"window\"\n[reasons]\nfan = \"it was at nursery\"\n";
        assert_eq!(typed_answers(text), ["desk", "aunt", "bear", "it was at nursery"]);
    }

    #[test]
    fn a_name_is_found_as_words_only() {
        assert!(has_words("practised at nursery today", "nursery"));
        assert!(has_words("nursery", "nursery"));
        assert!(!has_words("nurseryman", "nursery"));
        assert!(!has_words("loose-things-on-table", "table"));
        assert!(!has_words("anything", ""));
    }
}
