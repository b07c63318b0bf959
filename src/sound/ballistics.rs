//! Time weightings F and S, ten-millisecond and eighth-of-a-second steps of the A-weighted power.
//!
//! `e += (1 − exp(−1/(fs·τ)))·(x_A² − e)` from 0, τ 0.125 s (F) and 1 s (S) [IEC61672]. Steps lie at the samples
//! nearest to whole multiples of 10 ms and 125 ms. Checked: tone bursts against the standard's table.

use super::num::{single, whole};

/// Time constant of F, seconds. [IEC61672]
const FAST: f64 = 0.125;
/// Time constant of S, seconds. [IEC61672]
const SLOW: f64 = 1.0;
/// F steps a second.
pub(super) const STEPS: f64 = 100.0;
/// History steps a second.
pub(super) const HISTORY_STEPS: f64 = 8.0;
/// The time between two levels of the history, seconds.
pub const HISTORY_SECONDS: f64 = 1.0 / HISTORY_STEPS;

/// Follows the A-weighted power.
pub(super) struct Ballistics {
    rate: f64,
    at: usize,
    fast: Follower,
    slow: Follower,
    sum: f64,
    sum_from: usize,
    next_step: usize,
    steps: usize,
    history_sum: f64,
    history_from: usize,
    next_history: usize,
    histories: usize,
    out: Followed,
}

/// What following the A-weighted power has given; all mean squares.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Followed {
    /// The F-weighted power at every 10 ms.
    pub fast: Vec<f32>,
    /// The mean power in every 10 ms.
    pub means: Vec<f32>,
    /// The mean power in every 125 ms.
    pub history: Vec<f32>,
    /// The largest F-weighted power.
    pub fast_max: f64,
    /// The largest S-weighted power.
    pub slow_max: f64,
}

struct Follower {
    share: f64,
    value: f64,
}

impl Follower {
    fn new(rate: f64, constant: f64) -> Self {
        Self { share: -libm::expm1(-1.0 / (rate * constant)), value: 0.0 }
    }
}

impl Ballistics {
    /// Ready for the first sample.
    pub(super) fn new(sample_rate_hz: f64) -> Self {
        let mut new = Self {
            rate: sample_rate_hz,
            at: 0,
            fast: Follower::new(sample_rate_hz, FAST),
            slow: Follower::new(sample_rate_hz, SLOW),
            sum: 0.0,
            sum_from: 0,
            next_step: 0,
            steps: 0,
            history_sum: 0.0,
            history_from: 0,
            next_history: 0,
            histories: 0,
            out: Followed::default(),
        };
        new.next_step = new.step_end();
        new.next_history = new.history_end();
        new
    }

    /// Takes the next stretch of A-weighted power.
    pub(super) fn push(&mut self, mut power: &[f32]) {
        while !power.is_empty() {
            let until = self.next_step.min(self.next_history);
            let (now, later) = power.split_at(power.len().min(until - self.at));
            self.follow(now);
            self.at += now.len();
            if self.at == self.next_step {
                self.out.fast.push(single(self.fast.value));
                self.out.means.push(single(self.sum / (self.at - self.sum_from) as f64));
                (self.sum, self.sum_from) = (0.0, self.at);
                self.steps += 1;
                self.next_step = self.step_end();
            }
            if self.at == self.next_history {
                self.out.history.push(single(self.history_sum / (self.at - self.history_from) as f64));
                (self.history_sum, self.history_from) = (0.0, self.at);
                self.histories += 1;
                self.next_history = self.history_end();
            }
            power = later;
        }
    }

    /// The F levels and means of the steps since the last time, which are then forgotten, the history with them.
    pub(super) fn take_steps(&mut self) -> (Vec<f32>, Vec<f32>) {
        self.out.history.clear();
        (std::mem::take(&mut self.out.fast), std::mem::take(&mut self.out.means))
    }

    /// All that was followed. A last step that is not whole is left out.
    pub(super) fn finish(self) -> Followed {
        self.out
    }

    fn follow(&mut self, power: &[f32]) {
        let (fast_share, slow_share) = (self.fast.share, self.slow.share);
        let (fast_keep, slow_keep) = (1.0 - fast_share, 1.0 - slow_share);
        let (mut fast, mut slow) = (self.fast.value, self.slow.value);
        let (mut fast_max, mut slow_max) = (self.out.fast_max, self.out.slow_max);
        let mut sum = 0.0;
        for power in power {
            let power = f64::from(*power);
            sum += power;
            fast = fast * fast_keep + power * fast_share;
            slow = slow * slow_keep + power * slow_share;
            fast_max = if fast > fast_max { fast } else { fast_max };
            slow_max = if slow > slow_max { slow } else { slow_max };
        }
        (self.fast.value, self.slow.value) = (fast, slow);
        (self.out.fast_max, self.out.slow_max) = (fast_max, slow_max);
        self.sum += sum;
        self.history_sum += sum;
    }

    fn step_end(&self) -> usize {
        whole((self.steps + 1) as f64 * self.rate / STEPS)
    }

    fn history_end(&self) -> usize {
        whole((self.histories + 1) as f64 * self.rate / HISTORY_STEPS)
    }
}
