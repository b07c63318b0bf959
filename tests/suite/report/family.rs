//! The family's page and the visitor's: plain, without load and grade, safe first.

use stillroom::language::{Language, Speaker};
use stillroom::report::{CaseReport, family_page, visitor_page};

use super::example::Example;
use super::page::nested;

/// Highest reading grade of the family's page.
const GRADE: f64 = 6.0;

fn english(report: &CaseReport<'_>) -> String {
    family_page(report, &Speaker::new(Language::English))
}

/// The sentences of a page: the texts of its paragraphs and headings.
fn sentences(page: &str) -> Vec<String> {
    let mut all = Vec::new();
    for part in page.split("<p").skip(1) {
        let inside = part.split_once('>').unwrap().1.split("</p>").next().unwrap();
        for sentence in inside.split_inclusive(['.', '?', '!', ':']) {
            let words = sentence.trim();
            if words.split_whitespace().count() > 1 {
                all.push(words.to_owned());
            }
        }
    }
    all
}

/// Syllables of an English word by its groups of vowels; a silent `e` at the end is none.
fn syllables(word: &str) -> usize {
    let word: String = word.to_ascii_lowercase().chars().filter(char::is_ascii_alphabetic).collect();
    let mut count = 0;
    let mut before = false;
    for sign in word.chars() {
        let vowel = "aeiouy".contains(sign);
        count += usize::from(vowel && !before);
        before = vowel;
    }
    if word.ends_with('e') && !word.ends_with("le") && count > 1 {
        count -= 1;
    }
    count.max(1)
}

/// Flesch–Kincaid grade level: 0.39 · words/sentences + 11.8 · syllables/words − 15.59. Kincaid, Fishburne, Rogers,
/// Chissom (1975), Naval Technical Training Command, Research Branch Report 8-75 (from memory). [KINCAID1975]
#[expect(clippy::cast_precision_loss, reason = "a page has few words")]
fn grade(sentences: &[String]) -> f64 {
    let words: Vec<&str> = sentences.iter().flat_map(|one| one.split_whitespace()).collect();
    let all: usize = words.iter().map(|word| syllables(word)).sum();
    0.39 * words.len() as f64 / sentences.len() as f64 + 11.8 * all as f64 / words.len() as f64 - 15.59
}

#[test]
fn the_reading_grade_is_that_of_known_sentences() {
    // 11 words and 12 syllables in one sentence, counted by hand: 0.39 · 11 + 11.8 · 12/11 − 15.59 = 1.573.
    let known = ["The cat sat on the mat and then it ran away.".to_owned()];
    assert!((grade(&known) - 1.573).abs() < 5e-4);
}

#[test]
fn a_family_reads_its_page_at_grade_six() {
    let example = Example::new();
    let page = english(&example.report());
    let found = grade(&sentences(&page));
    assert!(found <= GRADE, "{found}: {:#?}", sentences(&page));
}

#[test]
fn the_family_sees_no_load_and_no_grade() {
    let example = Example::new();
    let page = english(&example.report());
    nested(&page);
    let words = page.to_lowercase();
    for never in ["load", "pull", "lively", "gentle", "grade", "score", "%"] {
        let body = &words[words.find("<body").unwrap()..];
        assert!(!body.contains(never), "{never}");
    }
    assert!(page.contains("The room is calmer than before."));
}

#[test]
fn a_pause_comes_before_everything() {
    let mut example = Example::new();
    example.review.decision = "pause".to_owned();
    let page = english(&example.report());
    assert!(page.contains("Please stop practising for now."));
    assert!(!page.contains("The next step in practice"));
    assert!(!page.contains("Clear the table"));
}

#[test]
fn a_step_back_shows_the_rung_below() {
    let mut example = Example::new();
    example.review.decision = "step-back".to_owned();
    example.review.rung = 2;
    "the rung below".clone_into(&mut example.ladder.rungs[0].set_up);
    "the rung it was on".clone_into(&mut example.ladder.rungs[1].set_up);
    let page = english(&example.report());
    assert!(page.contains("the rung below") && !page.contains("the rung it was on"));
}

#[test]
fn the_visitor_reads_what_was_measured_and_what_was_not() {
    let example = Example::new();
    let mut report = example.report();
    let page = visitor_page(&report, &Speaker::new(Language::English));
    nested(&page);
    assert!(page.contains("The load is a convention of this tool, not a validated scale."));
    assert!(page.contains("LAeq"));
    report.now.sound = None;
    report.now.photos.clear();
    let page = visitor_page(&report, &Speaker::new(Language::English));
    assert!(page.contains("no recording") && page.contains("no photo") && !page.contains("LAeq"));
}
