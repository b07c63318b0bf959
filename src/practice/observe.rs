//! Observing in intervals: what sampling makes of a duration, how far two observers agree, which observation to reinforce.
//!
//! Agreement: total count, mean count per interval, exact, interval by interval, scored and unscored intervals
//! [REED2011]. Sampling: a whole-interval record understates a duration, a partial one overstates it, momentary marks
//! err both ways equally and miss brief events [POWELL1975, WIRTH2014]. Percentile schedule: reinforce what beats rank
//! `k = (m+1)(1−w)`, rounded up, of the last m observations [GALBICKA1994]. Outside the domain `None`. Checked against
//! published worked examples (tests/oracle/practice).

/// Agreement on counts in the same intervals, percent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CountAgreement {
    /// The smaller total over the larger; both 0 agree.
    pub total: f64,
    /// The mean over intervals of smaller over larger; both 0 agree.
    pub mean_count: f64,
    /// Intervals with equal counts.
    pub exact: f64,
}

/// Agreement on whether something happened in the same intervals, percent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IntervalAgreement {
    /// Agreements over all intervals (trial by trial is the same).
    pub interval: f64,
    /// Over the intervals that either observer scored; `None` if there is none.
    pub scored: Option<f64>,
    /// Over the intervals that either observer did not score; `None` if there is none.
    pub unscored: Option<f64>,
}

/// The smaller of two counts over the larger, percent; two zeros agree.
pub fn count_percent(a: u64, b: u64) -> f64 {
    if a == b { 100.0 } else { 100.0 * a.min(b) as f64 / a.max(b) as f64 }
}

/// Agreement of two observers' counts; `None` without intervals or when their numbers differ.
pub fn count_agreement(a: &[u64], b: &[u64]) -> Option<CountAgreement> {
    if a.is_empty() || a.len() != b.len() {
        return None;
    }
    let pairs = || a.iter().copied().zip(b.iter().copied());
    let n = a.len() as f64;
    Some(CountAgreement {
        total: count_percent(a.iter().sum(), b.iter().sum()),
        mean_count: pairs().map(|(a, b)| count_percent(a, b)).sum::<f64>() / n,
        exact: 100.0 * pairs().filter(|(a, b)| a == b).count() as f64 / n,
    })
}

/// Agreement of two observers' marks; `None` without intervals or when their numbers differ.
pub fn interval_agreement(a: &[bool], b: &[bool]) -> Option<IntervalAgreement> {
    if a.is_empty() || a.len() != b.len() {
        return None;
    }
    let percent_of = |count: &dyn Fn(bool, bool) -> bool| {
        let taken: Vec<bool> = a.iter().zip(b).filter(|(a, b)| count(**a, **b)).map(|(a, b)| a == b).collect();
        let agreed = taken.iter().filter(|agree| **agree).count();
        (!taken.is_empty()).then(|| 100.0 * agreed as f64 / taken.len() as f64)
    };
    Some(IntervalAgreement {
        interval: percent_of(&|_, _| true)?,
        scored: percent_of(&|a, b| a || b),
        unscored: percent_of(&|a, b| !a || !b),
    })
}

/// What three ways of sampling make of the same behaviour, as shares of the intervals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sampling {
    /// The true share of the time.
    pub duration_share: f64,
    /// Intervals in which it happened at all.
    pub partial: f64,
    /// Intervals in which it went on throughout.
    pub whole: f64,
    /// Intervals at whose last instant it went on.
    pub momentary: f64,
}

/// Samples bouts [start, end) of an observation. An interval that the observation's end cuts off is left out of the
/// three samples. `None` unless at least one whole interval fits.
pub fn sampling(bouts_s: &[(f64, f64)], length_s: f64, interval_s: f64) -> Option<Sampling> {
    /// More intervals than any sitting has; keeps a slip in the unit from running for ever. Convention.
    const MOST: f64 = 1e6;
    /// Lengths such as 0.3 s of 0.1 s hold three intervals, whatever the rounding.
    const SLACK: f64 = 1e-9;
    let fit = (length_s / interval_s + SLACK).floor();
    if !(interval_s > 0.0 && (1.0..=MOST).contains(&fit)) {
        return None;
    }
    let bouts = merged(bouts_s, length_s);
    let total: f64 = bouts.iter().map(|(start, end)| end - start).sum();
    let (mut partial, mut whole, mut momentary) = (0.0, 0.0, 0.0);
    let mut number = 0.0;
    while number < fit {
        let (from, to) = (number * interval_s, (number + 1.0) * interval_s);
        let holds = |test: &dyn Fn(f64, f64) -> bool| f64::from(bouts.iter().any(|(start, end)| test(*start, *end)));
        partial += holds(&|start, end| start < to && end > from);
        whole += holds(&|start, end| start <= from && end >= to);
        momentary += holds(&|start, end| start < to && end >= to);
        number += 1.0;
    }
    Some(Sampling {
        duration_share: total / length_s,
        partial: partial / fit,
        whole: whole / fit,
        momentary: momentary / fit,
    })
}

/// Bouts cut to the observation, in order, those that touch made one.
fn merged(bouts: &[(f64, f64)], length: f64) -> Vec<(f64, f64)> {
    let mut cut: Vec<(f64, f64)> =
        bouts.iter().map(|(start, end)| (start.max(0.0), end.min(length))).filter(|(start, end)| start < end).collect();
    cut.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut merged: Vec<(f64, f64)> = Vec::with_capacity(cut.len());
    for (start, end) in cut {
        match merged.last_mut() {
            Some(last) if start <= last.1 => last.1 = last.1.max(end),
            _ => merged.push((start, end)),
        }
    }
    merged
}

/// The rule of a percentile schedule for the next observation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Percentile {
    /// The rank before rounding.
    pub k: f64,
    /// The rank, counted from the smallest.
    pub rank: usize,
    /// What the next observation must beat.
    pub criterion: f64,
}

/// The rule that reinforces a share `w` of what follows, from the last observations. `None` unless 0 < w < 1 and the
/// rank is among the observations.
pub fn percentile(recent: &[f64], w: f64) -> Option<Percentile> {
    /// Takes off the rounding of 1 − w, so that a whole k stays at its rank.
    const SLACK: f64 = 1e-9;
    if w.is_nan() || w >= 1.0 {
        return None;
    }
    // Where w is 0 or less, k is beyond the last rank.
    let k = (recent.len() as f64 + 1.0) * (1.0 - w);
    let mut sorted = recent.to_vec();
    sorted.sort_by(f64::total_cmp);
    let rank = (1..=sorted.len()).find(|rank| *rank as f64 >= k - SLACK)?;
    Some(Percentile { k, rank, criterion: sorted[rank - 1] })
}

#[cfg(test)]
mod tests {
    use super::{count_agreement, interval_agreement, percentile, sampling};

    #[test]
    fn nothing_observed_is_no_agreement() {
        assert_eq!(count_agreement(&[], &[]), None);
        assert_eq!(count_agreement(&[1], &[1, 2]), None);
        assert_eq!(interval_agreement(&[], &[]), None);
    }

    #[test]
    fn the_rank_follows_the_brackets() {
        assert_eq!(percentile(&[10.0, 12.0, 15.0, 11.0, 13.0], 0.7).unwrap().rank, 2);
        // (9 + 1)(1 − 0.7) is 3, although 1 − 0.7 is a little above 0.3.
        assert_eq!(percentile(&[1.0; 9], 0.7).unwrap().rank, 3);
        assert_eq!(percentile(&[1.0; 3], 0.1), None);
        for w in [1.0, 1.5, 0.0, -0.5, f64::NAN] {
            assert_eq!(percentile(&[1.0; 3], w), None);
        }
    }

    #[test]
    fn an_interval_that_the_end_cuts_off_is_left_out() {
        let found = sampling(&[(0.0, 25.0)], 25.0, 10.0).unwrap();
        assert_eq!((found.partial, found.whole, found.momentary, found.duration_share), (1.0, 1.0, 1.0, 1.0));
        // A bout that ends where an interval begins is none of that interval's.
        let found = sampling(&[(0.0, 10.0)], 25.0, 10.0).unwrap();
        assert_eq!((found.partial, found.whole, found.momentary, found.duration_share), (0.5, 0.5, 0.5, 0.4));
        // Nor is one that begins where an interval ends.
        let found = sampling(&[(10.0, 20.0)], 25.0, 10.0).unwrap();
        assert_eq!((found.partial, found.whole, found.momentary, found.duration_share), (0.5, 0.5, 0.5, 0.4));
    }

    #[test]
    fn touching_bouts_are_one() {
        let found = sampling(&[(0.0, 5.0), (5.0, 10.0)], 10.0, 10.0).unwrap();
        assert_eq!((found.whole, found.duration_share), (1.0, 1.0));
        assert_eq!(sampling(&[], 10.0, 0.0), None);
        assert_eq!(sampling(&[], f64::NAN, 1.0), None);
    }
}
