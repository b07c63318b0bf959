//! A checklist on paper: its pages filled in, photographed, read, and the audit that comes of them beside the same answers typed.

use std::collections::BTreeMap;

use stillroom::checklist::{Checklist, Unit, parse, shipped};
use stillroom::language::{Language, Speaker};
use stillroom::paper::{Field, Kind, Label, Sheet};
use stillroom::report::papers::checklist_pages;

use super::commands::{Desk, label, photographed};
use crate::commands::root;

/// The circles that say these answers, by row.
fn marks(list: &Checklist, answers: &toml::Table) -> BTreeMap<u8, Vec<(Field, u16)>> {
    let mut found = BTreeMap::new();
    for (row, item) in (0u8..).zip(&list.items) {
        let Some(answer) = answers.get(item.id.as_str()) else { continue };
        let filled = match (&item.unit, answer) {
            (_, toml::Value::String(word)) if word == "not seen" => vec![(Field::Answer, Field::UNSEEN)],
            (Unit::Yes { .. }, answer) => vec![(Field::Answer, u16::from(!answer.as_bool().unwrap()))],
            (Unit::Choice(options), answer) => {
                let at = options.iter().position(|option| option.key == answer.as_str().unwrap()).unwrap();
                vec![(Field::Answer, u16::try_from(at).unwrap())]
            }
            (Unit::Count { .. }, answer) => {
                let count = u16::try_from(answer.as_integer().unwrap()).unwrap();
                let tens = (count >= 10).then_some((Field::Tens, count / 10 * 10));
                std::iter::once((Field::Ones, count % 10)).chain(tens).collect()
            }
        };
        found.insert(row, filled);
    }
    found
}

/// The pages of the list for Clover, each with the marks that fall on it.
fn photos(desk: &Desk, list: &Checklist, marks: &BTreeMap<u8, Vec<(Field, u16)>>, number: u32) -> Vec<String> {
    let first = Label { week: None, about: None, ..label(Kind::Checklist, number) };
    let pages: Vec<Sheet> = checklist_pages(list, first, &Speaker::new(Language::English));
    let mut names = Vec::new();
    for page in &pages {
        let rows: Vec<u8> = page.circles.iter().map(|circle| circle.row).collect();
        let on_it = marks.iter().filter(|(row, _)| rows.contains(row));
        let filled: Vec<(u8, Field, u16)> =
            on_it.flat_map(|(row, marks)| marks.iter().map(|(field, option)| (*row, *field, *option))).collect();
        let name = format!("page-{}.jpg", page.label.page + 1);
        std::fs::write(desk.0.path().join(&name), photographed(page, &filled, &[])).unwrap();
        names.push(name);
    }
    names
}

#[test]
fn a_checklist_of_several_pages_becomes_the_audit_that_its_answers_are() {
    let (_, text) = shipped().iter().find(|(id, _)| *id == "home-corner").unwrap();
    let list = parse(text, "home-corner").unwrap();
    let answers = std::fs::read_to_string(root().join("demo/answers-before.toml")).unwrap();
    let answers: String =
        answers.lines().filter(|line| !line.starts_with("keep")).map(|line| format!("{line}\n")).collect();
    let table: toml::Table = answers.parse().unwrap();
    let desk = Desk::new();
    let names = photos(&desk, &list, &marks(&list, table["answers"].as_table().unwrap()), 5_000);
    assert!(names.len() > 1, "{names:?}");
    let all: Vec<&str> = names.iter().map(String::as_str).collect();
    let words = |photos: &[&str], more: &[&str]| -> Vec<String> {
        [&["paper"], photos, &["--case", "clover", "--yes"], more].concat().iter().map(ToString::to_string).collect()
    };
    let run = |words: Vec<String>| desk.done(&words.iter().map(String::as_str).collect::<Vec<_>>());
    let refused = |words: Vec<String>| desk.refused(&words.iter().map(String::as_str).collect::<Vec<_>>());

    // A page too few, and no place said: refused by what is missing.
    let place = ["--place", "window table", "--by", "visitor"];
    let fewer = refused(words(&all[..all.len() - 1], &place));
    assert_eq!(fewer["code"], "page-missing");
    assert!(fewer["message"].as_str().unwrap().contains(&format!("page {}", all.len())), "{fewer}");
    assert_eq!(refused(words(&all[1..], &place))["code"], "page-missing");
    assert_eq!(refused(words(&all, &[]))["code"], "place");
    assert_eq!(desk.kinds(), ["child"]);

    let stored = run(words(&all, &place));
    assert_eq!(stored["stored"].as_array().unwrap().len(), 1 + all.len(), "{stored}");
    let mut kinds = desk.kinds();
    kinds.sort();
    let mut wanted = vec!["audit", "child"];
    wanted.extend(vec!["sheet"; all.len()]);
    assert_eq!(kinds, wanted);

    // The same answers typed give the same pulls, and nothing was left unanswered.
    std::fs::write(desk.0.path().join("answers.toml"), &answers).unwrap();
    let typed = desk.done(&["audit", "--checklist", "home-corner", "--answers", "answers.toml"]);
    let record = std::fs::read_dir(desk.0.path().join("clover"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .find(|path| path.to_string_lossy().contains("-audit-"))
        .unwrap();
    let record: toml::Table = std::fs::read_to_string(record).unwrap().parse().unwrap();
    let figures = &record["audit"]["figures"];
    for channel in ["seen", "heard", "company"] {
        let there = figures["channels"][channel]["pull"].as_float().unwrap();
        assert!((there - typed["channels"][channel]["pull"].as_f64().unwrap()).abs() < 1e-12, "{channel} {there}");
    }
    assert!(typed["pull"].as_f64().unwrap() > 0.5, "{typed}");
    assert_eq!(figures["place"].as_str(), Some("window table"));

    // All its pages are known from now on, and a single one of them too.
    assert!(run(words(&all, &place))["stored"].as_array().unwrap().is_empty());
    assert_eq!(run(words(&all[1..2], &place))["sheets"][0]["already"], true);
}
