//! The printed calculation, redone with a calculator: once from its numbers, once from its names.

use std::collections::HashMap;

use stillroom::checklist::{Answer, SharedWork};
use stillroom::load::{WorkLine, explain};

use super::rooms::{Audit, ROUNDING, lived_in};

/// Numbers in a line have six decimals; a load multiplies their error by 100, and a few are summed.
const PRINTED: f64 = 5e-4;

/// A calculator: numbers, names, + − · / ^, brackets, ln and exp.
struct Calculator<'a> {
    rest: &'a str,
    memory: &'a HashMap<String, f64>,
}

impl Calculator<'_> {
    fn sign(&mut self, sign: char) -> bool {
        self.rest = self.rest.trim_start();
        let found = self.rest.strip_prefix(sign);
        self.rest = found.unwrap_or(self.rest);
        found.is_some()
    }

    fn sum(&mut self) -> f64 {
        let mut value = self.product();
        loop {
            if self.sign('+') {
                value += self.product();
            } else if self.sign('-') {
                value -= self.product();
            } else {
                return value;
            }
        }
    }

    fn product(&mut self) -> f64 {
        let mut value = self.negative();
        loop {
            if self.sign('*') {
                value *= self.negative();
            } else if self.sign('/') {
                value /= self.negative();
            } else {
                return value;
            }
        }
    }

    fn negative(&mut self) -> f64 {
        if self.sign('-') { -self.negative() } else { self.power() }
    }

    fn power(&mut self) -> f64 {
        let base = self.atom();
        if self.sign('^') { base.powf(self.negative()) } else { base }
    }

    fn atom(&mut self) -> f64 {
        if self.sign('(') {
            let value = self.sum();
            assert!(self.sign(')'), "no bracket before `{}`", self.rest);
            return value;
        }
        self.rest = self.rest.trim_start();
        if self.rest.starts_with(|sign: char| sign.is_ascii_digit()) {
            let end = self.rest.find(|sign: char| !(sign.is_ascii_digit() || sign == '.')).unwrap_or(self.rest.len());
            let (number, rest) = self.rest.split_at(end);
            self.rest = rest;
            return number.parse().unwrap();
        }
        // A name may hold anything between square brackets.
        let mut inside = false;
        let end = self.rest.find(|sign: char| {
            inside = (inside || sign == '[') && sign != ']';
            !(inside || sign.is_alphanumeric() || sign == '_' || sign == ']')
        });
        let (name, rest) = self.rest.split_at(end.unwrap_or(self.rest.len()));
        self.rest = rest;
        match name {
            "ln" => self.atom().ln(),
            "exp" => self.atom().exp(),
            _ => *self.memory.get(name).unwrap_or_else(|| panic!("`{name}` was never computed (`{rest}`)")),
        }
    }
}

#[track_caller]
pub(super) fn calculate(formula: &str, memory: &HashMap<String, f64>) -> f64 {
    let mut calculator = Calculator { rest: formula, memory };
    let value = calculator.sum();
    assert!(calculator.rest.trim().is_empty(), "`{}` is left of `{formula}`", calculator.rest);
    value
}

/// Redoes every line, and returns what was computed by name.
#[track_caller]
fn redo(audit: &Audit, minutes: f64) -> HashMap<String, f64> {
    let assessment = audit.assess(minutes);
    let lines = explain(&audit.inputs(), &assessment);
    let mut memory = HashMap::new();
    for line in &lines {
        let by_numbers = calculate(&line.numbers, &HashMap::new());
        assert!((by_numbers - line.value).abs() < PRINTED, "{line}: the calculator says {by_numbers}");
        let by_names = calculate(&line.formula, &memory);
        assert!((by_names - line.value).abs() < 100.0 * ROUNDING, "{line}: by names {by_names}");
        memory.insert(line.name.clone(), by_names);
    }
    let near = |name: &str, value: f64| {
        let redone = memory[name];
        assert!((redone - value).abs() < 100.0 * ROUNDING, "{name}: {redone}, not {value}");
    };
    near("load", assessment.load.points());
    near("U", assessment.pull.u());
    for channel in &assessment.channels {
        near(&format!("u_{}", channel.channel), channel.pull.u());
    }
    for share in &assessment.shares {
        near(&format!("share[{}]", share.id), share.share);
    }
    if !assessment.first_moves.ids.is_empty() {
        near("load_after", assessment.first_moves.load_after.points());
    }
    memory
}

#[test]
fn a_lived_in_room_can_be_redone_with_a_calculator() {
    let memory = redo(&lived_in(), 12.0);
    assert!(memory.contains_key("load_after") && memory.contains_key("level") && memory.contains_key("photo"));
}

#[test]
fn every_way_of_pooling_can_be_redone() {
    let mut bare = lived_in();
    bare.photos.clear();
    bare.sound = None;
    redo(&bare, 5.0);
    let unseen =
        ["toys", "papers", "fridge", "road"].into_iter().fold(lived_in(), |room, id| room.answer(id, Answer::NotSeen));
    redo(&unseen, 5.0);
    let gone = lived_in().answer("toys", Answer::Count(0)).answer("papers", Answer::Count(0));
    assert!(redo(&gone, 5.0).contains_key("part[photo]"));
    for margin in [-3.0, 0.0, 7.5, 15.0, 30.0] {
        redo(&lived_in().margin(margin), 5.0);
    }
    for level in [10.0, 32.0, 47.0, 67.0, 90.0] {
        redo(&lived_in().level(level, 0.3, 1.0, "meter"), 5.0);
    }
}

#[test]
fn work_that_two_moves_share_is_counted_once_and_can_be_redone() {
    let mut room = lived_in();
    for (id, own) in [("toys", 1.0), ("papers", 0.5)] {
        let item = room.checklist.items.iter_mut().find(|item| item.id.as_str() == id).unwrap();
        (item.minutes, item.shares) = (4.0, Some(SharedWork { work: "one-box".to_owned(), own }));
    }
    let moves = room.assess(60.0).first_moves;
    assert!(["toys", "papers"].iter().all(|id| moves.ids.iter().any(|one| one.as_str() == *id)));
    // One box, 4 − 0.5 minutes, is got once.
    assert!((redo(&room, 60.0)["takes"] - moves.takes_minutes).abs() < ROUNDING);
}

#[test]
fn a_line_reads_as_it_is_written() {
    let assessment = lived_in().assess(0.0);
    let lines: Vec<String> = explain(&lived_in().inputs(), &assessment).iter().map(WorkLine::to_string).collect();
    let toys = lines.iter().find(|line| line.starts_with("u[toys]")).unwrap();
    // p = 0.30·(1 − 2^(−1.5)) = 0.193934, u = 0.215590
    assert_eq!(toys, "u[toys] = -ln(1 - 30/100 * (1 - 2^(-9/6))) = 0.21559   (seen, answer: 9) [convention]");
    let level = lines.iter().find(|line| line.starts_with("level")).unwrap();
    assert_eq!(level, "level = 44 + 10 * 0.3 = 47   (rating level, dB: LAeq and the speech adjustment) [convention]");
}
