//! Percentiles by selection.

/// The `share` (0–1) percentile, linear between order statistics (rank `share·(n−1)`); 0 for no values.
/// The values are reordered. Picks instead of sorting: linear time.
pub(super) fn percentile(values: &mut [f32], share: f64) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let rank = share.clamp(0.0, 1.0) * (values.len() - 1) as f64;
    let index = super::cast::floor_count(rank).min(values.len() - 1);
    let (_, &mut low, above) = values.select_nth_unstable_by(index, f32::total_cmp);
    let high = above.iter().copied().min_by(f32::total_cmp).unwrap_or(low);
    let (low, high) = (f64::from(low), f64::from(high));
    low + (high - low) * (rank - index as f64)
}

#[cfg(test)]
mod tests {
    use super::percentile;

    #[test]
    fn between_two_values_the_percentile_is_linear() {
        let mut values = [4.0, 1.0, 3.0, 2.0];
        assert!((percentile(&mut values, 0.5) - 2.5).abs() < 1e-12);
        assert!((percentile(&mut values, 0.9) - 3.7).abs() < 1e-12);
        assert!((percentile(&mut values, 1.0) - 4.0).abs() < 1e-12);
        assert!((percentile(&mut [7.0], 0.998) - 7.0).abs() < 1e-12);
        assert!(percentile(&mut [], 0.5).abs() < 1e-12);
    }
}
