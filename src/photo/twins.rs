//! Naive twins: the fast paths of this room against ten obvious lines each, in double precision.

use palette::white_point::{Any, WhitePoint};
use palette::{FromColor, Lab, Xyz};
use proptest::prelude::{ProptestConfig, prop_assert, proptest};

use super::colour::{Linear, TO_XYZ, WHITE, lab};
use super::plane::{Kernel, Plane, gradient_length};
use super::regions::regions;
use super::shrink::shrunk;
use super::variability::variability;

/// Single precision over sums of a few hundred samples near 1 (shrink) and near 100 (planes).
const SHRUNK: f64 = 1e-5;
const BLURRED: f64 = 4e-5;
/// A square root of a difference of single-precision squares.
const VARIED: f64 = 0.02;
/// Single precision times 500, for a and b.
const LAB: f64 = 5e-4;

/// Seeded samples of 0…1.
fn noise(seed: u32, count: usize) -> Vec<f32> {
    let mut state = seed.wrapping_mul(2_654_435_761).wrapping_add(1);
    let step = |state: &mut u32| {
        *state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (*state >> 8) as f32 / 16_777_216.0
    };
    (0..count).map(|_| step(&mut state)).collect()
}

/// The mean of `line` over `[start, end)`.
fn mean_over(line: &[f64], start: f64, end: f64) -> f64 {
    let part = |i: usize| ((i as f64 + 1.0).min(end) - (i as f64).max(start)).max(0.0);
    line.iter().enumerate().map(|(i, v)| v * part(i)).sum::<f64>() / (end - start)
}

fn shrunk_line(line: &[f64], to: usize) -> Vec<f64> {
    let step = line.len() as f64 / to as f64;
    (0..to).map(|i| mean_over(line, i as f64 * step, (i as f64 + 1.0) * step)).collect()
}

/// A Gaussian of radius 4σ with the edge sample repeated in the mirror.
fn blurred_line(line: &[f64], sigma: f64) -> Vec<f64> {
    let radius = (4.0 * sigma) as i64;
    let n = line.len() as i64;
    let mirrored = |mut i: i64| {
        while i < 0 || i >= n {
            i = if i < 0 { -1 - i } else { 2 * n - 1 - i };
        }
        line[i as usize]
    };
    let weight = |k: i64| (-0.5 * (k * k) as f64 / (sigma * sigma)).exp();
    let sum: f64 = (-radius..=radius).map(weight).sum();
    (0..n).map(|i| (-radius..=radius).map(|k| weight(k) * mirrored(i + k)).sum::<f64>() / sum).collect()
}

type Grid = Vec<Vec<f64>>;

fn grid(plane: &Plane) -> Grid {
    (0..plane.height()).map(|y| plane.row(y).iter().map(|&v| f64::from(v)).collect()).collect()
}

fn transposed(grid: &Grid) -> Grid {
    (0..grid[0].len()).map(|x| grid.iter().map(|row| row[x]).collect()).collect()
}

fn both_ways(grid: &Grid, line: impl Fn(&[f64]) -> Vec<f64>) -> Grid {
    let rows: Grid = grid.iter().map(|row| line(row)).collect();
    transposed(&transposed(&rows).iter().map(|column| line(column)).collect())
}

fn worst(fast: &Plane, naive: &Grid) -> f64 {
    grid(fast).iter().flatten().zip(naive.iter().flatten()).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
}

/// Section by section as the definition says: each channel's own variance, no sums shared.
fn naive_variability(lab: &[Plane; 3]) -> f64 {
    let mut channels = lab.each_ref().map(grid);
    let mut levels: Vec<Grid> = Vec::new();
    for _ in 0..3 {
        let square = |grid: &Grid| -> Grid { grid.iter().map(|row| row.iter().map(|v| v * v).collect()).collect() };
        let parts: Vec<(Grid, Grid)> = channels
            .iter()
            .map(|c| (both_ways(c, |l| blurred_line(l, 4.0)), both_ways(&square(c), |l| blurred_line(l, 4.0))))
            .collect();
        let (height, width) = (channels[0].len(), channels[0][0].len());
        let deviation = |x: usize, y: usize| {
            parts.iter().map(|(mean, squares)| (squares[y][x] - mean[y][x].powi(2)).max(0.0)).sum::<f64>().sqrt()
        };
        levels.push((0..height).map(|y| (0..width).map(|x| deviation(x, y)).collect()).collect());
        channels = channels.map(|c| {
            let cell = |x: usize, y: usize| (c[y][x] + c[y][x + 1] + c[y + 1][x] + c[y + 1][x + 1]) / 4.0;
            (0..height / 2).map(|y| (0..width / 2).map(|x| cell(2 * x, 2 * y)).collect()).collect()
        });
    }
    let (height, width) = (levels[0].len(), levels[0][0].len());
    let read = |s: usize, x: usize, y: usize| {
        let level = &levels[s];
        level[(y >> s).min(level.len() - 1)][(x >> s).min(level[0].len() - 1)]
    };
    let largest = |x: usize, y: usize| (0..3).map(|s| read(s, x, y)).fold(0.0, f64::max);
    (0..height).flat_map(|y| (0..width).map(move |x| (x, y))).map(|(x, y)| largest(x, y)).sum::<f64>()
        / (width * height) as f64
}

/// Flood fill.
fn naive_regions(lab: &[Plane; 3]) -> usize {
    let [l, a, b] = lab.each_ref().map(grid);
    let (height, width) = (l.len(), l[0].len());
    let cell = |x: usize, y: usize| {
        [
            (l[y][x] / 20.0).floor().clamp(0.0, 4.0) as i32,
            ((a[y][x] + 10.0) / 20.0).floor() as i32,
            ((b[y][x] + 10.0) / 20.0).floor() as i32,
        ]
    };
    let mut seen = vec![false; width * height];
    let mut count = 0;
    for start in 0..width * height {
        let (mut area, mut open) = (0, vec![start]);
        while let Some(at) = open.pop() {
            let (x, y) = (at % width, at / width);
            if seen[at] || cell(x, y) != cell(start % width, start / width) {
                continue;
            }
            seen[at] = true;
            area += 1;
            open.extend((x > 0).then(|| at - 1).into_iter().chain((x + 1 < width).then(|| at + 1)));
            open.extend((y > 0).then(|| at - width).into_iter().chain((y + 1 < height).then(|| at + width)));
        }
        count += usize::from(area > 0 && area * 5000 >= width * height);
    }
    count
}

fn noisy_lab(seed: u32, width: usize, height: usize) -> [Plane; 3] {
    [(0, 100.0), (1, 60.0), (2, 60.0)].map(|(channel, scale)| {
        // Coarse blocks, so that there are regions of many sizes, and a little noise within.
        let samples = noise(seed + channel, width * height);
        let blocks: Vec<f32> = (0..width * height)
            .map(|i| samples[(i / width / 5 * 5) * width + i % width / 7 * 7] * scale + samples[i] * 4.0)
            .collect();
        Plane::new(width, blocks)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn the_area_shrink_is_the_mean_over_each_stretch(
        seed in 0u32..1000, width in 1usize..60, height in 1usize..60, across in 1usize..=60, down in 1usize..=60,
    ) {
        let to = (across.min(width), down.min(height));
        let samples = noise(seed, width * height);
        let fast = shrunk((width, height), to, &|y, row| {
            for (x, pixel) in row.chunks_exact_mut(3).enumerate() {
                pixel.fill(samples[y * width + x]);
            }
        });
        let fast = Plane::new(to.0, fast.into_iter().skip(1).step_by(3).collect());
        let rows: Grid = grid(&Plane::new(width, samples.clone())).iter().map(|row| shrunk_line(row, to.0)).collect();
        let naive = transposed(&transposed(&rows).iter().map(|column| shrunk_line(column, to.1)).collect());
        prop_assert!(worst(&fast, &naive) < SHRUNK);
    }

    #[test]
    fn the_gaussian_is_its_sum(seed in 0u32..1000, width in 1usize..40, height in 1usize..40, sigma in 1u8..5) {
        let plane = Plane::new(width, noise(seed, width * height)).map(|v| 100.0 * v);
        let naive = both_ways(&grid(&plane), |line| blurred_line(line, f64::from(sigma)));
        prop_assert!(worst(&plane.blurred(&Kernel::gaussian(sigma)), &naive) < BLURRED);
    }

    #[test]
    fn the_gradient_is_its_differences(seed in 0u32..1000, width in 2usize..20, height in 2usize..20) {
        let plane = Plane::new(width, noise(seed, width * height)).map(|v| 100.0 * v);
        let g = grid(&plane);
        let slope = |before: f64, after: f64, inside: bool| (after - before) / if inside { 2.0 } else { 1.0 };
        let naive: Grid = (0..height).map(|y| (0..width).map(|x| {
            let (left, right) = (x.saturating_sub(1), (x + 1).min(width - 1));
            let (up, down) = (y.saturating_sub(1), (y + 1).min(height - 1));
            let across = slope(g[y][left], g[y][right], right - left == 2);
            across.hypot(slope(g[up][x], g[down][x], down - up == 2))
        }).collect()).collect();
        prop_assert!(worst(&gradient_length(&[&plane]), &naive) < BLURRED);
    }

    #[test]
    fn the_regions_are_those_of_a_flood_fill(seed in 0u32..1000, width in 1usize..80, height in 1usize..80) {
        let lab = noisy_lab(seed, width, height);
        prop_assert!(regions(&lab) == naive_regions(&lab));
    }

    #[test]
    fn the_variability_is_that_of_each_channel_by_itself(seed in 0u32..1000, width in 8usize..50, height in 8usize..50) {
        let lab = noisy_lab(seed, width, height);
        let (fast, naive) = (variability(&lab), naive_variability(&lab));
        prop_assert!((fast - naive).abs() < VARIED, "{} {}", fast, naive);
    }
}

/// The white of this room for the library.
#[derive(Debug)]
struct RowSums;

impl WhitePoint<f64> for RowSums {
    fn get_xyz() -> Xyz<Any, f64> {
        Xyz::new(WHITE[0], WHITE[1], WHITE[2])
    }
}

#[test]
fn lab_is_that_of_another_library_with_the_same_white() {
    let samples = noise(5, 3 * 4000);
    let ours = lab(&Linear::interleaved(100, &samples), [1.0; 3]);
    for (i, pixel) in samples.chunks_exact(3).enumerate() {
        let [x, y, z] = TO_XYZ.map(|row| row.iter().zip(pixel).map(|(m, &v)| m * f64::from(v)).sum());
        let theirs = Lab::<RowSums, f64>::from_color(Xyz::<RowSums, f64>::new(x, y, z));
        let found = ours.each_ref().map(|plane| f64::from(plane.samples()[i]));
        for (found, theirs) in found.into_iter().zip([theirs.l, theirs.a, theirs.b]) {
            assert!((found - theirs).abs() < LAB, "{pixel:?}: {found} {theirs}");
        }
    }
}

/// The sRGB primaries in Lab as printed in many places for D65 (0.95047, 1, 1.08883), two decimals. From memory.
#[test]
fn the_primaries_have_their_published_lab_values() {
    /// The published white differs from the row sums in the fifth digit.
    const OTHER_WHITE: f64 = 0.05;
    let primaries = Linear::interleaved(3, &[1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0]);
    let ours = lab(&primaries, [1.0; 3]);
    let published = [[53.24, 80.09, 67.20], [87.73, -86.18, 83.18], [32.30, 79.19, -107.86]];
    for (i, published) in published.iter().enumerate() {
        for (plane, value) in ours.iter().zip(published) {
            assert!(
                (f64::from(plane.samples()[i]) - value).abs() < OTHER_WHITE,
                "{i}: {:?} {value}",
                plane.samples()[i]
            );
        }
    }
}
