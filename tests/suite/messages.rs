//! Every sentence for people has its message: found by reading the sources.
//!
//! The rooms write English; `languages/` names each of their sentences, so that a face can say it in another language.
//! A sentence is a text in the sources with two words or more; each line of it must be a message. What is not for
//! people is named below, one by one: the list may only shrink.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use stillroom::checklist::{parse, shipped};
use stillroom::language::{Language, Speaker, told_sentences};

/// Texts of two words or more that nobody reads as a sentence: file, how the text begins, why.
const NOT_SAID: &[(&str, &str, &str)] = &[
    ("any", "text/plain; charset", "heads of answers"),
    ("any", "width=device-width", "HTML"),
    ("case/task.rs", "look", "words that are looked for in a task"),
    ("case/task.rs", "sit", "words that are looked for in a task"),
    ("case/task.rs", "still hands", "words that are looked for in a task"),
    ("case/task.rs", "hands still", "words that are looked for in a task"),
    ("case/task.rs", "quiet body", "words that are looked for in a task"),
    ("case/task.rs", "without ", "words that are looked for in a task"),
    ("checklist/advice.rs", "hearing aid", "words that are looked for in a checklist"),
    ("checklist/advice.rs", "ear defender", "words that are looked for in a checklist"),
    ("checklist/advice.rs", "picture ", "words that are looked for in a checklist"),
    ("checklist/advice.rs", "chewing ring", "words that are looked for in a checklist"),
    ("checklist/answers.rs", "# ", "an answers file to fill in, which the program reads back"),
    ("checklist/answers.rs", "by = ", "an answers file to fill in"),
    ("checklist/answers.rs", "date = ", "an answers file to fill in"),
    ("checklist/answers.rs", "keep = ", "an answers file to fill in"),
    ("checklist/answers.rs", "place = ", "an answers file to fill in"),
    ("checklist/read.rs", "id = ", "a line of a checklist"),
    ("checklist/read.rs", "key = ", "a line of a checklist"),
    ("cli/ask.rs", "stillroom ", "a command line"),
    ("contract/record_read.rs", "no variant of enum", "what another crate says, looked for"),
    ("contract/record_quick.rs", "", "the keys of records"),
    ("devices/microphone/pulse.rs", "room sound", "the name of a stream at the sound server"),
    ("language/pages.rs", "textLength", "an attribute"),
    ("page/answer.rs", "", "heads of answers"),
    ("page/gate.rs", "{}={}", "heads of answers"),
    ("page/hand_over.rs", "stillroom ", "a command line"),
    ("page/ladder.rs", "Stored as", "looked for in what a task says"),
    ("page/route.rs", "text/", "heads of answers"),
    ("page/server.rs", "", "heads of answers"),
    ("paper/code.rs", "stillroom.paper ", "what a hash is made of"),
    ("report/chart/draw.rs", "chart ", "a class of HTML"),
    ("report/chart/draw.rs", "Charter,", "a style"),
    ("report/doorstep.rs", "article{}", "a style"),
    ("report/papers/checklist.rs", "stillroom ", "a command line"),
    ("sound/coded.rs", "OGG Vorbis", "a name"),
    ("sound/sniff.rs", "<!doctype", "looked for in a file"),
    ("tasks/carrying.rs", "<html ", "HTML"),
    ("tasks/pooling.rs", "# ", "comments of a scale file"),
    ("tasks/samples.rs", "self stim", "words that are looked for"),
];

fn source() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// Every source file below a folder, by its path from `src`.
fn files(folder: &Path, found: &mut BTreeMap<String, String>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files(&path, found);
        } else if path.extension().is_some_and(|kind| kind == "rs") {
            let text = std::fs::read_to_string(&path).unwrap();
            let end = text.find("#[cfg(test)]\nmod ").unwrap_or(text.len());
            let name = path.strip_prefix(source()).unwrap().to_string_lossy().into_owned();
            found.insert(name, text[..end].to_owned());
        }
    }
}

/// The texts in quotes of a source file, without comments and without what stands in an attribute (but a fault's own
/// sentence, `#[error("…")]`).
fn texts(source: &str) -> Vec<String> {
    let mut found = Vec::new();
    let signs: Vec<char> = source.chars().collect();
    let at = |place: usize| signs.get(place).copied().unwrap_or('\0');
    let (mut place, mut attribute) = (0, 0_usize);
    let mut told = true;
    while place < signs.len() {
        match at(place) {
            '/' if at(place + 1) == '/' => {
                while place < signs.len() && at(place) != '\n' {
                    place += 1;
                }
            }
            '#' if at(place + 1) == '[' && attribute == 0 => {
                told = signs[place + 2..].iter().take(5).collect::<String>() == "error";
                attribute = 1;
                place += 2;
            }
            '[' if attribute > 0 => {
                attribute += 1;
                place += 1;
            }
            ']' if attribute > 0 => {
                attribute -= 1;
                place += 1;
            }
            'r' if at(place + 1) == '#' && at(place + 2) == '"' => {
                let rest: String = signs[place + 3..].iter().collect();
                let text = rest.split("\"#").next().unwrap().to_owned();
                place += 5 + text.chars().count();
                found.push(text);
            }
            // A sign in single quotes, which may be a double quote; a lifetime has no second one.
            '\'' if at(place + 1) == '\\' || at(place + 2) == '\'' => {
                place += if at(place + 1) == '\\' { 3 } else { 2 };
                while at(place - 1) != '\'' || place < 2 {
                    place += 1;
                }
                place += usize::from(at(place) == '\'');
            }
            '"' => {
                let (text, end) = quoted(&signs, place + 1);
                if attribute == 0 || told {
                    found.push(text);
                }
                place = end;
            }
            _ => place += 1,
        }
    }
    found
}

/// A text up to its closing quote, and the place after it.
fn quoted(signs: &[char], mut place: usize) -> (String, usize) {
    let mut text = String::new();
    while signs[place] != '"' {
        if signs[place] != '\\' {
            text.push(signs[place]);
            place += 1;
            continue;
        }
        match signs[place + 1] {
            '\n' => {
                place += 2;
                while signs[place].is_whitespace() {
                    place += 1;
                }
                continue;
            }
            'u' => {
                let digits: String = signs[place + 3..].iter().take_while(|sign| **sign != '}').collect();
                text.push(char::from_u32(u32::from_str_radix(&digits, 16).unwrap()).unwrap());
                place += 4 + digits.len();
                continue;
            }
            'n' => text.push('\n'),
            sign => text.push(sign),
        }
        place += 2;
    }
    (text, place + 1)
}

/// Values as `{}`, one space where there are several, nothing that makes letters bold.
fn even(text: &str) -> String {
    let text = text.replace("\u{1b}[K", "").replace('\u{7}', "").replace("{{", "\u{1}").replace("}}", "\u{2}");
    let mut out = String::new();
    let mut rest = text.as_str();
    while let Some(at) = rest.find('{') {
        out.push_str(&rest[..at]);
        let end = rest[at..].find('}').map_or(rest.len(), |end| at + end + 1);
        out.push_str("{}");
        rest = &rest[end..];
    }
    out.push_str(rest);
    let text = out.replace('\u{1}', "{").replace('\u{2}', "}").replace('\u{a0}', " ");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Two words or more, each of two letters or more.
fn is_sentence(text: &str) -> bool {
    let word = |word: &&str| word.chars().filter(char::is_ascii_alphabetic).count() > 1 && !["dB", "Hz"].contains(word);
    text.replace("{}", " ").split(|sign: char| !(sign.is_ascii_alphabetic() || sign == '\'')).filter(word).count() > 1
        && text.contains(' ')
}

fn messages() -> BTreeMap<String, String> {
    told_sentences(Language::English).into_iter().map(|(name, text)| (name, even(&text.replace("{$", "{")))).collect()
}

#[test]
fn every_sentence_of_the_sources_is_a_message() {
    let mut sources = BTreeMap::new();
    files(&source(), &mut sources);
    let messages = messages();
    let known: BTreeSet<&str> = messages.values().map(String::as_str).collect();
    let mut outside = Vec::new();
    let mut excused = BTreeSet::new();
    for (file, source) in &sources {
        for text in texts(source) {
            for line in text.lines().map(even).filter(|line| is_sentence(line) && !known.contains(line.as_str())) {
                let here = |name: &str| name == file || name == "any";
                match NOT_SAID.iter().position(|(name, begins, _)| here(name) && line.starts_with(begins)) {
                    Some(excuse) => {
                        excused.insert(excuse);
                    }
                    None => outside.push(format!("{file}: {line}")),
                }
            }
        }
    }
    assert!(sources.len() > 300 && known.len() > 2000, "{} files, {} messages", sources.len(), known.len());
    assert!(
        outside.is_empty(),
        "{} sentences have no message; give each one in languages/en/ROOM.ftl and in every other language:\n{}",
        outside.len(),
        outside.join("\n")
    );
    let needless: Vec<_> = (0..NOT_SAID.len()).filter(|at| !excused.contains(at)).map(|at| NOT_SAID[at]).collect();
    assert!(needless.is_empty(), "named, but no longer in the sources: {needless:#?}");
}

#[test]
fn every_message_is_a_sentence_of_the_sources() {
    let mut sources = BTreeMap::new();
    files(&source(), &mut sources);
    let mut said: BTreeSet<String> = BTreeSet::new();
    for source in sources.values() {
        said.extend(texts(source).iter().flat_map(|text| text.lines().map(even).collect::<Vec<_>>()));
    }
    let scale = std::fs::read_to_string(source().with_file_name("checklists").join("scale.toml")).unwrap();
    // Counts, single words and the levels of help in a row are put together from parts; the names of items are those of
    // the checklists.
    let unused: Vec<String> = messages()
        .into_iter()
        .filter(|(name, text)| {
            !name.starts_with("item-")
                && text.replace("{}", "").split_whitespace().filter(|word| word.len() > 2).count() > 2
                && !said.iter().any(|line| line.contains(text.as_str()))
                && !text.contains("partial, model")
                && !scale.contains(text.as_str())
        })
        .map(|(name, text)| format!("{name} = {text}"))
        .collect();
    assert!(unused.is_empty(), "no source says these:\n{}", unused.join("\n"));
}

#[test]
fn every_item_of_a_shipped_list_has_its_name() {
    let named: BTreeSet<String> = messages().into_keys().filter(|name| name.starts_with("item-")).collect();
    let items = shipped().iter().flat_map(|(id, text)| parse(text, id).unwrap().items);
    let wanted: BTreeSet<String> = items.map(|item| format!("item-{}", item.id)).collect();
    assert_eq!(named, wanted);
}

#[test]
fn the_scan_sees_texts_and_not_comments() {
    let source = "// \"not this one\"\n#[expect(x, reason = \"nor this one\")]\n#[error(\"a fault {x}\")]\n\
                  fn a<'a>() { b('\"', \"two words\\n\\\n   go on {x:.1}\", r#\"raw \"words\" here\"#); }";
    assert_eq!(texts(source), ["a fault {x}", "two words\ngo on {x:.1}", "raw \"words\" here"]);
    assert!(is_sentence("two words {}") && !is_sentence("{} dB of a") && !is_sentence("home-corner"));
    assert_eq!(even("a  {x:.1}\u{a0}b {{}}"), "a {} b {}");
}

fn spanish(text: &str) -> String {
    Speaker::new(Language::Spanish).retell(text)
}

#[test]
fn every_message_is_said_again_as_itself() {
    // With a value in each place, every English sentence is recognised and becomes the other language's.
    let speaker = Speaker::new(Language::Spanish);
    let other: BTreeMap<String, String> = told_sentences(Language::Spanish).into_iter().collect();
    let mut wrong = Vec::new();
    let mut tried = 0;
    for (name, english) in told_sentences(Language::English) {
        if english.chars().filter(|sign| sign.is_alphabetic()).count() < 25 {
            continue;
        }
        tried += 1;
        let filled = |text: &str| {
            let mut out = String::new();
            let mut rest = text;
            while let Some(at) = rest.find("{$") {
                let end = at + rest[at..].find('}').unwrap();
                let value: u32 = rest[at + 2..end].bytes().map(u32::from).sum();
                out.push_str(&format!("{}{}", &rest[..at], value));
                rest = &rest[end + 1..];
            }
            out + rest
        };
        let (wanted, said) = (filled(&other[&name]), speaker.retell(&filled(&english)));
        if said != wanted {
            wrong.push(format!("{name}:\n  {said}\n  {wanted}"));
        }
    }
    assert!(tried > 1000);
    assert!(wrong.is_empty(), "{} of {tried}:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn sentences_values_and_lists_are_said_again() {
    for (english, wanted) in [
        ("Nobody else is needed. About 4 min to set up.", "No hace falta nadie más. Unos 4 min para prepararlo."),
        ("still", "tranquila"),
        ("seen, heard and company", "visto, oído y compañía"),
        ("Loose things on table", "Cosas sueltas sobre la mesa"),
        ("2 March 2025", "2 de marzo de 2025"),
        ("2.5 dB", "2,5 dB"),
        ("Clover's own words stay.", "Clover's own words stay."),
    ] {
        assert_eq!(spanish(english), wanted);
    }
    assert_eq!(Speaker::new(Language::English).retell("still"), "still");
}
