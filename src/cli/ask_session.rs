//! A session asked at the terminal: what was not given is asked, with the likely answer ready. Whether there was distress
//! and whether the child was willing is never assumed.

use jiff::SignedDuration;
use jiff::civil::Date;

use crate::practice::{Details, Prompts, Session, is_time};
use crate::tasks::sessions::Likely;
use crate::tasks::{Refusal, reviews};
use crate::words::printable;

use super::Ending;
use super::arguments_practice::{AroundArguments, CountArguments, YesNo};
use super::world::World;

/// Tries at one question before giving up.
const TRIES: usize = 5;

/// The session that the options and the answers make.
pub(super) fn session(
    counts: &CountArguments,
    around: &AroundArguments,
    likely: &Likely,
    world: &mut World<'_>,
) -> Result<Session, Ending> {
    let today = world.today();
    let date = around.date.as_deref().map_or(Ok(today), reviews::read_date)?;
    let asking = [counts.independent.is_none(), counts.distress.is_none(), counts.assent.is_none()].contains(&true)
        || (counts.distractor_on.is_none() && counts.rung.unwrap_or(likely.rung) > 0);
    if asking && !world.stdin_is_terminal {
        return Err(missing(counts, likely).into());
    }
    let task = around.task.clone().or_else(|| likely.task.clone());
    let place = around.place.clone().or_else(|| likely.place.clone());
    let by = around.by.clone().or_else(|| likely.by.clone());
    if asking {
        let who = by.as_deref().map_or_else(String::new, |by| format!(", by {}", printable(by)));
        let what = reviews::what_where(task.as_deref(), place.as_deref());
        world.say(&format!("{date}, {what}{who}. Enter takes what stands in brackets; Ctrl-C stores nothing."));
    }
    let asked = Asked { asking };
    let rung = match counts.rung {
        Some(rung) => rung,
        None if asking => {
            let top = likely.top.map_or_else(String::new, |top| format!(" 0–{top}"));
            asked.number(world, &format!("Rung{top}"), likely.rung, likely.top.unwrap_or(999))?
        }
        None => likely.rung,
    };
    let distractor_on = match counts.distractor_on {
        Some(answer) => answer == YesNo::Yes,
        // In the cleared room there is none.
        None if rung == 0 => false,
        None => asked.yes_no(world, "Was its distractor really on?")?,
    };
    let exemplar = match (&around.exemplar, likely.exemplars.as_slice()) {
        (None, things @ [_, _, ..]) if asking && rung == likely.rung && rung > 0 => {
            asked.one_of(world, "Which one?", things)?
        }
        (given, _) => given.clone(),
    };
    let (opportunities, independent, prompted, errors) = asked.answers(world, counts, likely)?;
    let prompts = match &counts.prompts {
        Some(text) => Some(levels(text).ok_or_else(|| prompts_refused(text))?),
        None if asking && counts.independent.is_none() && prompted > 0 => asked.levels(world, prompted)?,
        None => None,
    };
    let distress = match counts.distress {
        Some(answer) => answer == YesNo::Yes,
        None => asked.yes_no(world, "Any distress, then or afterwards?")?,
    };
    let assent = match counts.assent {
        Some(answer) => answer == YesNo::Yes,
        None => asked.yes_no(world, "Did the child come and stay willingly?")?,
    };
    let whole = counts.independent.is_none() && asking;
    let minutes = match around.minutes {
        None if whole => Some(asked.number(world, "Minutes", likely.minutes.unwrap_or(10), 1440)?),
        given => given,
    };
    let reinforcer = match &around.reinforcer {
        None if whole => asked.words(world, "Worked for", likely.reinforcer.as_deref())?,
        given => given.clone(),
    };
    let note = match &around.note {
        None if whole => asked.words(world, "Note", None)?.unwrap_or_default(),
        given => given.clone().unwrap_or_default(),
    };
    let time = time(around, whole, minutes, date, world)?;
    let filled = |text: Option<String>| text.filter(|text| !text.trim().is_empty());
    Ok(Session {
        date,
        rung,
        opportunities,
        independent,
        prompted,
        errors,
        distress,
        assent,
        distractor_on,
        minutes,
        note,
        task: filled(task),
        place: filled(place),
        by: filled(by),
        exemplar: filled(exemplar),
        after: counts.after,
        further: Vec::new(),
        details: Details {
            time,
            prompts,
            attention_s: around.attention_s,
            latency_s: around.latency_s,
            breaks: around.breaks,
            reinforcer: filled(reinforcer),
            observer: filled(around.observer.clone()),
            lifted: false,
            written: None,
        },
    })
}

/// When it began: as given, or for a session asked for today, now less its minutes, so that the sittings of a day differ.
fn time(
    around: &AroundArguments,
    asked: bool,
    minutes: Option<u32>,
    date: Date,
    world: &World<'_>,
) -> Result<Option<String>, Refusal> {
    if let Some(time) = &around.time {
        return if is_time(time) {
            Ok(Some(time.clone()))
        } else {
            Err(Refusal::new("time", format!("`{}` is no time", printable(time)))
                .hint("give hours and minutes, such as 16:30"))
        };
    }
    if !asked || date != world.today() {
        return Ok(None);
    }
    let ago = SignedDuration::from_mins(i64::from(minutes.unwrap_or(0)));
    let began = world.now.checked_sub(ago).unwrap_or(world.now).to_zoned_datetime(world.zone.clone());
    Ok((began.date() == date).then(|| format!("{:02}:{:02}", began.hour(), began.minute())))
}

/// What has to be given where nobody can be asked.
fn missing(counts: &CountArguments, likely: &Likely) -> Refusal {
    let rung = counts.rung.unwrap_or(likely.rung);
    let wanted = [
        (counts.independent.is_none(), "--independent"),
        (counts.distractor_on.is_none() && rung > 0, "--distractor-on"),
        (counts.distress.is_none(), "--distress"),
        (counts.assent.is_none(), "--assent"),
    ];
    let names: Vec<&str> = wanted.iter().filter(|(missing, _)| *missing).map(|(_, name)| *name).collect();
    Refusal::new("cannot-ask", format!("not given: {}", names.join(", ")))
        .hint("give them, or run it at a terminal, where it asks; distress and assent are never assumed")
}

fn prompts_refused(text: &str) -> Refusal {
    Refusal::new("prompts", format!("`{}` is no help by level", printable(text)))
        .hint("give four whole numbers: gesture, model, partial, full, such as --prompts 1,0,0,1")
}

/// Help by level as typed: four numbers, or fewer with the rest nought.
fn levels(text: &str) -> Option<Prompts> {
    let numbers: Vec<u32> =
        text.split([',', ' ']).filter(|part| !part.is_empty()).map(|part| part.parse().ok()).collect::<Option<_>>()?;
    if numbers.is_empty() || numbers.len() > 4 {
        return None;
    }
    let at = |index: usize| numbers.get(index).copied().unwrap_or(0);
    Some(Prompts::of([at(0), at(1), at(2), at(3)]))
}

/// Asking, when there is somebody.
struct Asked {
    asking: bool,
}

impl Asked {
    /// Asks until `read` takes the line.
    fn until<T>(
        &self,
        world: &mut World<'_>,
        question: &str,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<T, Ending> {
        for _ in 0..TRIES {
            let Some(line) = world.ask(question)? else { break };
            match read(&line) {
                Ok(found) => return Ok(found),
                Err(why) => world.say(&format!("  {why}")),
            }
        }
        Err(Refusal::new("no-answer", "no answer that can be used; nothing was stored")
            .hint("begin again with `stillroom session`, or give everything by options")
            .into())
    }

    fn number(&self, world: &mut World<'_>, question: &str, likely: u32, most: u32) -> Result<u32, Ending> {
        self.until(world, &format!("{question} [{likely}]: "), |line| match line {
            "" => Ok(likely),
            line => line
                .parse()
                .ok()
                .filter(|number| *number <= most)
                .ok_or_else(|| format!("a whole number from 0 to {most}")),
        })
    }

    /// No answer stands ready: what matters for safety is said, not taken.
    fn yes_no(&self, world: &mut World<'_>, question: &str) -> Result<bool, Ending> {
        self.until(world, &format!("{question} (y/n): "), |line| match line.to_lowercase().as_str() {
            "y" | "yes" | "sí" | "si" | "1" => Ok(true),
            "n" | "no" | "0" => Ok(false),
            _ => Err("y or n".to_owned()),
        })
    }

    fn words(&self, world: &mut World<'_>, question: &str, likely: Option<&str>) -> Result<Option<String>, Ending> {
        let ready = likely.map_or_else(|| "nothing".to_owned(), printable);
        self.until(world, &format!("{question} [{ready}]: "), |line| {
            Ok(if line.is_empty() { likely.map(ToOwned::to_owned) } else { Some(line.to_owned()) })
        })
    }

    fn one_of(&self, world: &mut World<'_>, question: &str, things: &[String]) -> Result<Option<String>, Ending> {
        let list: Vec<String> =
            things.iter().zip(1..).map(|(thing, number)| format!("{number} {}", printable(thing))).collect();
        self.until(world, &format!("{question} {} [not noted]: ", list.join(", ")), |line| {
            if line.is_empty() {
                return Ok(None);
            }
            match line.parse::<usize>().ok() {
                Some(number) => number
                    .checked_sub(1)
                    .and_then(|at| things.get(at))
                    .map(|thing| Some(thing.clone()))
                    .ok_or_else(|| format!("a number from 1 to {}, or words", things.len())),
                None => Ok(Some(line.to_owned())),
            }
        })
    }

    fn levels(&self, world: &mut World<'_>, prompted: u32) -> Result<Option<Prompts>, Ending> {
        let question = "Help by level: gesture, model, partial, full [not noted]: ";
        self.until(world, question, |line| {
            if line.is_empty() {
                return Ok(None);
            }
            match levels(line).filter(|found| found.sum() == u64::from(prompted)) {
                Some(found) => Ok(Some(found)),
                None => Err(format!(
                    "up to four numbers that add up to {prompted}, such as 1 0 0 {}",
                    prompted.saturating_sub(1)
                )),
            }
        })
    }

    /// Opportunities, alone, with help, wrong.
    fn answers(
        &self,
        world: &mut World<'_>,
        counts: &CountArguments,
        likely: &Likely,
    ) -> Result<(u32, u32, u32, u32), Ending> {
        let given = counts.opportunities;
        if let Some(independent) = counts.independent {
            let (prompted, errors) = (counts.prompted.unwrap_or(0), counts.errors.unwrap_or(0));
            let told = independent.saturating_add(prompted).saturating_add(errors);
            return Ok((given.unwrap_or(likely.opportunities.max(told)), independent, prompted, errors));
        }
        debug_assert!(self.asking, "nobody is asked where nobody is");
        let of = given.unwrap_or(likely.opportunities);
        let question =
            format!("Alone, with help, wrong, of {of} (8 1 1; another number of opportunities: 5 1 0 of 6): ");
        self.until(world, &question, |line| {
            let (line, of) = match line.split_once("of").or_else(|| line.split_once('/')) {
                Some((line, of)) => (line, of.trim().parse().map_err(|_| "a whole number after `of`".to_owned())?),
                None => (line, of),
            };
            let numbers: Option<Vec<u32>> =
                line.split([' ', ',']).filter(|part| !part.is_empty()).map(|part| part.parse().ok()).collect();
            let Some((alone, rest)) =
                numbers.as_deref().and_then(<[u32]>::split_first).filter(|(_, rest)| rest.len() < 3)
            else {
                return Err("one to three whole numbers: alone, with help, wrong".to_owned());
            };
            let at = |index: usize| rest.get(index).copied().unwrap_or(0);
            let sum = u64::from(*alone) + u64::from(at(0)) + u64::from(at(1));
            if sum > u64::from(of) {
                return Err(format!("{sum} answers are more than {of} opportunities"));
            }
            Ok((of, *alone, at(0), at(1)))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::session;
    use crate::cli::Ending;
    use crate::cli::arguments_practice::{AroundArguments, CountArguments};
    use crate::cli::world::World;
    use crate::practice::Session;
    use crate::tasks::sessions::Likely;
    use clap::{Args, Command, FromArgMatches};
    use jiff::tz::TimeZone;

    fn likely() -> Likely {
        Likely {
            rung: 2,
            top: Some(5),
            opportunities: 10,
            minutes: Some(9),
            task: Some("matching leaf shapes".to_owned()),
            place: Some("window table".to_owned()),
            by: Some("parent".to_owned()),
            reinforcer: Some("bubbles".to_owned()),
            exemplars: vec!["a poster".to_owned(), "family photos".to_owned()],
        }
    }

    /// What comes of options and typed lines, and what was said.
    fn asked(options: &[&str], typed: &str, terminal: bool) -> (Result<Session, Ending>, String) {
        let command = AroundArguments::augment_args(CountArguments::augment_args(Command::new("session")));
        let matches = command.get_matches_from(["session"].iter().chain(options));
        let counts = CountArguments::from_arg_matches(&matches).unwrap();
        let around = AroundArguments::from_arg_matches(&matches).unwrap();
        let (mut input, mut out, mut talk) = (typed.as_bytes(), Vec::new(), Vec::new());
        let mut world = World {
            stdout_is_terminal: false,
            tongue: None.into(),
            serve: |_, _| Ok(()),
            stdin: &mut input,
            stdout: &mut out,
            stderr: &mut talk,
            zone: TimeZone::UTC,
            stdin_is_terminal: terminal,
            stderr_is_terminal: terminal,
            now: "2026-11-20T16:45:00Z".parse().unwrap(),
            config: None,
            state: None,
        };
        let found = session(&counts, &around, &likely(), &mut world);
        (found, String::from_utf8(talk).unwrap())
    }

    #[test]
    fn a_session_takes_a_dozen_keys_beside_enter() {
        // Rung, distractor, which, answers, help, distress, willing, minutes, worked for, note.
        let typed = "\ny\n2\n8 1 1\n\nn\ny\n\n\n\n";
        let (found, said) = asked(&[], typed, true);
        let found = found.ok().unwrap();
        assert_eq!(
            (found.rung, found.opportunities, found.independent, found.prompted, found.errors),
            (2, 10, 8, 1, 1)
        );
        assert_eq!((found.distractor_on, found.distress, found.assent, found.minutes), (true, false, true, Some(9)));
        assert_eq!(found.exemplar.as_deref(), Some("family photos"));
        assert_eq!(
            (found.details.time.as_deref(), found.details.reinforcer.as_deref()),
            (Some("16:36"), Some("bubbles"))
        );
        assert_eq!((found.task.as_deref(), found.by.as_deref()), (Some("matching leaf shapes"), Some("parent")));
        assert!(typed.len() - typed.matches('\n').count() <= 12, "{said}");
        // Keystroke-level model (Card, Moran and Newell 1980, from memory): 0.28 s a key, 1.35 s to think a question.
        let seconds = 0.28 * typed.len() as f64 + 1.35 * typed.matches('\n').count() as f64;
        assert!(seconds < 30.0, "{seconds}");
    }

    #[test]
    fn a_wrong_answer_is_asked_again_and_safety_is_never_taken_for_granted() {
        let typed = "9\n2\nperhaps\ny\n\n8 2 1\n5 1 of 6\n1\n\nn\nyes\n\n\nunwell, coughs\n";
        let (found, said) = asked(&[], typed, true);
        let found = found.ok().unwrap();
        assert_eq!(
            (found.opportunities, found.independent, found.prompted, found.note.as_str()),
            (6, 5, 1, "unwell, coughs")
        );
        assert_eq!(found.details.prompts.unwrap().counts(), [1, 0, 0, 0]);
        for told in ["from 0 to 5", "y or n", "11 answers are more than 10 opportunities"] {
            assert!(said.contains(told), "{told}: {said}");
        }
        assert!(
            matches!(asked(&[], "\ny\n\n8\n", true).0, Err(Ending::Refused(refusal)) if refusal.code == "no-answer")
        );
    }

    #[test]
    fn without_a_terminal_what_is_missing_is_named() {
        let Err(Ending::Refused(refusal)) = asked(&["--independent", "9"], "", false).0 else { unreachable!() };
        assert_eq!(refusal.message, "not given: --distractor-on, --distress, --assent");
        let all =
            ["--independent", "9", "--distractor-on", "yes", "--distress", "no", "--assent", "yes", "--rung", "1"];
        let (found, said) = asked(&all, "", false);
        let found = found.ok().unwrap();
        assert_eq!((found.rung, found.opportunities, found.independent, found.minutes), (1, 10, 9, None));
        assert_eq!((found.details.time, said), (None, String::new()));
    }
}
