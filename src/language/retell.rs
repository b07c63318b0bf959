//! Sentences that were written in English, said again in another language.
//!
//! The rooms below the faces write English, as the stored records and the JSON forms do; a face that speaks another
//! language recognises each sentence by its message in `languages/en/` and says that message in its own language. What
//! stands in a message's values is recognised in the same way; numbers and days are written as the language writes
//! them. What is not recognised (an alias, a note somebody wrote) stays as it is.

use std::collections::HashMap;
use std::sync::LazyLock;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};

use super::{FILES, Language, lists, pages, values};

/// Of a message with fewer letters than this, every value must be recognised as well.
const FEW_LETTERS: usize = 5;
/// Ways in which one message is tried against one text.
const WAYS: usize = 12;
/// Sentences that one message may hold.
const SENTENCES: usize = 7;
/// A longer text is not taken apart by commas and the like.
const SHORT: usize = 400;

/// What joins two things that are said one by one, the strongest joint first.
const JOINTS: [&str; 8] = ["│", " · ", " → ", "; ", ": ", ", ", " and ", " — "];

type Bundle = FluentBundle<FluentResource>;

/// One English message, taken apart.
struct Pattern {
    id: String,
    parts: Vec<Part>,
    letters: usize,
    longest: String,
}

impl Pattern {
    /// Whether a text could be this message: most are told apart by their first and last words.
    fn may_be(&self, text: &str) -> bool {
        let stands = |part: Option<&Part>, there: fn(&str, &str) -> bool| match part {
            Some(Part::Words(words)) => there(text, words),
            Some(Part::Value(_)) | None => true,
        };
        stands(self.parts.first(), |text, words| text.starts_with(words))
            && stands(self.parts.last(), |text, words| text.ends_with(words))
            && text.contains(self.longest.as_str())
    }
}

enum Part {
    Words(String),
    Value(String),
}

/// All that can be recognised, and the language it is said in.
struct Book {
    target: Bundle,
    whole: HashMap<String, String>,
    by_first: HashMap<char, Vec<Pattern>>,
    open: Vec<Pattern>,
}

static SPANISH: LazyLock<Book> = LazyLock::new(|| Book::new(Language::Spanish));
static ENGLISH: LazyLock<Book> = LazyLock::new(|| Book::new(Language::English));

fn bundle(language: Language) -> Bundle {
    let mut bundle = FluentBundle::new_concurrent(language.tag().parse().into_iter().collect());
    bundle.set_use_isolating(false);
    for (_, _, text) in FILES.iter().filter(|(owner, ..)| *owner == language) {
        let resource = FluentResource::try_new((*text).to_owned()).unwrap_or_else(|(sound, _faults)| sound);
        let _twice = bundle.add_resource(resource);
    }
    bundle
}

fn said(bundle: &Bundle, id: &str, arguments: &FluentArgs<'_>) -> Option<String> {
    let (name, attribute) = id.split_once('.').map_or((id, None), |(name, attribute)| (name, Some(attribute)));
    let message = bundle.get_message(name)?;
    let pattern = match attribute {
        Some(attribute) => message.get_attribute(attribute)?.value(),
        None => message.value()?,
    };
    Some(bundle.format_pattern(pattern, Some(arguments), &mut Vec::new()).into_owned())
}

/// Messages with `{$name}` where a value stands.
pub(super) fn sentences(language: Language, ids: &[String]) -> Vec<(String, String)> {
    let bundle = bundle(language);
    let text = |id: &String| said(&bundle, id, &FluentArgs::new()).map(|text| (id.clone(), text));
    ids.iter().filter_map(text).collect()
}

fn letters(text: &str) -> usize {
    text.chars().filter(|sign| sign.is_alphabetic()).count()
}

impl Book {
    fn new(language: Language) -> Self {
        let english = bundle(Language::English);
        let mut book =
            Self { target: bundle(language), whole: HashMap::new(), by_first: HashMap::new(), open: Vec::new() };
        for id in super::retold() {
            if let Some(text) = said(&english, &id, &FluentArgs::new()) {
                book.learn(id, &text);
            }
        }
        for (id, text) in lists::texts() {
            book.whole.entry(text).or_insert(id);
        }
        book
    }

    /// Learns one message: `{$name}` in its text is a value.
    fn learn(&mut self, id: String, text: &str) {
        let text = text.replace('\u{a0}', " ");
        let mut parts = Vec::new();
        let mut rest = text.as_str();
        while let Some(at) = rest.find("{$") {
            if at > 0 {
                parts.push(Part::Words(rest[..at].to_owned()));
            }
            let end = rest[at..].find('}').map_or(rest.len(), |end| at + end);
            parts.push(Part::Value(rest[at + 2..end].to_owned()));
            rest = rest.get(end + 1..).unwrap_or_default();
        }
        if parts.is_empty() {
            self.whole.entry(text).or_insert(id);
            return;
        }
        if !rest.is_empty() {
            parts.push(Part::Words(rest.to_owned()));
        }
        let words = || parts.iter().filter_map(|part| if let Part::Words(words) = part { Some(words) } else { None });
        let letters = words().map(|words| letters(words)).sum();
        let longest = words().max_by_key(|words| words.len()).cloned().unwrap_or_default();
        let first =
            parts.first().and_then(|part| if let Part::Words(words) = part { words.chars().next() } else { None });
        let pattern = Pattern { id, parts, letters, longest };
        match first {
            Some(sign) => self.by_first.entry(sign).or_default().push(pattern),
            None => self.open.push(pattern),
        }
    }
}

/// One page or one answer that is said again; what was recognised once is kept.
pub(super) struct Retelling {
    book: &'static Book,
    language: Language,
    kept: HashMap<String, (String, usize)>,
}

impl Retelling {
    /// Into that language; `None` where the English stays.
    pub(super) fn into(language: Language) -> Option<Self> {
        let book: &'static Book = match language {
            Language::English => return None,
            Language::Spanish => &SPANISH,
            Language::Longer | Language::Mirrored => &ENGLISH,
        };
        Some(Self { book, language, kept: HashMap::new() })
    }

    /// A text of one or more sentences, or a few words. `None` when nothing of it is recognised.
    pub(super) fn text(&mut self, text: &str) -> Option<String> {
        let (said, recognised) = self.best(&text.replace('\u{a0}', " "));
        (recognised > 0 || said != text.replace('\u{a0}', " ")).then_some(said)
    }

    /// An HTML page: its texts, and those attributes that are read out.
    pub(super) fn page(&mut self, page: &str, shape: &dyn Fn(&str) -> String) -> String {
        pages::retold(page, &mut |text| self.text(text).map(|said| shape(&said)))
    }

    /// The best that can be made of a text, and how many of its letters were recognised.
    fn best(&mut self, text: &str) -> (String, usize) {
        let trimmed = text.trim();
        if letters(trimmed) == 0 {
            return (values::numbers(text, self.language), 0);
        }
        let (before, after) = (&text[..text.len() - text.trim_start().len()], &text[text.trim_end().len()..]);
        if !self.kept.contains_key(trimmed) {
            let found = self.find(trimmed);
            self.kept.insert(trimmed.to_owned(), found);
        }
        let (said, recognised) = &self.kept[trimmed];
        (format!("{before}{said}{after}"), *recognised)
    }

    fn find(&mut self, text: &str) -> (String, usize) {
        let mut best = (values::numbers(text, self.language), 0);
        let mut offer = |found: (String, usize)| {
            if found.1 > best.1 {
                best = found;
            }
        };
        if let Some(id) = self.book.whole.get(text) {
            let words = said(&self.book.target, id, &FluentArgs::new()).unwrap_or_else(|| text.to_owned());
            return (words, letters(text));
        }
        if let Some(small) = small(text).filter(|small| self.book.whole.contains_key(small)) {
            let (said, recognised) = self.best(&small);
            return (large(&said), recognised);
        }
        // A sign of a legend before its words.
        if let Some((sign, words)) = text.split_once(' ').filter(|(sign, _)| sign.chars().count() == 1) {
            let (said, recognised) = self.best(words);
            offer((format!("{sign} {said}"), recognised));
        }
        // The border of a stretch in a graph of letters.
        if let Some(words) = text.strip_prefix('│') {
            let (said, recognised) = self.best(words);
            offer((format!("│{said}"), recognised));
        }
        if let Some(day) = values::day(text, &|id, values| self.message(id, values)) {
            return (day, letters(text));
        }
        let first = text.chars().next().unwrap_or(' ');
        let book = self.book;
        for pattern in book.by_first.get(&first).into_iter().chain([&book.open]).flatten() {
            if pattern.may_be(text)
                && let Some(found) = self.by_pattern(pattern, text)
            {
                offer(found);
            }
        }
        offer(self.by_sentences(text));
        offer(self.by_joints(text));
        if best.1 == 0
            && let Some(small) = small(text)
        {
            let (said, recognised) = self.best(&small);
            return (large(&said), recognised);
        }
        best
    }

    fn message(&self, id: &str, values: &[(&str, String)]) -> Option<String> {
        let mut arguments = FluentArgs::new();
        for (name, value) in values {
            arguments.set(*name, value.clone());
        }
        said(&self.book.target, id, &arguments)
    }

    fn by_pattern(&mut self, pattern: &'static Pattern, text: &str) -> Option<(String, usize)> {
        let mut ways = Vec::new();
        ways_through(&pattern.parts, text, &mut Vec::new(), &mut ways);
        let mut best: Option<(String, usize)> = None;
        for way in ways {
            let mut recognised = pattern.letters;
            let mut arguments = FluentArgs::new();
            let mut sound = true;
            let mut way = way.into_iter();
            for (at, part) in pattern.parts.iter().enumerate() {
                let Part::Value(name) = part else { continue };
                let Some((_, value)) = way.next() else { break };
                // What stands between backticks is typed as it is.
                let before = at.checked_sub(1).and_then(|before| pattern.parts.get(before));
                let typed = matches!(before, Some(Part::Words(words)) if words.ends_with('`'));
                let (said, score) = if typed { (value.to_owned(), letters(value)) } else { self.best(value) };
                sound &= pattern.letters >= FEW_LETTERS || score > 0 || letters(value) == 0;
                recognised += score;
                match value.parse::<u32>() {
                    Ok(count) => arguments.set(name.as_str(), FluentValue::from(count)),
                    Err(_) => arguments.set(name.as_str(), said),
                }
            }
            if sound
                && recognised > 0
                && best.as_ref().is_none_or(|(_, most)| recognised > *most)
                && let Some(words) = said(&self.book.target, &pattern.id, &arguments)
            {
                best = Some((words, recognised));
            }
        }
        best
    }

    /// Sentence by sentence, or a few at a time where one message holds them.
    fn by_sentences(&mut self, text: &str) -> (String, usize) {
        let mut ends: Vec<usize> = text
            .match_indices(' ')
            .filter(|(at, _)| text[..*at].ends_with(['.', '?', '!', ':', '»', '"', ')']))
            .map(|(at, _)| at)
            .collect();
        ends.push(text.len());
        if ends.len() < 2 {
            return (text.to_owned(), 0);
        }
        // The best for what follows each end, from the last backwards.
        let mut rest: Vec<(String, usize)> = vec![(String::new(), 0); ends.len() + 1];
        for start in (0..ends.len()).rev() {
            let from = if start == 0 { 0 } else { ends[start - 1] + 1 };
            let mut best: Option<(String, usize)> = None;
            for last in start..ends.len().min(start + SENTENCES) {
                if start == 0 && last + 1 == ends.len() {
                    break;
                }
                let (said, score) = self.best(&text[from..ends[last]]);
                let (after, more) = &rest[last + 1];
                if best.as_ref().is_none_or(|(_, most)| score + more > *most) {
                    let space = if after.is_empty() { "" } else { " " };
                    best = Some((format!("{said}{space}{after}"), score + more));
                }
            }
            rest[start] = best.unwrap_or_default();
        }
        rest.swap_remove(0)
    }

    /// Things in a row, a thing with another in brackets, a thing in quotes.
    fn by_joints(&mut self, text: &str) -> (String, usize) {
        let mut best = (text.to_owned(), 0);
        let joints = if text.len() > SHORT { [].as_slice() } else { JOINTS.as_slice() };
        for joint in joints.iter().copied() {
            for (at, _) in text.match_indices(joint).filter(|(at, _)| *at > 0) {
                let (left, first) = self.best(&text[..at]);
                let (right, second) = self.best(&text[at + joint.len()..]);
                let between = match joint {
                    " and " => format!(" {} ", self.message("report-and", &[]).unwrap_or_else(|| "and".to_owned())),
                    _ => joint.to_owned(),
                };
                if first + second > best.1 {
                    best = (format!("{left}{between}{right}"), first + second);
                }
                // Some messages begin with their comma.
                if matches!(joint, ", " | "; ") {
                    let (right, second) = self.best(&text[at..]);
                    if first + second > best.1 {
                        best = (format!("{left}{right}"), first + second);
                    }
                }
                if first + second == letters(text) {
                    return best;
                }
            }
        }
        // A line of the calculation: `a = b = c   (in words) [evidence]`.
        if let Some((line, rest)) = text.strip_suffix(']').and_then(|text| text.split_once("   ("))
            && let Some((words, tag)) = rest.rsplit_once(") [")
        {
            let ((words, first), (tag, second)) = (self.best(words), self.best(tag));
            return (format!("{line}   ({words}) [{tag}]"), first + second);
        }
        if let Some((outer, inner)) = text.strip_suffix(')').and_then(|inside| inside.split_once('(')) {
            let whole = format!("({inner})");
            let ((outer, first), (inner, second)) = (self.best(outer), self.best(inner));
            if first + second > best.1 {
                best = (format!("{outer}({inner})"), first + second);
            }
            if whole != text {
                let (inner, second) = self.best(&whole);
                if first + second > best.1 {
                    best = (format!("{outer}{inner}"), first + second);
                }
            }
        }
        if let Some(inner) = text.strip_prefix('"').and_then(|text| text.strip_suffix('"')) {
            let (inner, recognised) = self.best(inner);
            if recognised > best.1 {
                best = (format!("«{inner}»"), recognised);
            }
        }
        best
    }
}

/// The text with a small first letter, where it has a large one.
fn small(text: &str) -> Option<String> {
    let first = text.chars().next().filter(|sign| sign.is_uppercase())?;
    Some(first.to_lowercase().chain(text.chars().skip(1)).collect())
}

fn large(text: &str) -> String {
    let mut signs = text.chars();
    signs.next().map_or_else(String::new, |sign| sign.to_uppercase().chain(signs).collect())
}

type Way<'t> = Vec<(&'static str, &'t str)>;

/// All ways (up to [`WAYS`]) in which a text is these parts in a row.
fn ways_through<'t>(parts: &'static [Part], text: &'t str, way: &mut Way<'t>, ways: &mut Vec<Way<'t>>) {
    if ways.len() >= WAYS {
        return;
    }
    let Some((part, rest)) = parts.split_first() else {
        if text.is_empty() {
            ways.push(way.clone());
        }
        return;
    };
    match part {
        Part::Words(words) => {
            if let Some(after) = text.strip_prefix(words.as_str()) {
                ways_through(rest, after, way, ways);
            }
        }
        Part::Value(name) => {
            let ends: Vec<usize> = match rest.first() {
                None => vec![text.len()],
                Some(Part::Words(words)) => text.match_indices(words.as_str()).map(|(at, _)| at).collect(),
                // Two values side by side: one of them is empty, or they part after a sentence, or before a sign.
                Some(Part::Value(_)) => {
                    let after_sentence = |at: &usize| text[..*at].ends_with(['.', '?', '!']);
                    let (sentences, signs): (Vec<usize>, Vec<usize>) = text
                        .char_indices()
                        .filter(|(_, sign)| matches!(sign, ' ' | ',' | ';' | '('))
                        .map(|(at, _)| at)
                        .partition(after_sentence);
                    [text.len(), 0].into_iter().chain(sentences).chain(signs).collect()
                }
            };
            for end in ends {
                way.push((name.as_str(), &text[..end]));
                ways_through(rest, &text[end..], way, ways);
                way.pop();
            }
        }
    }
}
