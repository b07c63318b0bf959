//! The log response ratio: by how much the mean changed, in proportion.
//!
//! `ln B̄ + s²_B/(2n_B B̄²) − ln Ā − s²_A/(2n_A Ā²)`, standard error `√(s²_A/(n_A Ā²) + s²_B/(n_B B̄²))` [PUSTEJOVSKY2018].
//! s² is 0 for a single value. Domain: values of 0 or more; no ratio where a mean is not above 0. Checked against a
//! reference computation (tests/oracle/practice).

/// The change between two phases.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// B̄ − Ā.
    pub mean_difference: f64,
    /// The log response ratio and its standard error; `None` where a mean is 0.
    pub ratio: Option<LogRatio>,
}

/// The log response ratio.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LogRatio {
    /// The ratio's natural logarithm, corrected for small samples.
    pub log_response_ratio: f64,
    /// Its standard error.
    pub se: f64,
}

/// The change from phase a to phase b; `None` for an empty phase.
pub fn change(a: &[f64], b: &[f64]) -> Option<Change> {
    let (mean_a, mean_b) = (mean(a)?, mean(b)?);
    let ratio = (mean_a > 0.0 && mean_b > 0.0).then(|| {
        let (spread_a, spread_b) = (spread(a, mean_a), spread(b, mean_b));
        LogRatio {
            log_response_ratio: libm::log(mean_b) + spread_b / 2.0 - libm::log(mean_a) - spread_a / 2.0,
            se: (spread_a + spread_b).sqrt(),
        }
    });
    Some(Change { mean_difference: mean_b - mean_a, ratio })
}

/// The mean; `None` of nothing.
pub fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// The squared standard error of the mean in proportion to it, `s²/(n·mean²)`.
fn spread(values: &[f64], mean: f64) -> f64 {
    if values.len() < 2 {
        return 0.0;
    }
    let n = values.len() as f64;
    let squares: f64 = values.iter().map(|value| (value - mean) * (value - mean)).sum();
    squares / (n - 1.0) / (n * mean * mean)
}
