//! Aliases and birth months: never a real name, never a full birth date.

/// What is wrong with an alias or a birth month.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum AliasFault {
    /// Nothing, or far too much.
    #[error("an alias has 1 to 40 signs")]
    Length,
    /// Control characters, path signs.
    #[error("an alias has letters, digits, spaces, hyphens and apostrophes only")]
    Signs,
    /// An address.
    #[error("`{0}` looks like an e-mail address")]
    Address(String),
    /// A date.
    #[error("`{0}` looks like a date of birth")]
    BirthDate(String),
    /// Two capitalised words or more.
    #[error("`{0}` looks like a full name")]
    FullName(String),
    /// A birth month in another form.
    #[error("`{0}` is not a month such as 2022-07; a full birth date is never kept")]
    Month(String),
}

/// Checks that an alias is one word or a playful one, and no address; [`doubt_alias`] asks about the rest.
pub fn check_alias(alias: &str) -> Result<(), AliasFault> {
    let shown = || crate::words::printable(alias);
    if alias.trim() != alias || alias.is_empty() || alias.chars().count() > 40 {
        return Err(AliasFault::Length);
    }
    if alias.contains('@') {
        return Err(AliasFault::Address(shown()));
    }
    if !alias.chars().all(|sign| sign.is_alphanumeric() || matches!(sign, ' ' | '-' | '\'' | '’')) {
        return Err(AliasFault::Signs);
    }
    Ok(())
}

/// What to ask about an alias before it is taken: it looks like a full name or a date of birth. "Quiet River" is an alias all
/// the same, so a person has the last word.
pub fn doubt_alias(alias: &str) -> Option<AliasFault> {
    let shown = || crate::words::printable(alias);
    if alias.chars().filter(char::is_ascii_digit).count() >= 6 {
        return Some(AliasFault::BirthDate(shown()));
    }
    let parts = alias.split([' ', '-']);
    let capitalised = parts.filter(|word| word.chars().next().is_some_and(char::is_uppercase)).count();
    (capitalised >= 2).then(|| AliasFault::FullName(shown()))
}

/// Checks that a birth month is `YYYY-MM`, and nothing more exact.
pub fn check_birth_month(month: &str) -> Result<(), AliasFault> {
    let fault = || AliasFault::Month(crate::words::printable(month));
    let (year, number) = month.split_once('-').ok_or_else(fault)?;
    let digits = |text: &str, count: usize| text.len() == count && text.bytes().all(|digit| digit.is_ascii_digit());
    let in_range = digits(year, 4) && digits(number, 2) && matches!(number.parse::<u8>(), Ok(1..=12)) && year >= "1990";
    if in_range { Ok(()) } else { Err(fault()) }
}

#[cfg(test)]
mod tests {
    use super::{AliasFault, check_alias, check_birth_month, doubt_alias};

    #[test]
    fn a_plant_is_an_alias_and_a_full_name_is_not() {
        assert_eq!(check_alias("Clover"), Ok(()));
        assert_eq!(check_alias("little fern"), Ok(()));
        assert!(matches!(check_alias("a@b.example"), Err(AliasFault::Address(_))));
        for plain in ["Clover", "little fern", "Fern 2", "moss-7"] {
            assert_eq!(doubt_alias(plain), None, "{plain}");
        }
        for name in ["Anna Example", "Anna-Lena Example", "Quiet River"] {
            assert!(matches!(doubt_alias(name), Some(AliasFault::FullName(_))), "{name}");
        }
        for date in ["2022-07-14", "14072022", "Fern 14 07 2022"] {
            assert!(matches!(doubt_alias(date), Some(AliasFault::BirthDate(_))), "{date}");
        }
        assert_eq!(check_alias(""), Err(AliasFault::Length));
        assert_eq!(check_alias("../fern"), Err(AliasFault::Signs));
    }

    #[test]
    fn a_birth_month_is_never_a_day() {
        assert_eq!(check_birth_month("2022-07"), Ok(()));
        for wrong in ["2022-07-14", "2022-13", "07-2022", "2022", "2022-7", ""] {
            assert!(check_birth_month(wrong).is_err(), "{wrong}");
        }
    }
}
