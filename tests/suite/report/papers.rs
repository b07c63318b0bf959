//! Papers and the words of languages: complete, sound, blank where nothing is known, turned where a language turns.

use std::collections::{BTreeMap, BTreeSet};

use stillroom::checklist::{Checklist, parse, shipped};
use stillroom::language::{Language, Speaker, faults, messages, told_sentences};
use stillroom::report::papers::{Paper, PaperFacts, Printed, RungWords, paper};

use super::page::{nested, tags};

const EVERY: [Language; 4] = [Language::English, Language::Spanish, Language::Longer, Language::Mirrored];

fn facts() -> PaperFacts<'static> {
    PaperFacts {
        alias: Some("Clover".to_owned()),
        task: Some("puzzle of six pieces".to_owned()),
        correct: Some("Puts a piece into its place.".to_owned()),
        place: Some("window table".to_owned()),
        keep: vec!["picture schedule".to_owned()],
        rung: Some(RungWords { number: "3".to_owned(), new: "three toys on the shelf".to_owned() }),
        decision: Some("stay on this rung".to_owned()),
        due: vec!["a maintenance probe of rung 1".to_owned()],
        tries: Some(10),
        minutes: Some(12),
        checklist: None,
        version: "0.0.0",
        printed: Printed {
            alias_code: 7,
            week: Some(151),
            monday: Some(jiff::civil::date(2026, 11, 23)),
            rung: Some(3),
            number: 482_391,
        },
    }
}

fn lists() -> Vec<Checklist> {
    shipped().iter().map(|(id, text)| parse(text, id).unwrap()).collect()
}

/// The text of a page between its tags, without its style.
fn text(page: &str) -> String {
    let body = &page[page.find("<body").unwrap()..];
    let mut out = String::new();
    let mut inside = false;
    for sign in body.chars() {
        match sign {
            '<' => inside = true,
            '>' => {
                inside = false;
                out.push(' ');
            }
            _ if !inside => out.push(sign),
            _ => {}
        }
    }
    out
}

#[test]
fn every_language_has_every_message_and_no_file_has_a_fault() {
    // The shipped checklists hold their own English words; other languages bring theirs as messages.
    let of_lists = |name: &String| shipped().iter().any(|list| name.starts_with(list.0));
    let names = |language| messages(language).into_iter().filter(|name| !of_lists(name)).collect::<BTreeSet<String>>();
    let english = names(Language::English);
    assert!(english.len() > 100);
    for language in Language::SPOKEN {
        assert_eq!(faults(language), Vec::<String>::new());
        let own = names(language);
        assert_eq!(english.difference(&own).collect::<Vec<_>>(), Vec::<&String>::new(), "missing in {language}");
        assert_eq!(own.difference(&english).collect::<Vec<_>>(), Vec::<&String>::new(), "only in {language}");
    }
}

#[test]
fn the_values_in_a_message_are_the_same_in_every_language() {
    let values = |language: Language| -> BTreeMap<String, BTreeSet<String>> {
        let speaker = Speaker::new(language);
        let unsaid = |name: &String| {
            let said = speaker.say(name);
            let parts = said.match_indices("{$").map(|(at, _)| said[at..].split('}').next().unwrap().to_owned());
            (name.clone(), parts.collect())
        };
        let told = told_sentences(language).into_iter().map(|(name, text)| {
            let parts = text.match_indices("{$").map(|(at, _)| text[at..].split('}').next().unwrap().to_owned());
            (name, parts.collect())
        });
        messages(language).iter().map(unsaid).chain(told).collect()
    };
    let english = values(Language::English);
    let asking = english.values().filter(|values| !values.is_empty()).count();
    assert!(asking > 20, "{asking}");
    let spanish = values(Language::Spanish);
    for (name, wanted) in &english {
        assert_eq!(spanish.get(name), Some(wanted), "{name}");
    }
}

#[test]
fn every_paper_is_whole_in_every_language() {
    for language in EVERY {
        let speaker = Speaker::new(language);
        for list in lists() {
            for (what, filled) in [("blank", PaperFacts::default()), ("filled", facts())] {
                for one in Paper::ALL {
                    let page = paper(
                        one,
                        &PaperFacts { checklist: Some(&list), version: "0.0.0", ..filled.clone() },
                        &speaker,
                    );
                    let name = format!("{} {what} {language}", one.name());
                    nested(&page);
                    assert!(
                        page.contains(&format!("lang=\"{}\" dir=\"{}\"", language.page_tag(), language.direction())),
                        "{name}"
                    );
                    assert!(!page.contains("://") && !page.contains("<script"), "{name}");
                    let text = text(&page);
                    assert!(!text.contains('[') && !text.contains("{$"), "{name}: a message is missing: {text}");
                    let headings = tags(&page).iter().filter(|(closing, tag, _)| !closing && tag == "h1").count();
                    assert_eq!(headings, 1, "{name}");
                }
            }
        }
    }
}

#[test]
fn a_paper_carries_the_words_of_its_case() {
    let speaker = Speaker::new(Language::English);
    let filled = facts();
    for (one, words) in [
        (Paper::SessionSheet, ["Clover", "puzzle of six pieces", "Rung 3: three toys on the shelf"]),
        (Paper::PracticePlan, ["picture schedule", "Rung 3: three toys on the shelf", "12"]),
        (Paper::DoorstepSheet, ["stay on this rung", "a maintenance probe of rung 1", "window table"]),
    ] {
        let page = paper(one, &filled, &speaker);
        for word in words {
            assert!(page.contains(word), "{}: {word}", one.name());
        }
        let blank = paper(one, &PaperFacts::default(), &speaker);
        assert!(!blank.contains("Clover") && blank.contains("class=\"line\""));
    }
}

#[test]
fn no_latin_letter_is_left_in_a_mirrored_paper_but_what_is_typed() {
    let speaker = Speaker::new(Language::Mirrored);
    for one in Paper::ALL {
        let list = lists().remove(0);
        let page =
            paper(one, &PaperFacts { checklist: Some(&list), version: "0.0.0", ..PaperFacts::default() }, &speaker);
        let text = text(&page);
        // A command line is typed as it is in every language; the letters of a table are its own names.
        let text = text.replace("stillroom audit --checklist home-corner", "");
        let left: String = text.chars().filter(|sign| sign.is_ascii_lowercase()).collect();
        assert_eq!(left, "", "{}", one.name());
    }
}

#[test]
fn a_checklist_of_a_language_is_in_that_language() {
    for list in lists() {
        let say = |language| {
            let facts = PaperFacts { checklist: Some(&list), ..PaperFacts::default() };
            text(&paper(Paper::Checklist, &facts, &Speaker::new(language)))
        };
        let (english, spanish) = (say(Language::English), say(Language::Spanish));
        for item in &list.items {
            assert!(english.contains(&item.ask), "{}", item.id);
            assert!(!spanish.contains(&item.ask), "{}: {} is not translated", list.id, item.id);
        }
    }
}
