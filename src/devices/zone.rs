//! The time zone this computer is set to, so that a day is the user's day and tomorrow is refused as the future.
//!
//! From `TZ` (handed in) or the system's own file, both read as the system's database writes them. Where neither can be
//! read (Windows), it is UTC; a day typed by hand is then compared with UTC's.

use std::fs;
use std::path::Path;

use jiff::tz::TimeZone;

/// Where the system keeps its zones, and the one it is set to.
const ZONES: &str = "/usr/share/zoneinfo";
const LOCAL: &str = "/etc/localtime";

/// The zone; `tz` is what the environment says, if anything.
pub fn zone(tz: Option<&str>) -> TimeZone {
    let named = tz.map(|tz| tz.trim_start_matches(':')).filter(|tz| !tz.is_empty());
    let found = match named {
        Some(name) => by_name(name),
        None => fs::read(LOCAL).ok().and_then(|bytes| TimeZone::tzif("local", &bytes).ok()),
    };
    found.unwrap_or(TimeZone::UTC)
}

/// A zone of the system's database, or a rule such as `CET-1CEST,M3.5.0,M10.5.0/3`.
fn by_name(name: &str) -> Option<TimeZone> {
    let inside = !name.split('/').any(|part| part.is_empty() || part == "..");
    let path = Path::new(ZONES).join(name);
    let read = inside.then(|| fs::read(path).ok()).flatten();
    read.and_then(|bytes| TimeZone::tzif(name, &bytes).ok()).or_else(|| TimeZone::posix(name).ok())
}

#[cfg(test)]
mod tests {
    use super::zone;
    use jiff::Timestamp;
    use jiff::civil::date;

    #[test]
    fn a_day_is_the_day_where_the_computer_stands() {
        let evening: Timestamp = "2026-10-19T22:30:00Z".parse().unwrap();
        let day = |tz| evening.to_zoned_datetime(zone(tz)).date();
        assert_eq!(day(Some("CET-1CEST,M3.5.0,M10.5.0/3")), date(2026, 10, 20));
        assert_eq!(day(Some("EST5")), date(2026, 10, 19));
        assert_eq!(day(Some("../../etc/passwd")), date(2026, 10, 19), "nothing outside the database is read");
    }
}
