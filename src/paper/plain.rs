//! The layouts that hang on no words: a week of sittings, series of moments, a week of screens.

use super::sheet::{Circle, Field, NOTE, Text, Words, marked};

/// Where the rows begin, mm.
const FIRST: f64 = 46.5;
/// Days of a week, tries of a sitting.
pub(super) const DAYS: u8 = 7;
const TRIES: u8 = 10;
/// Series on a sheet, moments of a series.
const SERIES: u8 = 8;
const MOMENTS: u8 = 20;
/// Lines for a day of the diary.
const LINES: u8 = 3;
/// Minutes of a sitting that can be filled.
const MINUTES: [u16; 9] = [5, 10, 15, 20, 25, 30, 40, 50, 60];
/// Minutes before a screen: every multiple of five to 225 is a sum of these.
const SCREEN: [u16; 6] = [5, 10, 20, 30, 60, 100];

fn text(x: f64, y: f64, width: f64, height: f64, words: Words) -> Text {
    Text { x, y, width, height, words }
}

/// What stands on every sheet.
pub(super) fn frame() -> Vec<Text> {
    vec![
        text(5.5, 3.4, 120.0, 7.4, Words::Title),
        text(5.5, 11.0, 157.0, 13.6, Words::Head),
        text(122.0, 217.5, 41.0, 10.5, Words::Label),
    ]
}

fn with_note(how: f64) -> Vec<Text> {
    let [x, y, width, height] = NOTE;
    let mut texts = frame();
    texts.push(text(5.5, 24.8, 157.0, how, Words::How));
    texts.push(text(x, y, width, height, Words::Note));
    texts
}

pub(super) fn sittings() -> (Vec<Circle>, Vec<Text>) {
    let (mut circles, mut texts) = (Vec::new(), with_note(15.0));
    let column = |n: u8| 39.0 + 5.9 * f64::from(n);
    for number in 0..TRIES {
        texts.push(text(column(number) - 2.5, 41.0, 5.0, 4.0, Words::Number(u16::from(number) + 1)));
    }
    texts.push(text(136.5, 41.0, 27.0, 4.0, Words::Name(Field::Minutes)));
    for day in 0..DAYS {
        let top = FIRST + 22.4 * f64::from(day);
        let line = |at: u8| top + 1.5 + 6.2 * f64::from(at);
        texts.push(text(4.8, top - 0.8, 15.4, 14.0, Words::Day(day)));
        for how in 0..3u8 {
            let option = u16::from(how);
            texts.push(text(20.4, line(how) - 2.2, 15.6, 4.6, Words::Option(Field::Try(0), option)));
            for number in 0..TRIES {
                circles.push(marked(column(number), line(how), day, Field::Try(number), option));
            }
        }
        for (at, field) in (0..).zip([Field::On, Field::Upset, Field::Came]) {
            texts.push(text(95.4, line(at) - 2.3, 16.6, 4.8, Words::Name(field)));
            for (option, x) in [(0, 115.0), (1, 125.4)] {
                circles.push(marked(x, line(at), day, field, option));
                texts.push(text(x + 3.0, line(at) - 2.2, 5.6, 4.6, Words::Option(field, option)));
            }
        }
        for (at, minutes) in (0u8..).zip(MINUTES) {
            let (x, y) = (138.2 + 9.2 * f64::from(at % 3), line(at / 3));
            circles.push(marked(x, y, day, Field::Minutes, minutes));
            texts.push(text(x + 3.0, y - 2.2, 4.6, 4.6, Words::Number(minutes)));
        }
    }
    (circles, texts)
}

pub(super) fn sampling() -> (Vec<Circle>, Vec<Text>) {
    let (mut circles, mut texts) = (Vec::new(), with_note(15.0));
    let column = |n: u8| 38.0 + 6.3 * f64::from(n);
    for number in 0..MOMENTS {
        texts.push(text(column(number) - 2.6, 41.0, 5.2, 4.0, Words::Number(u16::from(number) + 1)));
    }
    for series in 0..SERIES {
        let top = FIRST + 19.6 * f64::from(series);
        texts.push(text(5.0, top - 0.7, 8.0, 5.0, Words::Number(u16::from(series) + 1)));
        texts.push(text(13.0, top - 0.7, 21.5, 4.6, Words::Name(Field::Day)));
        for day in 0..DAYS {
            let x = 38.0 + 17.6 * f64::from(day);
            circles.push(marked(x, top + 1.5, series, Field::Day, u16::from(day)));
            texts.push(text(x + 3.0, top - 0.7, 12.0, 4.6, Words::Option(Field::Day, u16::from(day))));
        }
        for option in 0..2u8 {
            let y = top + 7.3 + 5.9 * f64::from(option);
            texts.push(text(13.0, y - 2.2, 21.5, 4.6, Words::Option(Field::Moment(0), option.into())));
            for moment in 0..MOMENTS {
                circles.push(marked(column(moment), y, series, Field::Moment(moment), option.into()));
            }
        }
    }
    (circles, texts)
}

pub(super) fn screens() -> (Vec<Circle>, Vec<Text>) {
    let (mut circles, mut texts) = (Vec::new(), with_note(9.6));
    texts.push(text(24.0, 40.0, 44.0, 4.5, Words::What));
    texts.push(text(69.0, 34.5, 54.0, 4.6, Words::Name(Field::Screen)));
    texts.push(text(124.0, 34.5, 27.0, 4.6, Words::Name(Field::Who)));
    let minutes = |at: u8| 73.0 + 8.8 * f64::from(at);
    let who = |at: u16| 129.0 + 9.5 * f64::from(at);
    for (at, option) in (0u8..).zip(SCREEN) {
        texts.push(text(minutes(at) - 4.0, 40.0, 8.0, 4.5, Words::Number(option)));
    }
    for option in 0..3u16 {
        texts.push(text(who(option) - 4.7, 40.0, 9.4, 4.5, Words::Option(Field::Who, option)));
    }
    texts.push(text(153.0, 34.5, 12.0, 10.0, Words::Name(Field::Again)));
    for line in 0..DAYS * LINES {
        let (day, of_day) = (line / LINES, line % LINES);
        let y = FIRST + 1.5 + 22.4 * f64::from(day) + 6.4 * f64::from(of_day);
        if of_day == 0 {
            texts.push(text(4.8, y - 2.3, 18.0, 14.0, Words::Day(day)));
        }
        texts.push(text(24.0, y - 2.0, 43.0, 4.6, Words::Line));
        for (at, option) in (0u8..).zip(SCREEN) {
            circles.push(marked(minutes(at), y, line, Field::Screen, option));
        }
        for option in 0..3u16 {
            circles.push(marked(who(option), y, line, Field::Who, option));
        }
        circles.push(marked(159.0, y, line, Field::Again, 0));
    }
    (circles, texts)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::{Circle, SCREEN, sampling, screens, sittings};
    use crate::paper::{HEIGHT, RADIUS, WIDTH};

    #[test]
    fn circles_keep_apart_from_each_other_and_from_the_edges() {
        for (circles, _) in [sittings(), sampling(), screens()] {
            for (at, one) in circles.iter().enumerate() {
                assert!(one.x > 8.0 && one.x < WIDTH - 8.0 && one.y > 8.0 && one.y < HEIGHT - 15.0, "{one:?}");
                for other in &circles[..at] {
                    assert!((one.x - other.x).hypot(one.y - other.y) > 2.0 * RADIUS + 1.9, "{one:?} {other:?}");
                }
            }
            let names: BTreeSet<String> = circles.iter().map(Circle::name).collect();
            assert_eq!(names.len(), circles.len());
        }
    }

    #[test]
    fn every_multiple_of_five_minutes_is_a_sum() {
        let sums: BTreeSet<u16> = (0..64u16)
            .map(|chosen| {
                SCREEN.iter().enumerate().filter(|(at, _)| chosen >> at & 1 == 1).map(|(_, minutes)| minutes).sum()
            })
            .collect();
        assert!((0..=125).step_by(5).all(|minutes| sums.contains(&minutes)), "{sums:?}");
    }
}
