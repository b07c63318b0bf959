//! How a spreadsheet writes a session log: what separates its cells, how it writes days and numbers.
//!
//! The project's own form is commas, ISO dates, whole numbers. A form is never guessed where two readings are possible:
//! 03/04/2026 is a day only when somebody has said which of the two is the month.

use jiff::civil::Date;

use super::parse::iso_date;

/// The order of a date's numbers where it is not ISO.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateForm {
    /// Year, month, day: 2026-10-20.
    Iso,
    /// Day, month, year.
    DayMonthYear,
    /// Month, day, year.
    MonthDayYear,
}

/// How a log is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Form {
    /// What stands between two cells; one ASCII sign.
    pub separator: char,
    /// How days are written. An ISO date is read in every form.
    pub dates: DateForm,
    /// Whether whole numbers may carry decimals that are nought: `10,0`.
    pub decimals: bool,
}

impl Form {
    /// The project's own.
    pub const OURS: Self = Self { separator: ',', dates: DateForm::Iso, decimals: false };

    /// A spreadsheet's: the separator is the one that its first line with words holds most of.
    pub fn of_spreadsheet(text: &str, dates: DateForm) -> Self {
        let head = text.trim_start_matches('\u{feff}').lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
        let count = |sign: char| head.chars().filter(|other| *other == sign).count();
        let separator = [',', ';', '\t'].into_iter().rev().max_by_key(|sign| count(*sign)).unwrap_or(',');
        Self { separator, dates, decimals: true }
    }

    /// A day as this form writes it.
    pub(super) fn date(&self, cell: &str) -> Option<Date> {
        if let Some(date) = iso_date(cell) {
            return Some(date);
        }
        let mut parts = cell.split(['/', '.', '-']);
        let (first, second, year) = (parts.next()?, parts.next()?, parts.next()?);
        let digits = |text: &str| text.bytes().all(|digit| digit.is_ascii_digit());
        let shaped = parts.next().is_none()
            && [first, second].iter().all(|part| (1..=2).contains(&part.len()) && digits(part))
            && year.len() == 4
            && digits(year);
        let (day, month) = match self.dates {
            DateForm::Iso => return None,
            DateForm::DayMonthYear => (first, second),
            DateForm::MonthDayYear => (second, first),
        };
        if !shaped {
            return None;
        }
        Date::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?).ok()
    }

    /// A number without decimals that are nought, where this form allows them.
    pub(super) fn whole<'a>(&self, cell: &'a str) -> &'a str {
        match cell.split_once([',', '.']).filter(|_| self.decimals) {
            Some((whole, part)) if !part.is_empty() && part.bytes().all(|digit| digit == b'0') => whole,
            _ => cell,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{DateForm, Form};
    use crate::practice::{parse, parse_lines};
    use jiff::civil::date;

    const HEAD: &str =
        "date;rung;opportunities;independent;prompted;errors;distress;assent;distractor_on;minutes;note\r\n";

    #[track_caller]
    fn one(row: &str, dates: DateForm) -> Result<(usize, crate::practice::Session, Vec<String>), String> {
        let text = format!("\u{feff}{HEAD}\r\n{row}\r\n");
        let mut found =
            parse_lines(&text, "log.csv", &Form::of_spreadsheet(&text, dates)).map_err(|e| e.to_string())?;
        let (line, session) = found.sessions.remove(0);
        Ok((line, session, found.notices))
    }

    #[test]
    fn a_spreadsheet_with_semicolons_decimal_commas_and_a_mark_is_read() {
        let row = "20.10.2026;1;10,0;9;1,00;0;no;yes;yes;7,5;\"calm; hummed\"";
        let (line, session, notices) = one(row, DateForm::DayMonthYear).unwrap();
        assert_eq!((line, session.date, session.opportunities), (3, date(2026, 10, 20), 10));
        assert_eq!((session.prompted, session.minutes, session.note.as_str()), (1, Some(8), "calm; hummed"));
        assert_eq!(notices, ["line 3: 7,5 minutes were read as 8; whole minutes are kept"]);
    }

    #[test]
    fn a_day_that_is_not_iso_is_read_only_as_somebody_said() {
        let row = "03/04/2026;1;10;9;1;0;no;yes;yes;8;";
        assert!(one(row, DateForm::Iso).unwrap_err().contains("line 3, column `date`"));
        assert_eq!(one(row, DateForm::DayMonthYear).unwrap().1.date, date(2026, 4, 3));
        assert_eq!(one(row, DateForm::MonthDayYear).unwrap().1.date, date(2026, 3, 4));
        let day = "23/04/2026;1;10;9;1;0;no;yes;yes;8;";
        assert!(one(day, DateForm::MonthDayYear).unwrap_err().contains("`23/04/2026` is not a date"));
        assert_eq!(
            one("2026-04-03;1;10;9;1;0;no;yes;yes;8;", DateForm::MonthDayYear).unwrap().1.date,
            date(2026, 4, 3)
        );
    }

    #[test]
    fn half_an_answer_is_no_answer_and_the_projects_own_form_stays_strict() {
        assert!(one("2026-04-03;1;10;8,5;1;0;no;yes;yes;8;", DateForm::Iso).unwrap_err().contains("`8,5`"));
        let ours = HEAD.replace(';', ",") + "2026-04-03,1,10.0,9,1,0,no,yes,yes,8,\n";
        assert!(parse(&ours, "log.csv").unwrap_err().to_string().contains("`10.0`"));
    }

    #[test]
    fn help_by_level_adds_up_to_the_prompted_answers() {
        let head = "date,rung,opportunities,independent,prompted,errors,distress,assent,distractor_on,minutes,note,\
                    time,prompt_gesture,prompt_full,reinforcer\n";
        let row = |full: u32| format!("{head}2026-04-03,1,10,6,3,1,no,yes,yes,8,,16:30,2,{full},bubbles\n");
        let log = parse(&row(1), "log.csv").unwrap();
        let details = &log.sessions()[0].details;
        assert_eq!(details.prompts.unwrap().counts(), [2, 0, 0, 1]);
        assert_eq!((details.time.as_deref(), details.reinforcer.as_deref()), (Some("16:30"), Some("bubbles")));
        assert_eq!(parse(&log.to_csv(), "log.csv").unwrap(), log);
        assert!(parse(&row(2), "log.csv").unwrap_err().to_string().contains("line 2, column `prompted`"));
    }
}
