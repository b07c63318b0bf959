//! Sheets that are read back from a photo: the drawing of their marks, and their words at the places that go with it.

use jiff::ToSpan;
use jiff::civil::Date;
use maud::{Markup, PreEscaped, html};

use super::checklist::words as item_words;
use super::frame::{WEEK, line, rung};
use super::{Paper, PaperFacts, sheets};
use crate::checklist::{Checklist, Item, Unit};
use crate::language::{Said, Speaker};
use crate::paper::{Answering, Field, Kind, Label, Question, Sheet, Text, Words, pages, spoken, svg};
use crate::words::printable;

/// All pages of a form that is read back.
pub(super) fn body(paper: Paper, kind: Kind, facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    let sheets = sheets(kind, facts, speaker);
    html! {
        @for sheet in &sheets {
            div.paper {
                (drawn(sheet))
                @for text in &sheet.texts { (placed(text, paper, sheet, sheets.len(), facts, speaker)) }
            }
        }
    }
}

/// The drawing inside a page, where it needs no name of its format.
fn drawn(sheet: &Sheet) -> Markup {
    PreEscaped(svg(sheet).into_string().replace(" xmlns=\"http://www.w3.org/2000/svg\"", ""))
}

/// The pages of a checklist in a language.
pub fn checklist_pages(list: &Checklist, label: Label, speaker: &Speaker) -> Vec<Sheet> {
    let questions: Vec<Question> = list.items.iter().map(|item| question(list, item, speaker)).collect();
    pages(label, &list.id, &questions, |page| (label.number + u32::from(page)) % 1_000_000)
}

fn question(list: &Checklist, item: &Item, speaker: &Speaker) -> Question {
    let (ask, help) = asked(list, item, speaker);
    let answering = match &item.unit {
        Unit::Count { .. } => Answering::Count,
        Unit::Yes { .. } => Answering::Yes,
        Unit::Choice(options) => {
            Answering::OneOf(options.iter().map(|option| choice(list, item, option, speaker).chars().count()).collect())
        }
    };
    let help = help.map_or(0, |help| help.chars().count() + 1);
    Question { signs: ask.chars().count() + 3 + help, answering }
}

fn asked(list: &Checklist, item: &Item, speaker: &Speaker) -> (String, Option<String>) {
    let help = item.help.as_ref().map(|help| item_words(speaker, list, item, "help", help));
    (item_words(speaker, list, item, "ask", &item.ask), help)
}

fn choice(list: &Checklist, item: &Item, option: &crate::checklist::Choice, speaker: &Speaker) -> String {
    item_words(speaker, list, item, &format!("option-{}", option.key), &option.text)
}

/// Words at their place.
fn placed(text: &Text, paper: Paper, sheet: &Sheet, of: usize, facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    let at = |words: &str, kind: &str, largest: f64| html! { div class={ "at " (kind) } style=(style(text, words, largest)) { (words) } };
    match text.words {
        Words::Title if sheet.label.page == 0 => {
            html! { h1.at style=(style(text, "", 6.0)) { (paper.title(speaker)) } }
        }
        Words::Title => html! { p.at style=(style(text, "", 6.0)) { (paper.title(speaker)) } },
        Words::Head => {
            let head = head(sheet, facts, speaker);
            let words = maud::html! { (head) }.into_string().len() * 2 / 3;
            html! { div.at.head style=(style(text, &"n".repeat(words.min(600)), 3.2)) { (head) } }
        }
        Words::How => {
            let how = how(sheet.label.kind, speaker);
            html! { div.at.how style=(style(text, &how, 3.2)) { (how) } }
        }
        Words::Day(day) => {
            let name = weekday(day.into(), speaker);
            let date = facts.printed.monday.and_then(|monday| monday.checked_add(i64::from(day).days()).ok());
            // All seven as large as the longest allows.
            let longest = (0..7).map(|day| weekday(day, speaker).chars().count()).max().unwrap_or_default();
            html! { div.at.day style=(style(text, &"n".repeat(longest * 5), 3.0)) {
                (name) @if let Some(date) = date { br; small { (short_day(date, speaker)) } }
            } }
        }
        Words::Number(number) => {
            at(&number.to_string(), if beside_circle(text, sheet) { "word" } else { "number" }, 2.8)
        }
        Words::Option(Field::Who, option) => at(
            &speaker.say(["screens-nobody", "screens-adult", "screens-child"][usize::from(option.min(2))]),
            "number",
            2.8,
        ),
        Words::Option(field, number) => at(&option(field, number, speaker), "word", 2.9),
        Words::Name(Field::Again) => at(&name(Field::Again, speaker), "number", 2.8),
        Words::Name(field) => at(&name(field, speaker), "name", 2.9),
        Words::What => at(&speaker.say("screens-what"), "name", 2.9),
        Words::Line => html! { div.at style=(style(text, "", 3.0)) { (line()) } },
        Words::Note => {
            html! { div.at.strip style=(style(text, "", 2.8)) { (speaker.say("field-note")) " " small { (speaker.say("marked-note")) } } }
        }
        Words::Label => {
            html! { div.at.label style=(style(text, "", if of > 1 { 2.6 } else { 2.9 })) { (label(sheet, of, facts, speaker)) } }
        }
        Words::Question(row) => {
            let item = facts.checklist.and_then(|list| Some((list, list.items.get(usize::from(row))?)));
            html! { div.at.question style=(style(text, "", 3.1)) { @if let Some((list, item)) = item {
                @let (ask, help) = asked(list, item, speaker);
                b { (row + 1) } " " (ask) @if let Some(help) = help { small { " " (help) } }
            } } }
        }
        Words::Choice(row, number) => {
            let found = facts.checklist.and_then(|list| {
                let item = list.items.get(usize::from(row))?;
                let Unit::Choice(options) = &item.unit else { return None };
                Some(choice(list, item, options.get(usize::from(number))?, speaker))
            });
            at(&found.unwrap_or_default(), "word", 2.9)
        }
    }
}

/// Place and size of words: as large as fits, from `largest` down. A letter is taken for 0.66 of its size wide (convention).
fn style(text: &Text, words: &str, largest: f64) -> String {
    let signs = words.chars().count() as f64;
    let fits = |size: f64| {
        let lines = (text.height / (size * 1.22)).floor().max(1.0);
        signs * size * 0.66 <= text.width * lines * if lines > 1.0 { 0.88 } else { 1.0 }
    };
    let size = (0..12).map(|step| largest - 0.15 * f64::from(step)).find(|size| fits(*size)).unwrap_or(largest - 1.65);
    format!(
        "left:{:.1}mm;top:{:.1}mm;width:{:.1}mm;height:{:.1}mm;font-size:{size:.2}mm",
        text.x + 6.0,
        text.y + 6.0,
        text.width,
        text.height
    )
}

/// Whether words stand right of a circle, and not over a column of them.
fn beside_circle(text: &Text, sheet: &Sheet) -> bool {
    let middle = text.y + text.height / 2.0;
    sheet.circles.iter().any(|circle| (circle.x + 3.0 - text.x).abs() < 0.1 && (circle.y - middle).abs() < 0.5)
}

/// A day without its year: `23 November`.
fn short_day(date: Date, speaker: &Speaker) -> String {
    let month = speaker.say(&format!("month-{}", date.month()));
    speaker.say_with("marked-day", &[("day", date.day().to_string().into()), ("month", Said::Words(month))])
}

fn weekday(day: usize, speaker: &Speaker) -> String {
    speaker.weekday(WEEK[day % 7])
}

/// What is known of the sheet, or a line for it.
fn head(sheet: &Sheet, facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    // What is new finds room; the rest stands on the rung's card.
    let first = |text: String| text.split_once(". ").map_or_else(|| text.clone(), |(first, _)| format!("{first}."));
    let now = facts.rung.as_ref().map(|words| first(rung(speaker, words)));
    let week = facts.printed.monday.map(|monday| speaker.day(monday));
    let title = facts.checklist.map(|list| {
        let own = printable(&list.title);
        speaker.find(&format!("{}.title", list.id), &[]).unwrap_or_else(|| speaker.own_words(&own))
    });
    let field = |name: &str, known: Option<String>| {
        html! {
            span.pair { span { (speaker.say(name)) } " " @if let Some(known) = known { b { (known) } } @else { (line()) } }
        }
    };
    let own = |words: &Option<String>| words.as_ref().map(|words| speaker.own_words(words));
    html! {
        (field("field-for", own(&facts.alias)))
        (field("field-place", own(&facts.place)))
        @match sheet.label.kind {
            Kind::Sittings => {
                (field("field-week", week)) (field("field-task", own(&facts.task))) (field("field-rung", now)) (field("field-counts", own(&facts.correct)))
            }
            Kind::Sampling => {
                (field("field-week", week)) (field("field-task", own(&facts.task))) (field("sampling-on-task", own(&facts.correct)))
            }
            Kind::Screens => { (field("field-week", week)) }
            Kind::Checklist => { (field("field-day", None)) @if let Some(title) = title { span.pair { b { (title) } } } }
        }
    }
}

fn how(kind: Kind, speaker: &Speaker) -> String {
    let own = match kind {
        Kind::Sittings => format!("{} {}", speaker.say("sessions-how"), speaker.say("sessions-right")),
        Kind::Sampling => speaker.say_with("sampling-how", &[("seconds", super::on_task::SECONDS.into())]),
        Kind::Screens => speaker.say("screens-how"),
        Kind::Checklist => speaker.say("checklist-how"),
    };
    format!("{own} {}", speaker.say("marked-how"))
}

fn name(field: Field, speaker: &Speaker) -> String {
    speaker.say(match field {
        Field::On => "marked-on",
        Field::Upset => "sessions-upset",
        Field::Came => "marked-came",
        Field::Day => "field-day",
        Field::Screen => "marked-minutes",
        Field::Who => "screens-with",
        Field::Again => "screens-again",
        _ => "field-minutes",
    })
}

fn option(field: Field, option: u16, speaker: &Speaker) -> String {
    match (field, option) {
        (Field::Try(_), 0) => speaker.say("sessions-alone"),
        (Field::Try(_), 1) => speaker.say("sessions-helped"),
        (Field::Try(_), _) => speaker.say("sessions-wrong"),
        (Field::Moment(_), 0) => speaker.say("sampling-on"),
        (Field::Moment(_), _) => speaker.say("sampling-off"),
        (Field::Day, day) => weekday(day.into(), speaker),
        (Field::Answer, Field::UNSEEN) => speaker.say("word-not-seen"),
        (Field::Ones, number) => number.to_string(),
        (Field::Tens, number) => format!("+{number}"),
        (_, 0) => speaker.say("word-yes"),
        (_, _) => speaker.say("word-no"),
    }
}

/// What the dots say, in figures.
fn label(sheet: &Sheet, of: usize, facts: &PaperFacts<'_>, speaker: &Speaker) -> Markup {
    let label = &sheet.label;
    let page = speaker
        .say_with("marked-page", &[("page", (label.page + 1).to_string().into()), ("of", of.to_string().into())]);
    html! {
        b { (spoken(label.number)) } br;
        @if let Some(alias) = &facts.alias { (speaker.own_words(alias)) " " (format!("{:05X}", label.alias)) " " }
        (speaker.say_with("marked-version", &[("version", label.layout.to_string().into())])) @if of > 1 { br; (page) }
    }
}
