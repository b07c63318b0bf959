//! Sheet numbers: six digits and two check digits, `482 391 75`.
//!
//! ISO 7064:2003, MOD 97-10 (the check of IBAN, ISO 13616, from memory): `check = 98 − (100·n mod 97)`, and the whole number
//! leaves 1 when divided by 97. Every single wrong digit and every swap of two neighbours is found. [ISO7064]

/// Numbers there are.
pub(super) const NUMBERS: u32 = 1_000_000;

/// Why a number is none of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NumberFault {
    /// Not eight digits.
    #[error("a sheet's number has eight digits")]
    Digits,
    /// The check digits do not fit.
    #[error("the check digits do not fit: a digit is wrong")]
    Check,
}

/// A number as it is printed: `482 391 75`.
pub fn spoken(number: u32) -> String {
    let number = number % NUMBERS;
    let check = 98 - (u64::from(number) * 100) % 97;
    format!("{:03} {:03} {check:02}", number / 1000, number % 1000)
}

/// The number that was typed from a sheet.
pub fn checked(typed: &str) -> Result<u32, NumberFault> {
    let digits: String = typed.chars().filter(|sign| !sign.is_whitespace() && *sign != '-').collect();
    if digits.len() != 8 || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(NumberFault::Digits);
    }
    let whole: u64 = digits.parse().map_err(|_| NumberFault::Digits)?;
    let check = whole % 100;
    if whole % 97 != 1 || !(2..=98).contains(&check) {
        return Err(NumberFault::Check);
    }
    u32::try_from(whole / 100).map_err(|_| NumberFault::Digits)
}

#[cfg(test)]
mod tests {
    use super::{NUMBERS, NumberFault, checked, spoken};

    #[test]
    fn every_wrong_digit_and_every_swap_is_found() {
        for number in (0..NUMBERS).step_by(7919) {
            let right = spoken(number).replace(' ', "");
            assert_eq!(checked(&right), Ok(number));
            for at in 0..8 {
                for digit in '0'..='9' {
                    let wrong: String =
                        right.chars().enumerate().map(|(i, c)| if i == at { digit } else { c }).collect();
                    assert_eq!(checked(&wrong).is_ok(), wrong == right, "{wrong}");
                }
                let mut swapped: Vec<char> = right.chars().collect();
                if at > 0 && swapped[at] != swapped[at - 1] {
                    swapped.swap(at, at - 1);
                    assert_eq!(checked(&swapped.iter().collect::<String>()), Err(NumberFault::Check));
                }
            }
        }
    }

    #[test]
    fn the_published_example_of_the_check_holds() {
        // ISO 7064 MOD 97-10 of 794 is 44 (the standard's own example, from memory).
        assert_eq!(98 - (794 * 100) % 97, 44);
        assert_eq!(spoken(794), "000 794 44");
    }
}
