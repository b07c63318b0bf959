//! An observation in intervals, with a timer on the screen: it counts down, rings, asks, and goes on. What was not
//! answered in time is missed and counts for nothing.

use std::path::Path;
use std::time::Duration;

use jiff::{SignedDuration, Timestamp};

use crate::contract::{ObservationBody, SampleDoc};
use crate::devices;
use crate::tasks::samples::{self, AT_THE_TASK, Sampled};
use crate::tasks::{Refusal, reviews};

use super::Ending;
use super::arguments_practice::{AroundArguments, Sampling, SamplingArguments};
use super::world::World;

/// A clock that can wait.
trait Clock {
    /// Now.
    fn now(&mut self) -> Timestamp;
    /// Waits.
    fn wait(&mut self, time: Duration);
}

/// The computer's.
struct Machine;

impl Clock for Machine {
    fn now(&mut self) -> Timestamp {
        devices::now()
    }

    fn wait(&mut self, time: Duration) {
        devices::wait(time);
    }
}

/// Watches and tells what was seen.
pub(super) fn run(
    case: Option<&Path>,
    arguments: &SamplingArguments,
    around: &AroundArguments,
    world: &mut World<'_>,
) -> Result<SampleDoc, Ending> {
    let what = arguments.what.as_deref().unwrap_or(AT_THE_TASK);
    samples::may_look_for(what)?;
    if let Some(case) = case {
        crate::case::Case::open(case).map_err(Refusal::from)?;
    }
    if !world.stdin_is_terminal {
        return Err(Refusal::new(
            "cannot-ask",
            "sampling asks at the end of every interval, and nobody can be asked here",
        )
        .hint("run it at a terminal")
        .into());
    }
    let how = match arguments.sample {
        Some(Sampling::Whole) => Sampled::Whole,
        Some(Sampling::Partial) => Sampled::Partial,
        _ => Sampled::Momentary,
    };
    let date = around.date.as_deref().map_or_else(|| Ok(world.today()), reviews::read_date)?;
    let intervals = arguments.length * 60 / arguments.interval;
    world.say(&format!(
        "Looking for: {what}.\n{} {}\nEach time it rings: y or n and Enter; Enter alone for not looked. Ctrl-C ends it, and nothing is stored.",
        "Looking away, rocking or humming at the task is at the task.",
        how.bias()
    ));
    let _begun = world.ask("Enter begins: ")?;
    let marks = watch(&mut Machine, how, arguments.interval, intervals, world)?;
    let body = ObservationBody {
        method: how.word().to_owned(),
        what: what.to_owned(),
        interval_s: arguments.interval,
        marks,
        task: around.task.clone(),
        place: around.place.clone(),
        read_from: None,
    };
    Ok(samples::finish(case, body, how, around.by.as_deref(), date, world.now)?)
}

/// One mark an interval: `y`, `n`, or `-` for missed.
fn watch(
    clock: &mut dyn Clock,
    how: Sampled,
    interval_s: u32,
    intervals: u32,
    world: &mut World<'_>,
) -> Result<String, Ending> {
    let start = clock.now();
    let ends = |number: u32| {
        start.checked_add(SignedDuration::from_secs(i64::from(interval_s) * i64::from(number))).unwrap_or(start)
    };
    let mut marks = String::new();
    for number in 1..=intervals {
        // Whoever answered so late that this interval is over has missed it.
        if clock.now() >= ends(number) {
            marks.push('-');
            continue;
        }
        loop {
            let left = ends(number).duration_since(clock.now());
            if left <= SignedDuration::ZERO {
                break;
            }
            let seconds = left.as_secs() + i64::from(left.subsec_nanos() > 0);
            if world.stderr_is_terminal {
                let line = world.tongue.laid_out(&format!("\r{number} of {intervals} · {seconds:3} s \u{1b}[K"));
                world.stderr.write_all(line.as_bytes()).and_then(|()| world.stderr.flush())?;
            }
            let step = left.min(SignedDuration::from_millis(200));
            clock.wait(step.unsigned_abs());
        }
        let Some(line) = world.ask(&format!("\r\u{7}{number} of {intervals} · {} (y/n) \u{1b}[K", how.question()))?
        else {
            marks.extend((number..=intervals).map(|_| '-'));
            break;
        };
        marks.push(match line.to_lowercase().as_str() {
            "y" | "yes" | "sí" | "si" | "1" => 'y',
            "n" | "no" | "0" => 'n',
            _ => '-',
        });
    }
    Ok(marks)
}

#[cfg(test)]
mod tests {
    use super::{Clock, watch};
    use crate::cli::world::World;
    use crate::tasks::samples::Sampled;
    use jiff::tz::TimeZone;
    use jiff::{SignedDuration, Timestamp};
    use std::io::{self, Read};
    use std::time::Duration;

    /// A clock that runs only while somebody waits or types.
    struct Played<'a> {
        now: &'a std::cell::Cell<Timestamp>,
    }

    impl Clock for Played<'_> {
        fn now(&mut self) -> Timestamp {
            self.now.get()
        }

        fn wait(&mut self, time: Duration) {
            self.now.set(self.now.get().checked_add(SignedDuration::try_from(time).unwrap()).unwrap());
        }
    }

    /// Somebody who types a line and takes some seconds over it.
    struct Typist<'a> {
        now: &'a std::cell::Cell<Timestamp>,
        lines: Vec<(i64, &'static str)>,
        rest: Vec<u8>,
    }

    impl Read for Typist<'_> {
        fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
            if self.rest.is_empty() && !self.lines.is_empty() {
                let (seconds, line) = self.lines.remove(0);
                self.now.set(self.now.get().checked_add(SignedDuration::from_secs(seconds)).unwrap());
                self.rest = line.bytes().collect();
            }
            let count = buffer.len().min(self.rest.len());
            for (slot, byte) in buffer.iter_mut().zip(self.rest.drain(..count)) {
                *slot = byte;
            }
            Ok(count)
        }
    }

    #[test]
    fn an_answer_given_too_late_costs_the_intervals_it_took() {
        let now = std::cell::Cell::new("2026-11-20T16:45:00Z".parse().unwrap());
        // In time, in time, 31 seconds late (two intervals of 15 are over), in time; then nobody is there.
        let lines = vec![(1, "y\n"), (2, "n\n"), (31, "y\n"), (1, "y\n")];
        let mut typist = Typist { now: &now, lines, rest: Vec::new() };
        let (mut out, mut talk) = (Vec::new(), Vec::new());
        let mut world = World {
            stdout_is_terminal: false,
            tongue: None.into(),
            serve: |_, _| Ok(()),
            stdin: &mut typist,
            stdout: &mut out,
            stderr: &mut talk,
            zone: TimeZone::UTC,
            stdin_is_terminal: true,
            stderr_is_terminal: true,
            now: now.get(),
            config: None,
            state: None,
        };
        let marks = watch(&mut Played { now: &now }, Sampled::Momentary, 15, 8, &mut world).ok().unwrap();
        assert_eq!(marks, "yny--y--");
        let told = String::from_utf8(talk).unwrap();
        assert!(told.contains("1 of 8 ·  15 s") && told.contains("Right now? (y/n)"), "{told}");
    }
}
