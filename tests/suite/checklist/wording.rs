//! The shipped lists read easily, blame nobody, use no jargon, and give a reason beside every weight.

use stillroom::checklist::{Item, Unit, shipped};

use super::list;

/// Grade 6 is reading at about eleven years.
const GRADE: f64 = 6.0;
/// One question alone has few words, so a single long one (television) weighs more; it may read two grades higher.
const ONE_QUESTION: f64 = 8.0;

/// Half of the printed decimal.
const ONE_DECIMAL: f64 = 0.05;

/// Syllables by groups of vowels, without a silent e at the end.
fn syllables(word: &str) -> usize {
    let signs: Vec<char> = word.to_lowercase().chars().filter(|sign| sign.is_ascii_alphabetic()).collect();
    let vowel = |sign: &char| "aeiouy".contains(*sign);
    let groups = (0..signs.len()).filter(|&at| vowel(&signs[at]) && (at == 0 || !vowel(&signs[at - 1]))).count();
    let silent = match signs[..] {
        [.., before, 'l', 'e'] => vowel(&before),
        [.., 'e'] => true,
        [.., before, 'e', 'd'] => !"td".contains(before),
        [.., before, 'e', 's'] => !"sxzcgh".contains(before),
        _ => false,
    };
    (groups - usize::from(silent && groups > 1)).max(1)
}

/// Reading grade [KINCAID1975]: 0.39·words/sentences + 11.8·syllables/words − 15.59.
fn grade(texts: &[&str]) -> f64 {
    let sentences = texts.iter().flat_map(|text| text.split(['.', '?', '!', ':'])).filter(|one| !one.trim().is_empty());
    let sentences: Vec<&str> = sentences.collect();
    let words: Vec<&str> = sentences.iter().flat_map(|one| one.split_whitespace()).collect();
    let spoken: usize = words.iter().map(|word| syllables(word)).sum();
    0.39 * words.len() as f64 / sentences.len() as f64 + 11.8 * spoken as f64 / words.len() as f64 - 15.59
}

/// All that somebody reads while answering.
fn texts(item: &Item) -> Vec<&str> {
    let mut texts = vec![item.ask.as_str(), item.remedy.as_str()];
    texts.extend(item.help.as_deref());
    if let Unit::Choice(options) = &item.unit {
        texts.extend(options.iter().map(|option| option.text.as_str()));
    }
    texts
}

#[test]
fn the_formula_gives_the_printed_example() {
    // Printed for this sentence: 24 syllables, 13 words, grade 11.3 (seen in public text).
    let example = "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature.";
    assert_eq!(example.split_whitespace().map(syllables).sum::<usize>(), 24);
    assert!((grade(&[example]) - 11.3).abs() < ONE_DECIMAL, "{}", grade(&[example]));
}

#[test]
fn the_lists_read_at_eleven_years_or_below() {
    for (id, _) in shipped() {
        let list = list(id);
        let all: Vec<&str> = list.items.iter().flat_map(texts).collect();
        assert!(grade(&all) <= GRADE, "{id}: {:.1}", grade(&all));
        for item in &list.items {
            assert!(grade(&[&item.ask]) <= ONE_QUESTION, "{id} {}: {:.1}", item.id, grade(&[&item.ask]));
        }
    }
}

/// Words of the trade, and words that put somebody in the wrong.
const NEVER: [&str; 26] = [
    "stimul",
    "distract",
    "sensory",
    "auditory",
    "visual",
    "environment",
    "ambient",
    "reverb",
    "decibel",
    "clutter",
    "attention",
    "behav",
    "compl",
    "therap",
    "regulat",
    "mess",
    "untidy",
    "dirty",
    "too many",
    "should",
    "must not",
    "fault",
    "bad ",
    "wrong",
    "normal",
    "autis",
];

#[test]
fn no_jargon_and_no_blame() {
    for (id, _) in shipped() {
        for item in &list(id).items {
            for text in texts(item) {
                let lower = text.to_lowercase();
                assert!(NEVER.iter().all(|word| !lower.contains(word)), "{id} {}: {text}", item.id);
            }
        }
    }
}

#[test]
fn every_weight_has_its_reason_beside_it() {
    for (id, text) in shipped() {
        for (line, weight) in
            text.lines().zip(1..).filter(|(line, _)| line.starts_with("alone =") || line.starts_with("half ="))
        {
            let reason = line.split_once('#').map_or("", |(_, reason)| reason.trim());
            assert!(reason.len() >= 7, "{id} line {weight}: {line}");
        }
    }
}

#[test]
fn the_published_hints_are_named_where_they_point() {
    for (id, item, key) in [
        ("home-corner", "loose-toys-on-floor", "[DAUCH2018]"),
        ("play-floor", "toys-around-mat", "[DAUCH2018]"),
        ("home-corner", "television-picture", "[SCHMIDT2008]"),
        ("home-corner", "pictures-on-wall", "[FISHER2014]"),
        ("group-room", "wall-displays", "[FISHER2014]"),
    ] {
        let list = list(id);
        let found = list.items.iter().find(|one| one.id.as_str() == item).unwrap();
        assert!(found.source.as_ref().is_some_and(|source| source.contains(key)), "{id} {item}");
    }
}
