//! What the family said is possible: times that are taken, places and what moving there costs, when it is practised now.

use jiff::Timestamp;
use jiff::civil::Date;

use crate::calm::day::{BLOCK_MINUTES, BLOCKS};
use crate::case::{Case, clock};
use crate::contract::{MovingBody, PossibleBody, RecordBody, TakenBody};
use crate::words::printable;

use super::cases::record;
use super::refusal::Refusal;

/// The night where nobody said when bedtime is, minutes after midnight. Convention.
const NIGHT: (u32, u32) = (20 * 60, 7 * 60);
/// A time that only a night holds.
const DEEP_NIGHT: u32 = 3 * 60;

/// What is told anew; what is left out stays as it was.
#[derive(Clone, Debug, Default)]
pub struct Telling {
    /// Times that are taken, as typed: `17:00-18:30=cooking`. One told again replaces all that were told before.
    pub taken: Vec<String>,
    /// Places as typed: `window table=10`, or `kitchen=no`.
    pub moving: Vec<String>,
    /// When it is practised now, `16:30`.
    pub learning_time: Option<String>,
    /// Minutes that another time costs.
    pub time_minutes: Option<f64>,
}

impl Telling {
    fn is_empty(&self) -> bool {
        self.taken.is_empty() && self.moving.is_empty() && self.learning_time.is_none() && self.time_minutes.is_none()
    }
}

/// What holds in a case.
pub(super) fn newest(case: &Case) -> Result<PossibleBody, Refusal> {
    let found = case.standing(|kind| kind == "possible")?.records;
    let newest =
        found.into_iter().max_by(|a, b| (&a.record.date, &a.record.written).cmp(&(&b.record.date, &b.record.written)));
    Ok(newest.map_or_else(PossibleBody::default, |stored| match stored.record.body {
        RecordBody::Possible(body) => body,
        _ => PossibleBody::default(),
    }))
}

/// Stores what is told; nothing where nothing is.
pub fn store(
    case: &Case,
    telling: &Telling,
    by: Option<&str>,
    today: Date,
    now: Timestamp,
) -> Result<Option<String>, Refusal> {
    if telling.is_empty() {
        return Ok(None);
    }
    let mut body = newest(case)?;
    if !telling.taken.is_empty() {
        body.taken = telling.taken.iter().map(|text| taken(text)).collect::<Result<_, _>>()?;
    }
    for text in &telling.moving {
        let moving = moving(text)?;
        body.places.retain(|place| place.name != moving.name);
        body.places.push(moving);
    }
    if let Some(time) = &telling.learning_time {
        if clock(time).is_none() {
            return Err(no_time(time));
        }
        body.learning_time = Some(time.clone());
    }
    if let Some(minutes) = telling.time_minutes {
        body.time_minutes = Some(cost(minutes)?);
    }
    Ok(Some(case.add(&record(RecordBody::Possible(body), &today.to_string(), by, now))?.id))
}

fn no_time(text: &str) -> Refusal {
    Refusal::new("no-time", format!("`{}` is no time of the day", printable(text)))
        .hint("write hours and minutes: 16:30")
}

fn cost(minutes: f64) -> Result<f64, Refusal> {
    if (0.0..=1440.0).contains(&minutes) {
        return Ok(minutes);
    }
    Err(Refusal::new("minutes", format!("a move takes no {minutes} minutes")).hint("give 0 to 1440"))
}

/// A taken time as typed.
fn taken(text: &str) -> Result<TakenBody, Refusal> {
    let (span, why) = text.split_once('=').unwrap_or((text, "taken"));
    let refused = || {
        Refusal::new("taken", format!("`{}` is no time that is taken", printable(text)))
            .hint("write from, to and why: --taken \"17:00-18:30=cooking\"")
    };
    let (from, to) = span.split_once('-').ok_or_else(refused)?;
    let (from, to) = (from.trim(), to.trim());
    let (starts, ends) = (clock(from).ok_or_else(refused)?, clock(to).ok_or_else(refused)?);
    if starts == ends || why.trim().is_empty() {
        return Err(refused());
    }
    Ok(TakenBody { from: from.to_owned(), to: to.to_owned(), why: why.trim().to_owned() })
}

/// A place as typed.
fn moving(text: &str) -> Result<MovingBody, Refusal> {
    let refused = || {
        Refusal::new("moving", format!("`{}` names no place and what moving there takes", printable(text)))
            .hint("write the place and minutes, or no: --moving \"window table=10\" --moving \"kitchen=no\"")
    };
    let (name, rest) = text.rsplit_once('=').ok_or_else(refused)?;
    let name = name.trim().to_owned();
    if name.is_empty() {
        return Err(refused());
    }
    let minutes = match rest.trim() {
        "no" => None,
        number => Some(cost(number.parse().map_err(|_| refused())?)?),
    };
    Ok(MovingBody { name, minutes })
}

fn spans(possible: &PossibleBody) -> Vec<(u32, u32)> {
    let told = possible.taken.iter().filter_map(|taken| Some((clock(&taken.from)?, clock(&taken.to)?)));
    let mut spans: Vec<(u32, u32)> = told.collect();
    if !spans.iter().any(|span| holds(*span, DEEP_NIGHT)) {
        spans.push(NIGHT);
    }
    spans
}

fn holds((from, to): (u32, u32), minute: u32) -> bool {
    if from < to { (from..to).contains(&minute) } else { minute >= from || minute < to }
}

/// Whether the family said when bedtime is.
pub(super) fn names_the_night(possible: &PossibleBody) -> bool {
    let told = possible.taken.iter().filter_map(|taken| Some((clock(&taken.from)?, clock(&taken.to)?)));
    told.into_iter().any(|span| holds(span, DEEP_NIGHT))
}

/// The blocks of a day that are taken, bedtime among them; a block that is taken in part is taken.
pub(super) fn taken_blocks(possible: &PossibleBody) -> Vec<bool> {
    let spans = spans(possible);
    let minutes = |block: usize| {
        let from = u32::try_from(block * BLOCK_MINUTES).unwrap_or(0);
        from..from + u32::try_from(BLOCK_MINUTES).unwrap_or(5)
    };
    (0..BLOCKS).map(|block| minutes(block).any(|minute| spans.iter().any(|span| holds(*span, minute)))).collect()
}

#[cfg(test)]
mod tests {
    use super::{moving, names_the_night, taken, taken_blocks};
    use crate::contract::PossibleBody;

    #[test]
    fn a_taken_time_may_run_past_midnight() {
        let night = PossibleBody { taken: vec![taken("19:00-06:30=bedtime").unwrap()], ..PossibleBody::default() };
        assert!(names_the_night(&night));
        let blocks = taken_blocks(&night);
        assert!(blocks[0] && blocks[77] && !blocks[78] && !blocks[19 * 12 - 1] && blocks[19 * 12]);
    }

    #[test]
    fn where_nobody_said_so_eight_to_seven_is_night() {
        let cooking = PossibleBody { taken: vec![taken("17:00-18:32=cooking").unwrap()], ..PossibleBody::default() };
        assert!(!names_the_night(&cooking));
        let blocks = taken_blocks(&cooking);
        assert!(blocks[83] && !blocks[84] && blocks[20 * 12] && blocks[17 * 12] && blocks[18 * 12 + 6]);
        assert!(!blocks[18 * 12 + 7]);
    }

    #[test]
    fn what_cannot_be_read_is_refused() {
        for wrong in ["cooking", "17-18=cooking", "17:00-17:00=x", "25:00-26:00=x", "17:00-18:00= "] {
            assert_eq!(taken(wrong).unwrap_err().code, "taken", "{wrong}");
        }
        for wrong in ["table", "=10", "table=soon", "table=-1", "table=nan"] {
            assert!(moving(wrong).is_err(), "{wrong}");
        }
        assert_eq!(moving("a=b=no").unwrap().name, "a=b");
    }
}
