//! Numbers and days inside a sentence that is said again in another language.

use super::Language;

/// Signs and units that may stand beside a number.
const UNITS: [&str; 18] =
    ["dB", "dBFS", "dB(A)", "Hz", "kHz", "s", "ms", "m", "m²", "m³", "min", "%", "kB", "MB", "±", "–", "×", "→"];

/// The months in English; their first three letters are their short names.
pub const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A text of numbers and units alone, with the decimal sign of the language; any other text as it is.
pub(super) fn numbers(text: &str, language: Language) -> String {
    if language != Language::Spanish || !text.contains('.') {
        return text.to_owned();
    }
    let is_ours = |word: &str| UNITS.contains(&word) || bare(word).is_some();
    if !text.split(' ').filter(|word| !word.is_empty()).all(is_ours) {
        return text.to_owned();
    }
    let written = |word: &str| {
        bare(word).map_or_else(|| word.to_owned(), |number| word.replace(number, &number.replace('.', ",")))
    };
    text.split(' ').map(written).collect::<Vec<_>>().join(" ")
}

/// The number inside signs such as `(+2.5)` or `2.5,`; none in a version such as `0.1.0`.
fn bare(word: &str) -> Option<&str> {
    let number = word
        .trim_start_matches(['(', '+', '-', '\u{2212}', '±', '['])
        .trim_end_matches([')', ',', ';', '%', '.', ':', ']']);
    let (whole, part) = number.split_once('.').unwrap_or((number, "0"));
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|sign| sign.is_ascii_digit());
    (digits(whole) && digits(part)).then_some(number)
}

/// Says a message by its name and its values.
type Message<'m> = &'m dyn Fn(&str, &[(&str, String)]) -> Option<String>;

/// A day such as `2 March 2025` or `2 Mar`, in the language's words.
pub(super) fn day(text: &str, message: Message<'_>) -> Option<String> {
    let mut words = text.split(' ');
    let (day, month, year) = (words.next()?, words.next()?, words.next());
    if words.next().is_some() || day.is_empty() || day.len() > 2 || !day.bytes().all(|sign| sign.is_ascii_digit()) {
        return None;
    }
    match year {
        Some(year) if year.len() == 4 && year.bytes().all(|sign| sign.is_ascii_digit()) => {
            let number = MONTHS.iter().position(|name| *name == month)? + 1;
            let month = message(&format!("month-{number}"), &[])?;
            message("day-in-words", &[("day", day.to_owned()), ("month", month), ("year", year.to_owned())])
        }
        None => {
            let number = MONTHS.iter().position(|name| name.get(..3) == Some(month))? + 1;
            Some(format!("{day} {}", message(&format!("month-short-{number}"), &[])?))
        }
        Some(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::{Language, numbers};

    #[test]
    fn a_number_takes_the_decimal_sign_and_a_version_does_not() {
        let spanish = |text| numbers(text, Language::Spanish);
        assert_eq!(spanish("2.5 dB (+0.31)"), "2,5 dB (+0,31)");
        assert_eq!(spanish("0.1.0"), "0.1.0");
        assert_eq!(spanish("S12.60"), "S12.60");
        assert_eq!(numbers("2.5", Language::Longer), "2.5");
    }
}
