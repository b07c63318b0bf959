//! Local variability of colour over three scales: feature congestion, simplified [ROSENHOLTZ2007].
//!
//! Levels s = 0, 1, 2 of Lab (each the 2×2 mean of the one before). At each level, with G the Gaussian of σ = 4:
//! `sd = √(Σ_c G(x_c²) − G(x_c)²)`. Each pixel of level 0 takes the largest of the three; V is the mean.
//!
//! The variance does not change when a constant is taken off a channel, so the channel's mean is: squares of small numbers
//! keep the digits of single precision. G is linear, so the three squares are added before they are smoothed; the sum is held
//! at 0 (the variance of each channel is ≥ 0 but for rounding). Error below 0.02 where the picture is flat, 0.001 elsewhere;
//! checked by the vectors in `tests/oracle/photo`.

use super::cast::single;
use super::plane::{Kernel, Plane};

/// Scales looked at.
const LEVELS: usize = 3;

/// V of a picture given as L, a, b.
pub(super) fn variability(lab: &[Plane; 3]) -> f64 {
    let kernel = Kernel::gaussian(4);
    let mut channels = [0, 1, 2].map(|channel: usize| {
        let mean = single(lab[channel].mean());
        lab[channel].map(|v| v - mean)
    });
    let mut levels = Vec::with_capacity(LEVELS);
    loop {
        levels.push(deviation(&channels, &kernel));
        if levels.len() == LEVELS {
            break;
        }
        let [Some(lightness), Some(green_red), Some(blue_yellow)] = channels.each_ref().map(Plane::halved) else {
            break;
        };
        channels = [lightness, green_red, blue_yellow];
    }
    mean_of_largest(&levels)
}

fn deviation(channels: &[Plane; 3], kernel: &Kernel) -> Plane {
    let [lightness, green_red, blue_yellow] = channels;
    let squares = lightness.samples().iter().zip(green_red.samples()).zip(blue_yellow.samples());
    let squares = Plane::new(lightness.width(), squares.map(|((&l, &a), &b)| l * l + a * a + b * b).collect());
    let means = [0, 1, 2].map(|channel: usize| channels[channel].blurred(kernel));
    let mean_squares = squares.blurred(kernel);
    let samples = mean_squares
        .samples()
        .iter()
        .zip(means[0].samples())
        .zip(means[1].samples())
        .zip(means[2].samples())
        .map(|(((&square, &l), &a), &b)| (square - (l * l + a * a + b * b)).max(0.0).sqrt())
        .collect();
    Plane::new(lightness.width(), samples)
}

/// Each pixel (x, y) of level 0 reads (x≫s, y≫s) of level s, held inside.
fn mean_of_largest(levels: &[Plane]) -> f64 {
    let Some(first) = levels.first() else {
        return 0.0;
    };
    let mut largest = first.samples().to_vec();
    for (s, level) in levels.iter().enumerate().skip(1) {
        for (y, out) in largest.chunks_exact_mut(first.width().max(1)).enumerate() {
            let row = level.row((y >> s).min(level.height() - 1));
            for (x, out) in out.iter_mut().enumerate() {
                *out = out.max(row[(x >> s).min(level.width() - 1)]);
            }
        }
    }
    Plane::new(first.width(), largest).mean()
}
