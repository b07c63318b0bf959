//! What a filled sheet says, in sentences.

use crate::checklist::{Checklist, Unit};
use crate::paper::{Circle, Field, Kind};

use super::sheets::ReadSheet;

/// The days of a week.
const DAYS: [&str; 7] = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];

pub(super) fn day(number: usize) -> &'static str {
    DAYS[number % 7]
}

/// The day of a row of the diary, and its line.
pub(super) fn diary_row(row: u8) -> (usize, u8) {
    (usize::from(row / 3), row % 3 + 1)
}

/// A circle in words: `Tuesday, try 3, with help`.
pub(super) fn circle(kind: Kind, circle: &Circle) -> String {
    let (row, option) = (circle.row, circle.option);
    let number = row + 1;
    let (weekday, line) = match kind {
        Kind::Screens => (day(diary_row(row).0), diary_row(row).1),
        _ => (day(row.into()), 1),
    };
    match (circle.field, option) {
        (Field::Try(n), 0) => format!("{weekday}, try {}, alone", n + 1),
        (Field::Try(n), 1) => format!("{weekday}, try {}, with help", n + 1),
        (Field::Try(n), _) => format!("{weekday}, try {}, not right", n + 1),
        (Field::On, 0) => format!("{weekday}, the distraction was really on"),
        (Field::On, _) => format!("{weekday}, the distraction was not on"),
        (Field::Upset, 0) => format!("{weekday}, upset"),
        (Field::Upset, _) => format!("{weekday}, not upset"),
        (Field::Came, 0) => format!("{weekday}, came and stayed willingly"),
        (Field::Came, _) => format!("{weekday}, did not come or stay willingly"),
        (Field::Minutes, minutes) => format!("{weekday}, {minutes} minutes"),
        (Field::Day, weekday) => format!("series {number}, on a {}", day(weekday.into())),
        (Field::Moment(n), 0) => format!("series {number}, moment {}, on task", n + 1),
        (Field::Moment(n), _) => format!("series {number}, moment {}, not on task", n + 1),
        (Field::Screen, minutes) => format!("{weekday}, line {line}, {minutes} minutes before a screen"),
        (Field::Who, 0) => format!("{weekday}, line {line}, watched alone"),
        (Field::Who, 1) => format!("{weekday}, line {line}, watched with an adult"),
        (Field::Who, _) => format!("{weekday}, line {line}, watched with a child"),
        (Field::Again, _) => format!("{weekday}, line {line}, the same again"),
        (Field::Answer | Field::Ones | Field::Tens, option) => format!("question {number}, answer {}", option + 1),
    }
}

/// A circle of a checklist in words: the question and what the circle answers.
pub(super) fn answer(list: &Checklist, circle: &Circle) -> Option<String> {
    let item = list.items.get(usize::from(circle.row))?;
    let answer = match (circle.field, &item.unit, circle.option) {
        (Field::Answer, _, Field::UNSEEN) => "could not be seen".to_owned(),
        (Field::Answer, Unit::Choice(options), option) => options.get(usize::from(option))?.text.clone(),
        (Field::Answer, _, 0) => "yes".to_owned(),
        (Field::Answer, _, _) => "no".to_owned(),
        (_, _, count) => format!("the number {count}"),
    };
    Some(format!("question {}, “{}”: {answer}", circle.row + 1, item.ask))
}

/// A row in words: `Tuesday`, `series 3`.
pub(super) fn row(kind: Kind, row: u8) -> String {
    match kind {
        Kind::Sittings => day(row.into()).to_owned(),
        Kind::Screens => day(diary_row(row).0).to_owned(),
        Kind::Sampling => format!("series {}", row + 1),
        Kind::Checklist => format!("question {}", row + 1),
    }
}

/// What the sheet says, a sentence a line; rows where nothing is filled are left out.
pub(super) fn summary(sheet: &ReadSheet) -> Vec<String> {
    let mut says = match sheet.kind() {
        Kind::Sittings => sittings(sheet),
        Kind::Sampling => series(sheet),
        Kind::Screens => screens(sheet),
        Kind::Checklist => questions(sheet),
    };
    if !sheet.already && !sheet.before.is_empty() {
        says.push("What was read of it before is in the case; only what is new is stored.".to_owned());
    }
    let differs = |row: &String| {
        format!(
            "{row} is filled otherwise now; what was stored before holds. A copied sheet has the same number: print each one anew."
        )
    };
    says.extend(sheet.changed.iter().map(differs));
    says
}

/// How many tries of a row were alone, helped, wrong; and how many there were.
pub(super) fn tries(sheet: &ReadSheet, row: u8) -> [u32; 3] {
    let mut counts = [0; 3];
    for ((of, field), options) in sheet.filled() {
        if of == row && matches!(field, Field::Try(_)) {
            for option in options {
                counts[usize::from(option.min(2))] += 1;
            }
        }
    }
    counts
}

fn sittings(sheet: &ReadSheet) -> Vec<String> {
    (0..7u8)
        .filter_map(|row| {
            let [alone, helped, wrong] = tries(sheet, row);
            let all = alone + helped + wrong;
            (all > 0)
                .then(|| format!("{}: {alone} of {all} alone, {helped} with help, {wrong} not right", day(row.into())))
        })
        .collect()
}

/// The marks of a series: `y`, `n`, `-` for missed, without those after the last one that was marked.
pub(super) fn moments(sheet: &ReadSheet, row: u8) -> String {
    let filled = sheet.filled();
    let mark = |moment: u8| match filled.get(&(row, Field::Moment(moment))).and_then(|options| options.first()) {
        Some(0) => 'y',
        Some(_) => 'n',
        None => '-',
    };
    let marks: String = (0..20).map(mark).collect();
    marks.trim_end_matches('-').to_owned()
}

fn series(sheet: &ReadSheet) -> Vec<String> {
    (0..8u8)
        .filter_map(|row| {
            let marks = moments(sheet, row);
            let (on, off) = (marks.matches('y').count(), marks.matches('n').count());
            (on + off > 0).then(|| format!("series {}: on task in {on} of {} moments", row + 1, on + off))
        })
        .collect()
}

/// Minutes of a line of the diary.
pub(super) fn minutes(sheet: &ReadSheet, row: u8) -> u32 {
    sheet.filled().get(&(row, Field::Screen)).map_or(0, |options| options.iter().map(|m| u32::from(*m)).sum())
}

fn screens(sheet: &ReadSheet) -> Vec<String> {
    (0..7u8)
        .filter_map(|of| {
            let sum: u32 = (0..3).map(|line| minutes(sheet, 3 * of + line)).sum();
            (sum > 0).then(|| format!("{}: {sum} minutes before a screen", day(of.into())))
        })
        .collect()
}

fn questions(sheet: &ReadSheet) -> Vec<String> {
    let mut rows: Vec<u8> = sheet.sheet.circles.iter().map(|circle| circle.row).collect();
    rows.dedup();
    let filled = sheet.filled();
    let answered = rows.iter().filter(|row| filled.keys().any(|(of, _)| of == *row)).count();
    vec![format!("page {}: {answered} of {} questions answered", sheet.sheet.label.page + 1, rows.len())]
}
