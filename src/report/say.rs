//! Numbers and lists as people read them: rounded once, here.

use jiff::civil::Date;

use crate::language::MONTHS;

/// Shown where a number is missing or is no number.
pub(crate) const NOT_MEASURED: &str = "not measured";

/// A number with that many decimals and a true minus sign.
pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return NOT_MEASURED.to_owned();
    }
    let text = format!("{value:.decimals$}");
    let zero = text.trim_start_matches('-').chars().all(|sign| matches!(sign, '0' | '.'));
    if zero { text.trim_start_matches('-').to_owned() } else { text.replace('-', "\u{2212}") }
}

/// A load, or a difference of loads, to the whole point.
pub(crate) fn whole(value: f64) -> String {
    fixed(value, 0)
}

/// A level with its unit, to a tenth.
pub(crate) fn level(value: Option<f64>, unit: &str) -> String {
    value
        .filter(|db| db.is_finite())
        .map_or_else(|| NOT_MEASURED.to_owned(), |db| format!("{}\u{a0}{unit}", fixed(db, 1)))
}

/// A share (0 to 1) in percent, never rounded to a false nothing or a false whole.
pub(crate) fn percent(share: f64) -> String {
    if !share.is_finite() {
        return NOT_MEASURED.to_owned();
    }
    let percent = share * 100.0;
    if percent > 0.0 && percent < 0.5 {
        "under 1\u{a0}%".to_owned()
    } else if (99.5..100.0).contains(&percent) {
        "over 99\u{a0}%".to_owned()
    } else {
        format!("{}\u{a0}%", fixed(percent, 0))
    }
}

/// A number with its sign always shown.
pub(crate) fn signed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    let zero = text.chars().all(|sign| matches!(sign, '0' | '.'));
    if value > 0.0 && value.is_finite() && !zero { format!("+{text}") } else { text }
}

/// `1 minute`, `4 minutes`, `2.5 minutes`.
pub(crate) fn minutes(value: f64) -> String {
    let text = short(value);
    if text == "1" { "1\u{a0}minute".to_owned() } else { format!("{text}\u{a0}minutes") }
}

/// A number without needless decimals.
pub(crate) fn short(value: f64) -> String {
    let text = fixed(value, 1);
    text.strip_suffix(".0").map_or_else(|| text.clone(), str::to_owned)
}

/// `one session`, `3 sessions`: a count with its word.
pub(crate) fn count(number: usize, one: &str, many: &str) -> String {
    if number == 1 { format!("1\u{a0}{one}") } else { format!("{number}\u{a0}{many}") }
}

/// `a`, `a and b`, `a, b and c`.
pub(crate) fn list(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// The first letter large, as at the start of a sentence or a row.
pub(crate) fn capital(text: &str) -> String {
    let mut signs = text.chars();
    signs.next().map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}

fn month(date: Date) -> &'static str {
    usize::try_from(date.month()).ok().and_then(|month| MONTHS.get(month.checked_sub(1)?)).copied().unwrap_or("")
}

/// `2 March 2025` from `2025-03-02`; a text that is no date stays as it is.
pub(crate) fn day(text: &str) -> String {
    text.parse::<Date>().map_or_else(
        |_| crate::words::printable(text),
        |date| format!("{}\u{a0}{}\u{a0}{}", date.day(), month(date), date.year()),
    )
}

/// `2 Mar`, for the foot of a graph.
pub(crate) fn short_day(date: Date) -> String {
    format!("{}\u{a0}{}", date.day(), month(date).get(..3).unwrap_or(""))
}

/// A frequency: `63`, `31.5`, `1k`, `12.5k`.
pub(crate) fn hertz(hz: f64) -> String {
    if hz >= 1000.0 { format!("{}k", short(hz / 1000.0)) } else { short(hz) }
}

/// A page or drawing without the signs that steer a screen or turn the reading direction; no text here needs them.
pub(crate) fn clean(mut text: String) -> String {
    let steering = |sign: char| {
        (sign.is_control() && sign != '\n')
            || matches!(sign, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{fffe}' | '\u{ffff}')
    };
    text.retain(|sign| !steering(sign));
    text
}

#[cfg(test)]
mod tests {
    use super::{clean, day, fixed, list, minutes, percent, signed};

    #[test]
    fn a_number_is_rounded_once_and_has_a_true_minus() {
        assert_eq!(fixed(-15.6, 0), "\u{2212}16");
        assert_eq!(fixed(-0.2, 0), "0");
        assert_eq!(fixed(f64::NAN, 1), "not measured");
        assert_eq!(signed(0.04, 1), "0.0");
        assert_eq!(signed(4.0, 0), "+4");
    }

    #[test]
    fn no_sign_that_steers_a_screen_is_left() {
        assert_eq!(clean("a\u{1b}[2J\u{202e}b\n".to_owned()), "a[2Jb\n");
    }

    #[test]
    fn a_small_share_is_not_rounded_to_nothing() {
        assert_eq!(percent(0.001), "under 1\u{a0}%");
        assert_eq!(percent(0.999), "over 99\u{a0}%");
        assert_eq!(percent(0.0), "0\u{a0}%");
        assert_eq!(percent(1.0), "100\u{a0}%");
    }

    #[test]
    fn days_minutes_and_lists_read_as_spoken() {
        assert_eq!(day("2025-03-02"), "2\u{a0}March\u{a0}2025");
        assert_eq!(day("next week"), "next week");
        assert_eq!(minutes(1.0), "1\u{a0}minute");
        assert_eq!(minutes(2.5), "2.5\u{a0}minutes");
        assert_eq!(list(&["a".into(), "b".into(), "c".into()]), "a, b and c");
    }
}
