//! From numbers to places on paper: a linear scale and its round ticks.

/// A linear scale: `from` in the numbers shown, `to` in units of the drawing.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Scale {
    pub(crate) from: (f64, f64),
    pub(crate) to: (f64, f64),
}

impl Scale {
    /// The place of a number, held inside the drawing; a number that is none stands at the scale's start.
    pub(crate) fn at(&self, value: f64) -> f64 {
        let span = self.from.1 - self.from.0;
        if !value.is_finite() || span.abs() < f64::EPSILON {
            return self.to.0;
        }
        let part = ((value - self.from.0) / span).clamp(0.0, 1.0);
        self.to.0 + part * (self.to.1 - self.to.0)
    }
}

/// Round numbers from `low` to `high`, about `wanted` of them, in steps of 1, 2 or 5 times a power of ten.
pub(crate) fn ticks(low: f64, high: f64, wanted: u32) -> Vec<f64> {
    let span = high - low;
    if !span.is_finite() || span <= 0.0 || wanted == 0 {
        return vec![low];
    }
    let step = step(span / f64::from(wanted));
    let first = (low / step - 1e-9).ceil();
    (0..200u32).map(|k| (first + f64::from(k)) * step).take_while(|tick| *tick <= high + step * 1e-9).collect()
}

/// The round step next above a rough one.
pub(crate) fn step(rough: f64) -> f64 {
    let power = libm::pow(10.0, libm::floor(libm::log10(rough)));
    let head = rough / power;
    let round = [1.0, 2.0, 5.0].into_iter().find(|round| head <= round + 1e-9).unwrap_or(10.0);
    round * power
}

/// A round range that holds all finite numbers, in steps of `step`; `None` without a number.
pub(crate) fn range(values: impl IntoIterator<Item = f64>, step: f64) -> Option<(f64, f64)> {
    let (low, high) = values
        .into_iter()
        .filter(|value| value.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
    (low <= high).then(|| {
        let (low, high) = ((low / step).floor() * step, (high / step).ceil() * step);
        (low, if high > low { high } else { low + step })
    })
}

#[cfg(test)]
mod tests {
    use super::{Scale, range, ticks};

    #[test]
    fn ticks_are_round_and_inside() {
        assert_eq!(ticks(0.0, 100.0, 5), [0.0, 20.0, 40.0, 60.0, 80.0, 100.0]);
        assert_eq!(ticks(-53.0, -11.0, 4), [-40.0, -20.0]);
        assert_eq!(ticks(1.0, 1.0, 4), [1.0]);
        assert_eq!(ticks(0.0, f64::INFINITY, 4), [0.0]);
    }

    #[test]
    fn a_place_is_linear_and_stays_on_paper() {
        let scale = Scale { from: (0.0, 10.0), to: (100.0, 0.0) };
        assert!((scale.at(2.5) - 75.0).abs() < 1e-12);
        assert!((scale.at(99.0)).abs() < 1e-12);
        assert!((scale.at(f64::NAN) - 100.0).abs() < 1e-12);
    }

    #[test]
    fn a_range_is_round_and_never_empty() {
        assert_eq!(range([31.2, 58.0, f64::NEG_INFINITY], 10.0), Some((30.0, 60.0)));
        assert_eq!(range([30.0], 10.0), Some((30.0, 40.0)));
        assert_eq!(range([f64::NAN], 10.0), None);
    }
}
