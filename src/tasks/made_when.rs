//! When a recording or a photo was made: as told, or as its name tells. The time of a file is not asked: copying changes it.

use jiff::civil::{Date, DateTime, Time};

use crate::words::printable;

use super::refusal::Refusal;

/// A moment as typed: `2026-10-05 15:00`, with seconds or a `T` if wanted.
pub fn typed(text: &str) -> Result<DateTime, Refusal> {
    let trimmed = text.trim();
    let whole = if trimmed.len() == 16 { format!("{trimmed}:00") } else { trimmed.to_owned() };
    // A day alone would pass for midnight.
    let read = whole.contains(':').then(|| whole.replacen(' ', "T", 1).parse().ok()).flatten();
    read.ok_or_else(|| {
        Refusal::new("moment", format!("`{}` is no day and time", printable(text)))
            .hint("write when the recording began, such as --at \"2026-10-05 15:00\"")
    })
}

/// The moment that a file's name tells: a date, four digits of it the year, and behind it hours and minutes, as phones and
/// recorders write them (`REC_20261005_150000.wav`, `2026-10-05 15.00.m4a`). `None` where it tells no moment there is.
pub fn named(name: &str) -> Option<DateTime> {
    // The digit of `m4a` is no second.
    let ending = name.rsplit_once('.').filter(|(_, end)| end.contains(|sign: char| sign.is_ascii_alphabetic()));
    let digits: Vec<u32> = groups(ending.map_or(name, |(stem, _)| stem));
    (0..digits.len()).find_map(|at| moment(&digits[at..]))
}

/// The hour that a file's name tells.
pub(super) fn hour(name: &str) -> Option<u32> {
    u32::try_from(named(name)?.hour()).ok()
}

/// The groups of digits in a name, those of eight digits split into year, month and day, those of six behind a date into hours,
/// minutes and seconds, of four into hours and minutes.
fn groups(name: &str) -> Vec<u32> {
    let mut found = Vec::new();
    let mut dated = false;
    for group in name.split(|sign: char| !sign.is_ascii_digit()).filter(|group| !group.is_empty()) {
        let cuts: &[usize] = match (group.len(), dated) {
            (14, _) => &[4, 2, 2, 2, 2, 2],
            (12, _) => &[4, 2, 2, 2, 2],
            (8, _) => &[4, 2, 2],
            (6, true) => &[2, 2, 2],
            (4, true) => &[2, 2],
            (length, _) => &[length],
        };
        dated |= group.len() >= 4;
        let mut from = 0;
        for cut in cuts {
            found.extend(group[from..from + cut].parse::<u32>().ok());
            from += cut;
        }
    }
    found
}

fn moment(digits: &[u32]) -> Option<DateTime> {
    let [year, month, day, hour, minute, ..] = *digits else { return None };
    if !(1990..2200).contains(&year) {
        return None;
    }
    let small = |number: u32| i8::try_from(number).ok();
    let date = Date::new(i16::try_from(year).ok()?, small(month)?, small(day)?).ok()?;
    // A sixth group is a second where it can be one, and else a number of its own.
    let second = digits.get(5).copied().filter(|second| *second < 60).unwrap_or(0);
    let time = Time::new(small(hour)?, small(minute)?, small(second)?, 0).ok()?;
    Some(date.to_datetime(time))
}

#[cfg(test)]
mod tests {
    use super::{named, typed};

    #[test]
    fn names_as_phones_write_them_tell_the_moment() {
        for (name, moment) in [
            ("REC_20261005_150000.wav", "2026-10-05T15:00:00"),
            ("20261005150730.m4a", "2026-10-05T15:07:30"),
            ("2026-10-05 15.07.m4a", "2026-10-05T15:07:00"),
            ("2026-10-05-1507-kitchen.flac", "2026-10-05T15:07:00"),
            ("Voice 003 2026-10-05T15-07-30.wav", "2026-10-05T15:07:30"),
            ("IMG_20261005_163015.jpg", "2026-10-05T16:30:15"),
        ] {
            assert_eq!(named(name).map(|found| found.to_string()).as_deref(), Some(moment), "{name}");
        }
        for name in
            ["evening.wav", "20261005.wav", "2026-13-05 15.00.wav", "2026-10-05 25.00.wav", "track 01 02 03 04 05.wav"]
        {
            assert_eq!(named(name), None, "{name}");
        }
    }

    #[test]
    fn a_moment_is_typed_with_a_day_and_a_time() {
        assert_eq!(typed("2026-10-05 15:00").unwrap().to_string(), "2026-10-05T15:00:00");
        assert_eq!(typed("2026-10-05T15:00:30").unwrap().to_string(), "2026-10-05T15:00:30");
        for wrong in ["15:00", "2026-10-05", "yesterday", "2026-02-30 10:00"] {
            assert_eq!(typed(wrong).unwrap_err().code, "moment");
        }
    }
}
