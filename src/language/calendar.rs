//! Days and numbers as a language writes them.

use jiff::civil::{Date, Weekday};

use super::{Language, Said, Speaker};

const MONTHS: [&str; 12] = [
    "month-1", "month-2", "month-3", "month-4", "month-5", "month-6", "month-7", "month-8", "month-9", "month-10",
    "month-11", "month-12",
];

impl Speaker {
    /// A day in words: `2 March 2025`, `2 de marzo de 2025`.
    pub fn day(&self, date: Date) -> String {
        let month = usize::try_from(date.month()).ok().and_then(|month| MONTHS.get(month.checked_sub(1)?));
        self.say_with(
            "day-in-words",
            &[
                ("day", Said::Words(date.day().to_string())),
                ("month", Said::Words(month.map(|name| self.plain(name)).unwrap_or_default())),
                ("year", Said::Words(date.year().to_string())),
            ],
        )
    }

    /// A day of the week.
    pub fn weekday(&self, day: Weekday) -> String {
        let name = match day {
            Weekday::Monday => "weekday-1",
            Weekday::Tuesday => "weekday-2",
            Weekday::Wednesday => "weekday-3",
            Weekday::Thursday => "weekday-4",
            Weekday::Friday => "weekday-5",
            Weekday::Saturday => "weekday-6",
            Weekday::Sunday => "weekday-7",
        };
        self.say(name)
    }

    /// A number with that many decimals, with this language's decimal sign and a true minus.
    pub fn number(&self, value: f64, decimals: usize) -> String {
        let text = format!("{value:.decimals$}").replace('-', "\u{2212}");
        match self.language() {
            Language::Spanish => text.replace('.', ","),
            Language::English | Language::Longer | Language::Mirrored => text,
        }
    }

    /// A message that goes into another one, so that the made languages shape it once.
    fn plain(&self, id: &str) -> String {
        super::look_up(self.own(), id, &[]).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::{Language, Speaker};

    #[test]
    fn days_and_numbers_are_written_as_in_the_language() {
        let (english, spanish) = (Speaker::new(Language::English), Speaker::new(Language::Spanish));
        assert_eq!(english.day(date(2025, 3, 2)), "2 March 2025");
        assert_eq!(spanish.day(date(2025, 3, 2)), "2 de marzo de 2025");
        assert_eq!(english.number(-2.25, 1), "\u{2212}2.2");
        assert_eq!(spanish.number(2.5, 1), "2,5");
    }
}
