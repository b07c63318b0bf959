//! docs/WORKED.md is redone: its calculations by a calculator, its figures by the program, and its list of sets.

use std::collections::HashMap;

use stillroom::checklist::{parse, parse_answers};
use stillroom::load::{
    AuditInputs, PhotoReading, Scale, Sensitivity, SoundLevel, SoundReading, WorkLine, assess, explain,
};
use stillroom::quantity::Decibels;

use super::calculation::calculate;

const PAGE: &str = include_str!("../../../docs/WORKED.md");
/// The page's figures have six decimals and are made from figures of six decimals.
const SIX_DECIMALS: f64 = 2e-6;
/// A load multiplies that by a hundred and is printed with four.
const LOAD: f64 = 2e-4;

/// The page's blocks of TOML: the checklist and the answers.
fn blocks() -> Vec<&'static str> {
    PAGE.split("```toml\n").skip(1).map(|rest| rest.split("```").next().unwrap()).collect()
}

/// The rows of the page's tables, cell by cell.
fn rows() -> Vec<Vec<&'static str>> {
    let cells =
        |line: &'static str| line.trim_matches('|').split('|').map(|cell| cell.trim().trim_matches('`')).collect();
    PAGE.lines().filter(|line| line.starts_with('|') && !line.starts_with("|--")).map(cells).collect()
}

#[test]
fn the_worked_example_is_what_the_program_says() {
    let blocks = blocks();
    let list = parse(blocks[0], "docs/WORKED.md").unwrap();
    let answers = parse_answers(blocks[1], "docs/WORKED.md", &list).unwrap();
    let level = SoundLevel::Calibrated {
        laeq: Decibels::new(44.0),
        speech_share: 0.3,
        sd_db: 1.5,
        calibration: "meter".to_owned(),
    };
    let inputs = AuditInputs {
        checklist: &list,
        answers: &answers,
        photos: &[PhotoReading { name: "table.jpg".to_owned(), busyness: 50.0, busyness_sd: 1.0 }],
        sound: Some(&SoundReading { level, child_audible: false }),
        scale: &Scale::shipped(),
        sensitivity: &Sensitivity::new(1.0, 1.5, 1.0).unwrap(),
    };
    let found = assess(&inputs, 7.0);
    let lines: HashMap<String, f64> =
        explain(&inputs, &found).into_iter().map(|WorkLine { name, value, .. }| (name, value)).collect();
    let mut redone = 0;
    for row in rows() {
        let [name, numbers, result, _] = row[..] else { continue };
        let Ok(result) = result.parse::<f64>() else { continue };
        let within = if name.starts_with("load") { LOAD } else { SIX_DECIMALS };
        let by_hand = calculate(numbers, &HashMap::new());
        assert!((by_hand - result).abs() <= within, "{name}: {numbers} is {by_hand}, not {result}");
        let program = lines.get(name).unwrap_or_else(|| panic!("the program has no line `{name}`"));
        assert!((program - result).abs() <= within, "{name}: the program says {program}, the page {result}");
        redone += 1;
    }
    assert_eq!(redone, 26, "every line of the page is redone");
    let moves: Vec<&str> = found.first_moves.ids.iter().map(|id| id.as_str()).collect();
    assert_eq!(moves, ["brother", "fridge", "cloth"]);
    assert_eq!(found.grade.word(), "lively");
}

#[test]
fn the_pages_sets_are_all_that_fit_and_cannot_grow() {
    // Minutes alone, own minutes of the shared work (1 minute once), part of U as the page gives it.
    let items = [("brother", 2, None, 0.174353), ("fridge", 3, None, 0.169036), ("books", 4, Some(3), 0.143025)];
    let items = [&items[..], &[("window", 3, None, 0.105361), ("cloth", 2, Some(1), 0.045141)]].concat();
    let minutes = |mask: u32| -> i32 {
        let chosen = || items.iter().enumerate().filter(move |(at, _)| mask >> at & 1 == 1).map(|(_, item)| item);
        let shared = chosen().any(|(_, _, own, _)| own.is_some());
        chosen().map(|(_, minutes, own, _)| own.unwrap_or(*minutes)).sum::<i32>() + i32::from(shared)
    };
    let fits = |mask: u32| minutes(mask) <= 7;
    let full: Vec<u32> =
        (0..32).filter(|&mask| fits(mask) && (0..5).all(|at| mask >> at & 1 == 1 || !fits(mask | 1 << at))).collect();
    let page: Vec<Vec<&str>> = rows().into_iter().filter(|row| row.len() == 3 && row[1].contains('=')).collect();
    assert_eq!(page.len(), full.len());
    for row in page {
        let names: Vec<&str> = row[0].split(", ").collect();
        let mask =
            items.iter().enumerate().filter(|(_, item)| names.contains(&item.0)).map(|(at, _)| 1 << at).sum::<u32>();
        assert!(full.contains(&mask), "{names:?}");
        assert!(row[1].ends_with(&format!("= {}", minutes(mask))), "{row:?}");
        let pull: f64 = items.iter().enumerate().filter(|(at, _)| mask >> at & 1 == 1).map(|(_, item)| item.3).sum();
        let (sum, result) = row[2].split_once(" = ").unwrap();
        assert!((result.parse::<f64>().unwrap() - pull).abs() <= SIX_DECIMALS, "{row:?}");
        assert!((calculate(sum, &HashMap::new()) - pull).abs() <= SIX_DECIMALS, "{row:?}");
    }
}
