//! A walk: the questions of a checklist one after the other, surface by surface, answered in words as they are typed.
//! It knows no screen; whoever shows the question hands in the line that comes back.

use std::collections::BTreeMap;

use super::answers::NOT_SEEN;
use super::fault::MOST_COUNT;
use super::model::{Answer, Checklist, Item, ItemId, Unit};
use crate::words::{did_you_mean, printable};

/// The reason for skipping when none is given.
pub const COULD_NOT_SEE: &str = "could not see";
/// The longest reason that is kept, signs.
const LONGEST_REASON: usize = 200;

/// A walk under way.
#[derive(Clone, Debug, PartialEq)]
pub struct Walk {
    items: Vec<Item>,
    at: usize,
    answers: BTreeMap<ItemId, Answer>,
    reasons: BTreeMap<ItemId, String>,
    keep: Vec<String>,
}

/// What a typed line did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// The item has its answer, was skipped or marked as what must stay; the next question stands.
    Next,
    /// The question before stands.
    Back,
    /// More help is wanted.
    Help,
    /// The walk stops and is kept.
    Stop,
    /// The line was not understood: what to type instead.
    Unclear(String),
}

/// A question and where it stands in the walk.
#[derive(Clone, Copy, Debug)]
pub struct Question<'w> {
    /// The item.
    pub item: &'w Item,
    /// Its number in the walk, from 1.
    pub number: usize,
    /// How many there are.
    pub of: usize,
    /// Its number on its surface, from 1.
    pub on_surface: usize,
    /// How many there are on its surface.
    pub of_surface: usize,
    /// What was answered so far.
    pub given: Option<&'w Answer>,
    /// Why it was skipped, if it was.
    pub reason: Option<&'w str>,
    /// Whether it is marked as what must stay.
    pub kept: bool,
}

impl Walk {
    /// A walk through the items that `wanted` picks, one surface after the other.
    pub fn new(list: &Checklist, keep: Vec<String>, wanted: impl Fn(&ItemId) -> bool) -> Self {
        let mut items: Vec<Item> = list.items.iter().filter(|item| wanted(&item.id)).cloned().collect();
        items.sort_by_key(|item| item.surface);
        Self { items, at: 0, answers: BTreeMap::new(), reasons: BTreeMap::new(), keep }
    }

    /// The same walk with what was answered before it was interrupted, at the question it stood at.
    #[must_use]
    pub fn resumed(
        mut self,
        at: usize,
        answers: &BTreeMap<ItemId, Answer>,
        reasons: &BTreeMap<ItemId, String>,
    ) -> Self {
        let asked = |id: &ItemId| self.items.iter().any(|item| item.id == *id);
        self.answers =
            answers.iter().filter(|(id, _)| asked(id)).map(|(id, answer)| (id.clone(), answer.clone())).collect();
        self.reasons =
            reasons.iter().filter(|(id, _)| asked(id)).map(|(id, reason)| (id.clone(), reason.clone())).collect();
        self.at = at.min(self.items.len());
        self
    }

    /// The question that stands; `None` when all were asked.
    pub fn question(&self) -> Option<Question<'_>> {
        let item = self.items.get(self.at)?;
        let same = |others: &[Item]| others.iter().filter(|other| other.surface == item.surface).count();
        Some(Question {
            item,
            number: self.at + 1,
            of: self.items.len(),
            on_surface: same(&self.items[..=self.at]),
            of_surface: same(&self.items),
            given: self.answers.get(&item.id),
            reason: self.reasons.get(&item.id).map(String::as_str),
            kept: self.keeps(&item.id),
        })
    }

    /// How many questions there are.
    pub fn len(&self) -> usize {
        self.items.len()
    }

    /// Whether there is no question at all.
    pub fn is_empty(&self) -> bool {
        self.items.is_empty()
    }

    /// The place of the question that stands, from 0.
    pub const fn at(&self) -> usize {
        self.at
    }

    /// Goes to a question by its number, from 1; false when there is none.
    pub fn go_to(&mut self, number: usize) -> bool {
        let found = (1..=self.items.len()).contains(&number);
        if found {
            self.at = number - 1;
        }
        found
    }

    /// Goes one question back; false at the first.
    pub const fn back(&mut self) -> bool {
        let possible = self.at > 0;
        if possible {
            self.at -= 1;
        }
        possible
    }

    /// The answers so far.
    pub const fn answers(&self) -> &BTreeMap<ItemId, Answer> {
        &self.answers
    }

    /// Why items were skipped.
    pub const fn reasons(&self) -> &BTreeMap<ItemId, String> {
        &self.reasons
    }

    /// What must stay.
    pub fn keep(&self) -> &[String] {
        &self.keep
    }

    fn keeps(&self, id: &ItemId) -> bool {
        self.keep.iter().any(|entry| entry == id.as_str())
    }

    /// Takes a typed line as the reply to the question that stands.
    pub fn hear(&mut self, line: &str) -> Step {
        let Some(item) = self.items.get(self.at).cloned() else { return Step::Stop };
        let typed = line.trim();
        let (word, rest) = typed.split_once(char::is_whitespace).unwrap_or((typed, ""));
        // A whole option's key is an answer even if it reads like a command.
        if typed.chars().count() < 2 || answer(&item, typed).is_err() {
            match word.to_lowercase().as_str() {
                "b" | "back" if rest.is_empty() => return if self.back() { Step::Back } else { first_question() },
                "q" | "quit" | "stop" if rest.is_empty() => return Step::Stop,
                "?" | "h" | "help" if rest.is_empty() => return Step::Help,
                "k" | "keep" if rest.is_empty() => return self.must_stay(&item.id),
                "s" | "skip" => return self.skip(&item.id, rest),
                _ => {}
            }
        }
        if typed.is_empty() {
            let known = self.answers.contains_key(&item.id) || self.keeps(&item.id);
            if known {
                self.at += 1;
                return Step::Next;
            }
            return Step::Unclear(accepts(&item));
        }
        match answer(&item, typed) {
            Ok(Answer::NotSeen) => self.skip(&item.id, ""),
            Ok(answer) => {
                self.keep.retain(|entry| entry != item.id.as_str());
                self.reasons.remove(&item.id);
                self.answers.insert(item.id, answer);
                self.at += 1;
                Step::Next
            }
            Err(text) => Step::Unclear(text),
        }
    }

    fn skip(&mut self, id: &ItemId, reason: &str) -> Step {
        let reason: String = reason.split_whitespace().collect::<Vec<_>>().join(" ");
        let reason: String = reason.chars().filter(|sign| !sign.is_control()).take(LONGEST_REASON).collect();
        let reason = if reason.is_empty() { COULD_NOT_SEE.to_owned() } else { reason };
        self.keep.retain(|entry| entry != id.as_str());
        self.answers.insert(id.clone(), Answer::NotSeen);
        self.reasons.insert(id.clone(), reason);
        self.at += 1;
        Step::Next
    }

    fn must_stay(&mut self, id: &ItemId) -> Step {
        self.answers.remove(id);
        self.reasons.remove(id);
        if !self.keeps(id) {
            self.keep.push(id.to_string());
        }
        self.at += 1;
        Step::Next
    }
}

fn first_question() -> Step {
    Step::Unclear("This is the first question.".to_owned())
}

/// What the item takes as an answer, as a sentence.
pub fn accepts(item: &Item) -> String {
    match &item.unit {
        Unit::Count { .. } => "Type a whole number; 0 for none.".to_owned(),
        Unit::Yes { .. } => "Type yes or no.".to_owned(),
        Unit::Choice(options) => format!("Type a number from 1 to {}.", options.len()),
    }
}

/// Reads a typed answer by the item's unit, or says what to type.
fn answer(item: &Item, typed: &str) -> Result<Answer, String> {
    let lower = typed.to_lowercase();
    if lower == NOT_SEEN {
        return Ok(Answer::NotSeen);
    }
    match &item.unit {
        Unit::Count { .. } => match typed.parse::<u32>() {
            Ok(count) if count <= MOST_COUNT => Ok(Answer::Count(count)),
            _ => Err(format!("`{}` is no count from 0 to {MOST_COUNT}. {}", printable(typed), accepts(item))),
        },
        Unit::Yes { .. } => match lower.as_str() {
            "y" | "yes" | "sí" | "si" | "true" => Ok(Answer::Yes(true)),
            "n" | "no" | "false" => Ok(Answer::Yes(false)),
            _ => Err(format!("`{}` is neither yes nor no. {}", printable(typed), accepts(item))),
        },
        Unit::Choice(options) => {
            let by_number = typed.parse::<usize>().ok().and_then(|number| options.get(number.checked_sub(1)?));
            match by_number.or_else(|| options.iter().find(|option| option.key == typed)) {
                Some(option) => Ok(Answer::Option(option.key.clone())),
                None => {
                    let hint = did_you_mean(typed, options.iter().map(|option| option.key.as_str()));
                    Err(format!("`{}` is none of the options{hint}. {}", printable(typed), accepts(item)))
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Step, Walk};
    use crate::checklist::{Answer, Checklist, Item, ItemId, parse};
    use crate::words::Surface;

    const LIST: &str = r#"
format = "stillroom.checklist/1"
id = "small"
[[item]]
id = "voices"
surface = "air"
channel = "heard"
ask = "Voices?"
unit = "choice"
evidence = "convention"
remedy = "Quiet."
minutes = 1
[[item.option]]
key = "none"
text = "no voices"
alone = 0
[[item.option]]
key = "stop"
text = "near"
alone = 9
[[item]]
id = "things"
surface = "table"
channel = "seen"
ask = "How many?"
unit = "count"
alone = 9
half = 2
evidence = "convention"
remedy = "Clear."
minutes = 1
[[item]]
id = "screen"
surface = "table"
channel = "seen"
ask = "A screen?"
unit = "yes"
alone = 9
evidence = "convention"
remedy = "Away."
minutes = 1
"#;

    fn list() -> Checklist {
        parse(LIST, "small.toml").unwrap()
    }

    fn walk() -> Walk {
        Walk::new(&list(), Vec::new(), |_| true)
    }

    fn id(name: &str) -> ItemId {
        ItemId::new(name)
    }

    #[test]
    fn a_walk_takes_one_surface_after_the_other() {
        let mut walk = walk();
        let mut seen = Vec::new();
        while let Some(question) = walk.question() {
            seen.push((question.item.surface, question.number, question.on_surface, question.of_surface));
            walk.hear("s");
        }
        assert_eq!(seen, [(Surface::Table, 1, 1, 2), (Surface::Table, 2, 2, 2), (Surface::Air, 3, 1, 1)]);
    }

    #[test]
    fn numbers_words_and_options_are_answers() {
        let mut walk = walk();
        for line in [" 7 ", "NO", "2"] {
            assert_eq!(walk.hear(line), Step::Next);
        }
        assert_eq!(walk.answers()[&id("things")], Answer::Count(7));
        assert_eq!(walk.answers()[&id("screen")], Answer::Yes(false));
        assert_eq!(walk.answers()[&id("voices")], Answer::Option("stop".to_owned()));
        assert!(walk.question().is_none());
    }

    #[test]
    fn a_whole_options_key_is_an_answer_even_if_it_reads_like_a_command() {
        let mut walk = walk();
        walk.go_to(3);
        assert_eq!(walk.hear("stop"), Step::Next);
        assert_eq!(walk.answers()[&id("voices")], Answer::Option("stop".to_owned()));
        walk.go_to(3);
        assert_eq!(walk.hear("q"), Step::Stop);
    }

    #[test]
    fn what_is_not_understood_says_what_to_type_and_stays() {
        let mut walk = walk();
        for line in ["", "many", "-1", "3.5", "10001", "4294967296", "b", "b 3"] {
            assert!(matches!(walk.hear(line), Step::Unclear(_)), "{line}");
            assert_eq!(walk.at(), 0, "{line}");
        }
        walk.go_to(3);
        for line in ["0", "3", "non", "yes"] {
            assert!(matches!(walk.hear(line), Step::Unclear(_)), "{line}");
        }
        assert!(walk.answers().is_empty());
    }

    #[test]
    fn skipping_keeps_a_reason_and_going_back_an_answer() {
        let mut walk = walk();
        assert_eq!(walk.hear("s the  lamp was\tbroken"), Step::Next);
        assert_eq!(walk.hear("not seen"), Step::Next);
        assert_eq!(walk.reasons()[&id("things")], "the lamp was broken");
        assert_eq!(walk.reasons()[&id("screen")], super::COULD_NOT_SEE);
        assert_eq!(walk.answers()[&id("things")], Answer::NotSeen);
        assert_eq!((walk.hear("b"), walk.hear("back")), (Step::Back, Step::Back));
        assert_eq!(walk.hear("4"), Step::Next);
        assert!(!walk.reasons().contains_key(&id("things")));
        walk.back();
        assert_eq!(walk.question().unwrap().given, Some(&Answer::Count(4)));
        assert_eq!(walk.hear(""), Step::Next, "an empty line leaves the answer");
    }

    #[test]
    fn what_must_stay_has_no_answer_until_it_gets_one() {
        let mut walk = walk();
        walk.hear("3");
        assert_eq!(walk.hear("k"), Step::Next);
        assert_eq!(walk.keep(), ["screen"]);
        walk.back();
        assert!(walk.question().unwrap().kept);
        assert_eq!(walk.hear("yes"), Step::Next);
        assert!(walk.keep().is_empty());
    }

    #[test]
    fn a_resumed_walk_stands_where_it_stood() {
        let mut first = walk();
        first.hear("3");
        first.hear("s why not");
        let again = walk().resumed(first.at(), first.answers(), first.reasons());
        assert_eq!(again, first);
        let wanted = |id: &ItemId| id.as_str() != "things";
        let fewer = Walk::new(&list(), Vec::new(), wanted).resumed(9, first.answers(), first.reasons());
        assert_eq!(fewer.answers().len(), 1, "what is not asked is not kept");
        assert!(fewer.question().is_none());
        let asked: Vec<Item> = list().items.into_iter().filter(|item| wanted(&item.id)).collect();
        assert_eq!(fewer.len(), asked.len());
    }
}
