//! One thing over many children: how much stronger or weaker than the scale it draws on average, and how far children lie
//! apart in it.
//!
//! Random effects: child k has `w_k` around a common μ with variance τ², and its sessions tell `w_k` with variance `v_k`.
//!
//! ```text
//! τ² = max(0, (Q − (n−1))/(Σ 1/v − Σ 1/v² / Σ 1/v)),  Q = Σ (w − w̄)²/v          [DERSIMONIAN1986]
//! μ̂ = Σ w/(v+τ²) / Σ 1/(v+τ²),  its variance V = 1/Σ 1/(v+τ²)
//! shrunk towards the scale:  μ = μ̂·σ²/(σ² + V),  variance σ²V/(σ² + V)
//! ```
//!
//! σ is the scale's own doubt of an item. Domain: variances above 0; below [`CHILDREN`] children there is no figure.
//! Checked: a published meta-analysis (tests below).

use crate::load::normal_quantile;

/// Fewer children say nothing. Convention.
pub const CHILDREN: usize = 20;

/// The logarithm of the largest factor.
const MOST: f64 = std::f64::consts::LN_10;

/// One thing over many children.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pooled {
    /// How many times as strong as the scale says.
    pub factor: f64,
    /// The 5th percentile of what is believed of it.
    pub low: f64,
    /// The 95th percentile.
    pub high: f64,
    /// Children it rests on.
    pub children: usize,
    /// Standard deviation of the logarithm between children, τ.
    pub spread: f64,
}

/// μ̂, its variance and τ² of random effects; `None` for fewer than two.
fn random_effects(told: &[(f64, f64)]) -> Option<(f64, f64, f64)> {
    let weighed = |extra: f64| {
        let weights: f64 = told.iter().map(|(_, variance)| 1.0 / (variance + extra)).sum();
        let mean = told.iter().map(|(w, variance)| w / (variance + extra)).sum::<f64>() / weights;
        (mean, weights)
    };
    if told.len() < 2 || told.iter().any(|(w, variance)| !(w.is_finite() && *variance > 0.0)) {
        return None;
    }
    let (mean, weights) = weighed(0.0);
    let apart: f64 = told.iter().map(|(w, variance)| (w - mean).powi(2) / variance).sum();
    let squares: f64 = told.iter().map(|(_, variance)| variance.powi(-2)).sum();
    let tau = ((apart - (told.len() as f64 - 1.0)) / (weights - squares / weights)).max(0.0);
    let (mean, weights) = weighed(tau);
    Some((mean, 1.0 / weights, tau))
}

/// What the children together say, each with the logarithm of its factor and its variance, shrunk towards the scale whose
/// doubt of an item is `doubt`; `None` below [`CHILDREN`].
pub fn pool(told: &[(f64, f64)], doubt: f64) -> Option<Pooled> {
    if told.len() < CHILDREN {
        return None;
    }
    let (mean, variance, tau) = random_effects(told)?;
    let prior = doubt * doubt;
    // What draws ten times or a tenth is a fault of the list or of the log, not of the scale.
    let mean = mean.clamp(-MOST, MOST);
    let (mean, sd) = (mean * prior / (prior + variance), (prior * variance / (prior + variance)).sqrt());
    let at = |share: f64| libm::exp(mean + sd * normal_quantile(share));
    Some(Pooled { factor: libm::exp(mean), low: at(0.05), high: at(0.95), children: told.len(), spread: tau.sqrt() })
}

#[cfg(test)]
mod tests {
    use super::{CHILDREN, pool, random_effects};

    /// Thirteen trials of a vaccine, log relative risks and their variances, and what metafor gives by the method of
    /// DerSimonian and Laird, rounded to four places [VIECHTBAUER2010].
    #[test]
    fn random_effects_are_those_of_a_published_analysis() {
        let trials = [
            (-0.8893, 0.3256),
            (-1.5854, 0.1946),
            (-1.3481, 0.4154),
            (-1.4416, 0.0200),
            (-0.2175, 0.0512),
            (-0.7861, 0.0069),
            (-1.6209, 0.2230),
            (0.0120, 0.0040),
            (-0.4694, 0.0564),
            (-1.3713, 0.0730),
            (-0.3394, 0.0124),
            (0.4459, 0.5325),
            (-0.0173, 0.0714),
        ];
        let (mean, variance, tau) = random_effects(&trials).unwrap();
        // The data are rounded to four places, so the third is shared.
        assert!((mean + 0.7141).abs() < 1e-3 && (variance.sqrt() - 0.1787).abs() < 1e-3, "{mean} {variance}");
        assert!((tau - 0.3088).abs() < 2e-3, "{tau}");
    }

    #[test]
    fn few_children_say_nothing_and_many_are_drawn_towards_the_scale() {
        let told: Vec<(f64, f64)> = (0..40).map(|at| (0.5 + 0.2 * f64::from(at % 3 - 1), 0.04)).collect();
        assert!(pool(&told[..CHILDREN - 1], 0.3).is_none());
        let found = pool(&told, 0.3).unwrap();
        assert!(1.0 < found.low && found.low < found.factor && found.factor < found.high);
        assert!(found.factor < libm::exp(0.5));
        // A scale that is sure of itself moves less.
        assert!(pool(&told, 0.05).unwrap().factor < found.factor);
        assert!(pool(&vec![(f64::NAN, 1.0); 30], 0.3).is_none());
        assert!(pool(&vec![(0.1, 0.0); 30], 0.3).is_none());
    }
}
