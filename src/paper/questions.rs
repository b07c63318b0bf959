//! The pages of a checklist: questions at the left, their circles at the right. Heights follow from how long the words are, so
//! the layout hangs on the language; a hash of it stands in the code, and a sheet of other words is known as such.

use sha2::{Digest, Sha256};

use super::code::Label;
use super::plain::frame;
use super::sheet::{Circle, Field, Sheet, Text, Words, marked};

/// How a question is answered, and how many signs the words have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answering {
    /// Yes or no.
    Yes,
    /// One of several, each with the length of its words.
    OneOf(Vec<usize>),
    /// A number.
    Count,
}

/// A question as it is laid out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// Signs of the question with its help.
    pub signs: usize,
    /// How it is answered.
    pub answering: Answering,
}

/// Where the questions begin and end, mm.
const FIRST: f64 = 34.0;
const LAST: f64 = 214.0;
/// A line of circles and of words, mm.
const LINE: f64 = 6.0;
const WORDS: f64 = 3.9;
/// The columns, mm, and how many signs fit in one line of each. A sign is 1.55 mm wide at most on the mean (convention; the
/// browser tests look for words that leave their box).
const LEFT: f64 = 5.0;
const ASKED: f64 = 70.0;
const ASKED_SIGNS: usize = 40;
const RIGHT: f64 = 80.0;
const OPTION: f64 = 80.0;
const OPTION_SIGNS: usize = 45;
/// White between questions, mm.
const GAP: f64 = 2.4;

fn lines(signs: usize, of: usize) -> usize {
    signs.div_ceil(of).max(1)
}

/// The pages of a checklist. `label` is that of the first; each page gets its own number from `number`.
pub fn pages(label: Label, id: &str, questions: &[Question], number: impl Fn(u8) -> u32) -> Vec<Sheet> {
    let mut pages: Vec<(Vec<Circle>, Vec<Text>)> = Vec::new();
    let mut top = LAST + 1.0;
    for (row, question) in (0u8..).zip(questions) {
        let rows = answers(row, question);
        let height = rows
            .iter()
            .map(|line| line.height)
            .sum::<f64>()
            .max(WORDS * lines(question.signs, ASKED_SIGNS) as f64 + 1.0);
        if top + height > LAST {
            let mut texts = frame();
            texts.push(Text { x: LEFT, y: 24.5, width: 158.0, height: 8.0, words: Words::How });
            pages.push((Vec::new(), texts));
            top = FIRST;
        }
        let Some((circles, texts)) = pages.last_mut() else { continue };
        texts.push(Text { x: LEFT, y: top, width: ASKED, height, words: Words::Question(row) });
        let mut y = top + LINE / 2.0;
        for line in rows {
            circles.extend(line.circles.into_iter().map(|(x, field, option)| marked(x, y, row, field, option)));
            texts.extend(line.texts.into_iter().map(|(x, width, words)| Text {
                x,
                y: y - 2.3,
                width,
                height: line.height - 1.2,
                words,
            }));
            y += line.height;
        }
        top += height + GAP;
    }
    let about = hash(id, &pages);
    let page = |(page, (circles, texts))| Sheet {
        label: Label { page, about: Some(about), number: number(page), ..label },
        circles,
        texts,
    };
    (0u8..8).zip(pages).map(page).collect()
}

struct Line {
    height: f64,
    circles: Vec<(f64, Field, u16)>,
    texts: Vec<(f64, f64, Words)>,
}

fn answers(row: u8, question: &Question) -> Vec<Line> {
    let spread = |field: Field, options: &[u16], step: f64| Line {
        height: LINE,
        circles: (0..).zip(options).map(|(at, &option)| (RIGHT + step * f64::from(at), field, option)).collect(),
        texts: (0..)
            .zip(options)
            .map(|(at, &option)| (RIGHT + step * f64::from(at) + 3.0, step - 5.1, Words::Option(field, option)))
            .collect(),
    };
    let mut unseen = spread(Field::Answer, &[Field::UNSEEN], OPTION);
    match &question.answering {
        Answering::Yes => vec![spread(Field::Answer, &[0, 1, Field::UNSEEN], 20.0)],
        Answering::Count => {
            let ones: Vec<u16> = (0..10).collect();
            let mut tens = spread(Field::Tens, &[10, 20, 30, 40], 12.0);
            unseen.circles[0].0 += 52.0;
            unseen.texts[0] = (RIGHT + 55.0, 27.5, Words::Option(Field::Answer, Field::UNSEEN));
            tens.circles.append(&mut unseen.circles);
            tens.texts.append(&mut unseen.texts);
            vec![spread(Field::Ones, &ones, 8.4), tens]
        }
        Answering::OneOf(options) => (0..)
            .zip(options)
            .map(|(option, &signs)| Line {
                height: LINE + WORDS * (lines(signs, OPTION_SIGNS) - 1) as f64,
                circles: vec![(RIGHT, Field::Answer, option)],
                texts: vec![(RIGHT + 3.0, OPTION, Words::Choice(row, option))],
            })
            .chain([unseen])
            .collect(),
    }
}

/// A hash of the list's name and of every circle's place and meaning; never the one that says nothing.
fn hash(id: &str, pages: &[(Vec<Circle>, Vec<Text>)]) -> u16 {
    let mut hash = Sha256::new();
    hash.update(id);
    for (circles, _) in pages {
        for circle in circles {
            hash.update(format!("\n{} {:.2} {:.2}", circle.name(), circle.x, circle.y));
        }
        hash.update("\n\n");
    }
    let digest = hash.finalize();
    u16::from_be_bytes([digest[0], digest[1]]).min(u16::MAX - 1)
}
