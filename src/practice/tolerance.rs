//! Tolerance: how far up the child stays independent, estimated with its doubt.
//!
//! `p(independent) = .97/(1 + e^(−(h−x)/s))` at rung x, half-way point h, spread s. Grid h = −3, −2.95, … D + 3 (D the
//! highest x), prior N(1, 2), s of ¼, ½, 1, 2 equally likely. By date: between dates h drifts with a standard
//! deviation of .15·√days (cut at four of them, each source kept within the grid), then the binomial likelihood.
//! Domain: sessions with opportunities; `None` without one. A convention, not a validated scale. Checked against an
//! independent computation of the same definition (tests/oracle/practice); against a plain twin in the tests below.

use jiff::civil::Date;

use super::grid::{Grid, MARGIN, SPREADS, STEP, STEPS_A_RUNG, independent};
use super::session::{Log, Session, days_between};
use crate::words::Channel;

/// What an estimate needs to count as enough.
const ENOUGH_TRIALS: u64 = 30;
const ENOUGH_SD: f64 = 1.0;

/// What x counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// The rung's number: a log without its ladder.
    Rung,
    /// The rungs so far that raise this channel.
    Channel(Channel),
}

impl Axis {
    /// The word used in files and on screens.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Rung => "rung",
            Self::Channel(channel) => channel.word(),
        }
    }
}

/// An estimate of tolerance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    /// What x counts.
    pub axis: Axis,
    /// Opportunities used.
    pub trials: u64,
    /// The half-way point, in rungs.
    pub half: f64,
    /// Its standard deviation.
    pub sd: f64,
    /// Its 5th percentile.
    pub low: f64,
    /// Its 95th percentile.
    pub high: f64,
    /// The expected share of independent answers one rung above the highest practised.
    pub next_share: f64,
    /// Whether that is enough to speak of; else say "not enough data".
    pub enough: bool,
}

/// Some opportunities at one x on one day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Trials {
    /// The day.
    pub date: Date,
    /// How far up.
    pub x: u32,
    /// Opportunities given.
    pub opportunities: u32,
    /// Answered alone.
    pub independent: u32,
}

/// Sessions that say something about their rung.
fn usable(log: &Log) -> impl Iterator<Item = &Session> {
    log.sessions().iter().filter(|session| !session.is_void() && session.opportunities > 0)
}

fn trials(session: &Session, x: u32) -> Trials {
    let Session { date, opportunities, independent, .. } = *session;
    Trials { date, x, opportunities, independent }
}

/// Tolerance along the rungs of a log.
pub fn tolerance(log: &Log) -> Option<Tolerance> {
    let used: Vec<Trials> = usable(log).map(|session| trials(session, session.rung)).collect();
    estimate(&used, Axis::Rung)
}

/// Tolerance a channel, with the channel that each rung 1, 2, … of the ladder raises. A session informs the channel
/// that its rung raised; one in the cleared room or beyond the ladder informs none.
pub fn tolerance_by_channel(log: &Log, raised: &[Channel]) -> Vec<Tolerance> {
    let at = |rung: u32| usize::try_from(rung).ok()?.checked_sub(1).filter(|at| *at < raised.len());
    Channel::ALL
        .into_iter()
        .filter_map(|channel| {
            let used: Vec<Trials> = usable(log)
                .filter_map(|session| {
                    let at = at(session.rung).filter(|at| raised[*at] == channel)?;
                    let x = raised[..=at].iter().filter(|other| **other == channel).count();
                    Some(trials(session, u32::try_from(x).ok()?))
                })
                .collect();
            estimate(&used, Axis::Channel(channel))
        })
        .collect()
}

/// Tolerance from trials in order of date; those without opportunities are left out. `None` without any.
pub fn estimate(trials: &[Trials], axis: Axis) -> Option<Tolerance> {
    let used: Vec<&Trials> = trials.iter().filter(|trials| trials.opportunities > 0).collect();
    let top = used.iter().map(|trials| trials.x).max()?;
    let top_rung = usize::try_from(top).ok()?;
    let points = STEPS_A_RUNG * (top_rung + 2 * MARGIN) + 1;
    let h = |point: usize| STEP * point as f64 - MARGIN as f64;
    let mut grid = Grid::new(points, top_rung);
    let mut before: Option<Date> = None;
    for trials in used.iter().copied() {
        if let Some(before) = before.replace(trials.date).filter(|before| *before < trials.date) {
            grid.drift(days_between(before, trials.date));
        }
        grid.weigh(trials.x, trials.independent, trials.opportunities.saturating_sub(trials.independent));
    }
    let belief = grid.belief;
    let marginal: Vec<f64> = (0..points).map(|point| belief.iter().map(|of_spread| of_spread[point]).sum()).collect();
    let half: f64 = marginal.iter().enumerate().map(|(point, mass)| mass * h(point)).sum();
    let variance: f64 = marginal.iter().enumerate().map(|(point, mass)| mass * (h(point) - half).powi(2)).sum();
    let next = f64::from(top) + 1.0;
    let next_share = belief
        .iter()
        .zip(SPREADS)
        .flat_map(|(of_spread, spread)| {
            of_spread.iter().enumerate().map(move |(point, mass)| mass * independent(h(point) - next, spread))
        })
        .sum();
    let count = used.iter().map(|trials| u64::from(trials.opportunities)).sum();
    let sd = variance.sqrt();
    Some(Tolerance {
        axis,
        trials: count,
        half,
        sd,
        low: h(reaching(&marginal, 0.05)),
        high: h(reaching(&marginal, 0.95)),
        next_share,
        enough: count >= ENOUGH_TRIALS && sd <= ENOUGH_SD && half <= next,
    })
}

/// The first grid point at which the summed mass reaches a share.
fn reaching(mass: &[f64], share: f64) -> usize {
    let mut sum = 0.0;
    let reached = mass.iter().position(|mass| {
        sum += mass;
        sum >= share
    });
    reached.unwrap_or(mass.len() - 1)
}

#[cfg(test)]
mod tests {
    use super::super::grid::{CEILING, SPREADS};
    use super::{Axis, Trials, estimate, tolerance_by_channel};
    use crate::practice::parse;
    use crate::words::Channel;
    use jiff::civil::date;

    /// Sums over some thousand grid points in another order.
    const ROUNDING: f64 = 1e-9;

    /// The same definition in the plainest way: every source to every target, products of chances.
    fn plain(trials: &[Trials]) -> (f64, f64, f64) {
        let top = f64::from(trials.iter().map(|trials| trials.x).max().unwrap());
        let grid: Vec<f64> = (0..).map(|i| -3.0 + 0.05 * f64::from(i)).take_while(|h| *h < top + 3.01).collect();
        let mut belief: Vec<Vec<f64>> =
            SPREADS.iter().map(|_| grid.iter().map(|h| (-(h - 1.0) * (h - 1.0) / 8.0).exp()).collect()).collect();
        for (at, now) in trials.iter().enumerate() {
            let days = if at == 0 { 0 } else { now.date.since(trials[at - 1].date).unwrap().get_days() };
            let sd = 0.15 * f64::from(days).sqrt();
            let cut = (4.0 * sd / 0.05 - 1e-9).ceil() * 0.05 + 0.001;
            for (row, s) in belief.iter_mut().zip(SPREADS) {
                if days > 0 {
                    let mut moved = vec![0.0; grid.len()];
                    for (from, mass) in grid.iter().zip(row.iter()) {
                        let weight = |to: &f64| {
                            if (to - from).abs() > cut {
                                0.0
                            } else {
                                (-(to - from) * (to - from) / (2.0 * sd * sd)).exp()
                            }
                        };
                        let all: f64 = grid.iter().map(weight).sum();
                        moved.iter_mut().zip(&grid).for_each(|(moved, to)| *moved += mass * weight(to) / all);
                    }
                    *row = moved;
                }
                for (mass, h) in row.iter_mut().zip(&grid) {
                    let p = CEILING / (1.0 + (-(h - f64::from(now.x)) / s).exp());
                    let wrong = now.opportunities - now.independent;
                    *mass *= p.powf(now.independent.into()) * (1.0 - p).powf(wrong.into());
                }
            }
        }
        let total: f64 = belief.iter().flatten().sum();
        let mean = belief.iter().flat_map(|row| row.iter().zip(&grid)).map(|(mass, h)| mass * h).sum::<f64>() / total;
        let square = belief.iter().flat_map(|row| row.iter().zip(&grid)).map(|(mass, h)| mass * h * h).sum::<f64>();
        let next = belief.iter().zip(SPREADS).flat_map(|(row, s)| {
            row.iter().zip(&grid).map(move |(mass, h)| mass * CEILING / (1.0 + (-(h - top - 1.0) / s).exp()))
        });
        (mean, (square / total - mean * mean).sqrt(), next.sum::<f64>() / total)
    }

    #[test]
    fn the_fast_grid_is_the_plain_one() {
        let trial =
            |day, x, opportunities, independent| Trials { date: date(2026, 3, day), x, opportunities, independent };
        let trials = [trial(2, 0, 10, 9), trial(3, 1, 8, 6), trial(9, 2, 10, 4), trial(30, 1, 12, 12)];
        let fast = estimate(&trials, Axis::Rung).unwrap();
        let (half, sd, next_share) = plain(&trials);
        assert!((fast.half - half).abs() < ROUNDING);
        assert!((fast.sd - sd).abs() < ROUNDING);
        assert!((fast.next_share - next_share).abs() < ROUNDING);
    }

    #[test]
    fn sessions_that_contradict_each_other_outright_still_give_numbers() {
        let trial = |day, x, independent| Trials { date: date(2026, 3, day), x, opportunities: 100_000, independent };
        let found = estimate(&[trial(2, 0, 0), trial(3, 9, 100_000), trial(3, 0, 0)], Axis::Rung).unwrap();
        assert!(found.half.is_finite() && found.sd.is_finite() && found.next_share.is_finite());
    }

    #[test]
    fn a_session_informs_the_channel_that_its_rung_raised() {
        let log = parse(
            "date,rung,opportunities,independent,prompted,errors,distress,assent,distractor_on,minutes,note\n\
             2026-03-02,0,10,10,0,0,0,yes,no,12,\n\
             2026-03-03,1,10,9,0,1,0,yes,yes,12,\n\
             2026-03-04,2,10,8,0,2,0,yes,yes,12,\n\
             2026-03-05,3,10,7,0,3,0,yes,yes,12,\n",
            "log.csv",
        )
        .unwrap();
        let found = tolerance_by_channel(&log, &[Channel::Seen, Channel::Heard, Channel::Seen]);
        let axes: Vec<_> = found.iter().map(|tolerance| (tolerance.axis.word(), tolerance.trials)).collect();
        assert_eq!(axes, [("seen", 20), ("heard", 10)]);
        assert_eq!(tolerance_by_channel(&log, &[]), []);
    }
}
