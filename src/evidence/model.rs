//! The model: what is counted, the strain of a rung, the chance of an answer alone, and its log density.
//!
//! With `a_ri` the scale's pull of distractor i on rung r (the child's sensitivity in it), `w_i` the logarithm of how
//! much stronger it draws this child than the scale says, and `h_c(t)` the pull on channel c at which half of the answers
//! are left, on day t:
//!
//! ```text
//! X_r(t) = Σ_c e^(−θ_c(t)) Σ_{i∈c} a_ri e^(w_i),  θ_c = ln h_c        strain: 1 is half-way
//! p_r(t) = 0.97 / (1 + e^(−(1 − X_r(t))/s))                           an answer alone
//! w_i ~ N(0, σ²)   θ_c(0) ~ N(ln 0.5, 0.8²)   θ_c(t+d) ~ N(θ_c(t), 0.04²·d), d in days
//! ```
//!
//! σ and s are each one of four values, equally likely before the first session. The answers of a session hang together, so
//! a session of n counts as `n/(1 + (n−1)ρ)` [KISH1965]; ρ is what sessions that follow each other on one rung
//! differ by beyond chance (moments, as for an overdispersed binomial [MCCULLAGH1989]), at least 0.02. So sessions that contradict
//! each other count for less, and every interval widens. All numbers are conventions.
//! Days are put into at most [`STRETCHES`] stretches, within which h stands still.
//!
//! Domain: pulls ≥ 0, answers alone ≤ opportunities; sessions without opportunities are left out.

use std::collections::BTreeMap;

/// Highest chance of an answer alone: everyone slips at times. Convention, as for tolerance.
pub(super) const CEILING: f64 = 0.97;
/// Spreads of the curve, in strain. Convention.
pub(super) const SPREADS: [f64; 4] = [0.08, 0.16, 0.32, 0.64];
/// How far distractors lie from the scale, standard deviations of a logarithm. Convention; 0.3 is the scale's own doubt.
pub(super) const FROM_SCALE: [f64; 4] = [0.2, 0.4, 0.7, 1.1];
/// Median and spread (of the logarithm) of the pull at which half of the answers are left. Convention.
pub(super) const HALF_WAY: f64 = 0.5;
const HALF_WAY_SD: f64 = 0.8;
/// Standard deviation of the drift of its logarithm after one day. Convention.
const DRIFT: f64 = 0.04;
/// Most stretches of time.
const STRETCHES: usize = 24;
/// The least that answers of one session hang together; and the most that is believed. Convention.
const TOGETHER: [f64; 2] = [0.02, 0.5];
/// Strains beyond this are as good as this: the chance is 0 long before.
pub(super) const MOST_STRAIN: f64 = 1e6;
/// And logarithms beyond this are as good as this.
const FAR: f64 = 200.0;

/// A distractor as the model knows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// Which distractor, counted from 0.
    pub distractor: usize,
    /// Its pull on this rung by the scale, the child's sensitivity in it.
    pub pull: f64,
}

/// What stands on each rung and which channel each distractor draws on.
#[derive(Clone, Debug, PartialEq)]
pub struct Rungs {
    /// The channel of each distractor, 0, 1, 2.
    pub channels: Vec<usize>,
    /// The distractors on each rung, the cleared room first; each distractor at most once.
    pub parts: Vec<Vec<Part>>,
}

/// The answers of one session.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sitting {
    /// The day, counted from any day.
    pub day: i64,
    /// The rung, as an index of [`Rungs::parts`].
    pub rung: usize,
    /// Opportunities.
    pub opportunities: u32,
    /// Answered alone.
    pub independent: u32,
}

/// Answers of one rung in one stretch of time, as many as they count for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cell {
    pub(super) rung: usize,
    pub(super) stretch: usize,
    pub(super) alone: f64,
    pub(super) other: f64,
}

/// A distractor on a practised rung.
#[derive(Clone, Copy, Debug)]
struct There {
    /// Its place in `Data::learned`.
    own: usize,
    /// The place of its channel in `Data::channels`.
    channel: usize,
    pull: f64,
}

/// The data of a child as the density takes them.
#[derive(Clone, Debug)]
pub(super) struct Data<'a> {
    pub(super) rungs: &'a Rungs,
    pub(super) cells: Vec<Cell>,
    /// The middle day of each stretch.
    pub(super) days: Vec<f64>,
    /// The channels practised: `θ` of each in each stretch are the first parameters, stretch by stretch.
    pub(super) channels: Vec<usize>,
    /// The distractors that stood on a rung that was practised: `w` of each, in this order, are the last parameters.
    pub(super) learned: Vec<usize>,
    /// What stood on each rung that was practised, in the order of `w`.
    there: Vec<Vec<There>>,
    /// How much answers of a session hang together.
    pub(super) together: f64,
    /// Where a distractor stands in `learned`, and a channel in `channels`.
    place: Vec<Option<usize>>,
    channel_place: [Option<usize>; 3],
}

/// σ and s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Shape {
    pub(super) from_scale: f64,
    pub(super) spread: f64,
}

impl<'a> Data<'a> {
    /// Sessions in any order; those on a rung that is not known or without an opportunity are left out.
    pub(super) fn new(rungs: &'a Rungs, sittings: &[Sitting]) -> Self {
        let mut used: Vec<Sitting> = sittings
            .iter()
            .copied()
            .filter(|one| one.opportunities > 0 && one.rung < rungs.parts.len())
            .map(|one| Sitting { independent: one.independent.min(one.opportunities), ..one })
            .collect();
        used.sort_by_key(|one| (one.day, one.rung, one.opportunities, one.independent));
        let mut dates: Vec<i64> = used.iter().map(|one| one.day).collect();
        dates.dedup();
        let count = dates.len().min(STRETCHES);
        let stretch_of = |day: i64| {
            let place = dates.partition_point(|date| *date < day);
            (place * count).checked_div(dates.len()).unwrap_or(0)
        };
        let days = (0..count).map(|stretch| middle(&dates, |day| stretch_of(day) == stretch)).collect();
        let stretches: Vec<usize> = used.iter().map(|one| stretch_of(one.day)).collect();
        let together = hang_together(&used);
        let mut cells: Vec<Cell> = Vec::new();
        for (one, &stretch) in used.iter().zip(&stretches) {
            let n = f64::from(one.opportunities);
            let counts = 1.0 / (1.0 + (n - 1.0) * together);
            let alone = f64::from(one.independent) * counts;
            let other = n * counts - alone;
            match cells.iter_mut().rev().take_while(|cell| cell.stretch == stretch).find(|cell| cell.rung == one.rung) {
                Some(cell) => {
                    cell.alone += alone;
                    cell.other += other;
                }
                None => cells.push(Cell { rung: one.rung, stretch, alone, other }),
            }
        }
        let mut data = Self {
            rungs,
            cells,
            days,
            learned: Vec::new(),
            channels: Vec::new(),
            together,
            there: vec![Vec::new(); rungs.parts.len()],
            place: vec![None; rungs.channels.len()],
            channel_place: [None; 3],
        };
        data.name_parameters();
        data
    }

    fn name_parameters(&mut self) {
        for cell in &self.cells {
            for part in self.rungs.parts[cell.rung].iter().filter(|part| part.pull > 0.0) {
                self.place[part.distractor] = Some(0);
                self.channel_place[self.rungs.channels[part.distractor]] = Some(0);
            }
        }
        for (distractor, place) in self.place.iter_mut().enumerate().filter(|(_, place)| place.is_some()) {
            *place = Some(self.learned.len());
            self.learned.push(distractor);
        }
        for (channel, place) in self.channel_place.iter_mut().enumerate().filter(|(_, place)| place.is_some()) {
            *place = Some(self.channels.len());
            self.channels.push(channel);
        }
        for cell in &self.cells {
            if self.there[cell.rung].is_empty() {
                let known = self.rungs.parts[cell.rung].iter().filter(|part| part.pull > 0.0).filter_map(|part| {
                    let channel = self.channel_place[self.rungs.channels[part.distractor]]?;
                    Some(There { own: self.place[part.distractor]?, channel, pull: part.pull })
                });
                let mut known: Vec<There> = known.collect();
                known.sort_by_key(|there| there.own);
                self.there[cell.rung] = known;
            }
        }
    }

    /// Numbers that are estimated: `θ` of each channel, stretch by stretch, then `w` of each distractor. In this order the curve
    /// is a band with a border below it, and so is its factor.
    pub(super) fn parameters(&self) -> usize {
        self.border() + self.learned.len()
    }

    /// Where the `w` begin.
    pub(super) fn border(&self) -> usize {
        self.channels.len() * self.days.len()
    }

    /// Where `w` of a distractor stands, if it is estimated.
    pub(super) fn at_distractor(&self, distractor: usize) -> Option<usize> {
        Some(self.border() + self.place.get(distractor).copied().flatten()?)
    }

    /// Where `θ` of a channel in a stretch stands, if it is estimated.
    pub(super) fn at_channel(&self, channel: usize, stretch: usize) -> Option<usize> {
        Some(stretch * self.channels.len() + self.channel_place[channel]?)
    }

    /// Where the search begins: the scale as it is, everything else as before the first session.
    pub(super) fn begin(&self) -> Vec<f64> {
        let mut point = vec![0.0; self.parameters()];
        point[..self.border()].fill(libm::log(HALF_WAY));
        point
    }

    /// The prior's precision matrix applied: adds `−½(x−m)ᵀP(x−m)` and the logarithm of its normaliser to the value, its slope
    /// to `slope` and `P` to the lower triangle of `curve`.
    pub(super) fn prior(&self, shape: Shape, point: &[f64], slope: &mut [f64], curve: &mut [f64]) -> f64 {
        let size = point.len();
        let mut value = 0.0;
        let mut normal = |value: &mut f64, sd: f64, at: usize, from: Option<usize>, mean: f64| {
            let away = point[at] - from.map_or(mean, |from| point[from]);
            let precision = 1.0 / (sd * sd);
            *value -= 0.5 * away * away * precision + libm::log(sd);
            slope[at] -= away * precision;
            curve[at * size + at] += precision;
            if let Some(from) = from {
                slope[from] += away * precision;
                curve[from * size + from] += precision;
                curve[at.max(from) * size + at.min(from)] -= precision;
            }
        };
        for at in self.border()..size {
            normal(&mut value, shape.from_scale, at, None, 0.0);
        }
        for &channel in &self.channels {
            for stretch in 0..self.days.len() {
                let Some(at) = self.at_channel(channel, stretch) else { continue };
                let before = stretch.checked_sub(1).and_then(|before| self.at_channel(channel, before));
                let sd = match before {
                    Some(_) => drift(self.days[stretch] - self.days[stretch - 1]),
                    None => HALF_WAY_SD,
                };
                normal(&mut value, sd, at, before, libm::log(HALF_WAY));
            }
        }
        value
    }

    /// `e^−θ` and `e^w` of a point.
    pub(super) fn powers(&self, point: &[f64]) -> Vec<f64> {
        let (half_ways, own) = point.split_at(self.border());
        let halves = half_ways.iter().map(|theta| libm::exp(-theta.clamp(-FAR, FAR)));
        halves.chain(own.iter().map(|w| libm::exp(w.clamp(-FAR, FAR)))).collect()
    }

    /// The strain of a cell, from the powers of a point. Into `slopes` go the places of the `θ` and `w` it hangs on, rising, with the
    /// slope of −X in them: `X_c` for each channel, `−x_i` for each distractor; into `channels`, which channel each of the
    /// distractors draws on.
    pub(super) fn strain(
        &self,
        cell: &Cell,
        powers: &[f64],
        slopes: &mut Vec<(usize, f64)>,
        channels: &mut Vec<usize>,
    ) -> f64 {
        let (border, wide) = (self.border(), self.channels.len());
        slopes.clear();
        channels.clear();
        slopes.extend((0..wide).map(|channel| (cell.stretch * wide + channel, 0.0)));
        let mut sum = 0.0;
        for there in &self.there[cell.rung] {
            let one = there.pull * powers[border + there.own] * powers[cell.stretch * wide + there.channel];
            let one = one.min(MOST_STRAIN);
            sum += one;
            slopes[there.channel].1 += one;
            slopes.push((border + there.own, -one));
            channels.push(there.channel);
        }
        sum.min(MOST_STRAIN)
    }
}

/// Standard deviation of the drift over some days.
pub(super) fn drift(days: f64) -> f64 {
    DRIFT * days.max(0.5).sqrt()
}

/// Variance of `θ` of a channel before any session.
pub(super) const fn half_way_variance() -> f64 {
    HALF_WAY_SD * HALF_WAY_SD
}

/// The chance of an answer alone at a strain, and the logistic share in it.
pub(super) fn alone(strain: f64, spread: f64) -> (f64, f64) {
    let logistic = 1.0 / (1.0 + libm::exp(-(1.0 - strain) / spread));
    (CEILING * logistic, logistic)
}

fn middle(dates: &[i64], within: impl Fn(i64) -> bool) -> f64 {
    let mut of: Vec<i64> = dates.iter().copied().filter(|day| within(*day)).collect();
    of.sort_unstable();
    let (first, last) = (of.first().copied().unwrap_or(0), of.last().copied().unwrap_or(0));
    (first as f64 + last as f64) / 2.0
}

/// How much answers of a session hang together: by moments, over sessions that follow each other on one rung.
///
/// For shares `a`, `b` of `n`, `m` answers around one chance `p`, `(a − b)²/(p(1−p)(1/n + 1/m))` has the mean `1 + (n̄−1)ρ`, n̄ the
/// harmonic mean [KISH1965], [MCCULLAGH1989]; neighbours in time, so that a slow change is not taken for disagreement
/// (von Neumann's mean square successive difference). Fewer than four pairs say nothing: the least is taken.
fn hang_together(used: &[Sitting]) -> f64 {
    let [least, most] = TOGETHER;
    let mut before: BTreeMap<usize, Sitting> = BTreeMap::new();
    let (mut squares, mut sizes, mut pairs) = (0.0, 0.0, 0.0);
    for one in used {
        let Some(last) = before.insert(one.rung, *one) else { continue };
        let (n, m) = (f64::from(one.opportunities), f64::from(last.opportunities));
        let (k, l) = (f64::from(one.independent), f64::from(last.independent));
        // Half an answer of either kind keeps two full marks from dividing by nothing.
        let p = (k + l + 0.5) / (n + m + 1.0);
        squares += (k / n - l / m).powi(2) / (p * (1.0 - p) * (1.0 / n + 1.0 / m));
        sizes += 2.0 / (1.0 / n + 1.0 / m);
        pairs += 1.0;
    }
    if pairs < 4.0 || sizes <= pairs {
        return least;
    }
    ((squares / pairs - 1.0) / (sizes / pairs - 1.0)).clamp(least, most)
}
