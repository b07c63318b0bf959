//! Band-passes side by side with a stop every 125 ms: what each let through between two stops, and in all.
//!
//! Steps end at the samples nearest to whole multiples of 125 ms, at whatever rate the samples come.

use super::ballistics::HISTORY_STEPS;
use super::lanes::{LANES, Lanes, Real};
use super::num::{single, whole};

/// Mean squares, a row a step and a column a band. Channels add up in it.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Grid {
    width: usize,
    squares: Vec<f32>,
}

impl Grid {
    /// For so many bands.
    pub(super) fn new(width: usize) -> Self {
        Self { width, squares: Vec::new() }
    }

    /// The bands of a step; nothing where it was never reached.
    pub(super) fn row(&self, step: usize) -> &[f32] {
        self.squares.get(step * self.width..(step + 1) * self.width).unwrap_or_default()
    }

    fn add(&mut self, step: usize, column: usize, squares: impl Iterator<Item = f64>) {
        let least = (step + 1) * self.width;
        if self.squares.len() < least {
            self.squares.resize(least, 0.0);
        }
        let row = &mut self.squares[step * self.width..least];
        for (sum, square) in row.iter_mut().skip(column).zip(squares) {
            *sum += single(square);
        }
    }
}

/// The filters of one channel at one rate.
#[derive(Clone, Debug)]
pub(super) struct Stepped<T> {
    lanes: Vec<Lanes<T>>,
    rate: f64,
    at: usize,
    step: usize,
    step_from: usize,
    energy: Vec<f64>,
    total: Vec<f64>,
}

impl<T: Real> Stepped<T> {
    /// At rest, for bands by their edges.
    pub(super) fn new(edges_hz: &[(f64, f64)], rate: f64) -> Self {
        let lanes: Vec<Lanes<T>> = edges_hz.chunks(LANES).map(|edges| Lanes::new(edges, rate)).collect();
        let energy = vec![0.0; lanes.len() * LANES];
        Self { lanes, rate, at: 0, step: 0, step_from: 0, total: energy.clone(), energy }
    }

    /// Takes samples. What a step came to, times `share`, goes into `grid` from `column` on.
    pub(super) fn push(&mut self, samples: &[f32], share: f64, grid: Option<&mut Grid>, column: usize) {
        let mut grid = grid;
        let mut left = samples;
        while !left.is_empty() {
            let end = whole((self.step + 1) as f64 * self.rate / HISTORY_STEPS);
            let (now, later) = left.split_at(left.len().min(end - self.at));
            for (lanes, sums) in self.lanes.iter_mut().zip(self.energy.chunks_mut(LANES)) {
                for (sum, energy) in sums.iter_mut().zip(lanes.energy(now)) {
                    *sum += energy;
                }
            }
            self.at += now.len();
            left = later;
            if self.at == end {
                if let Some(grid) = &mut grid {
                    let mean = share / (end - self.step_from) as f64;
                    grid.add(self.step, column, self.energy.iter().map(|energy| energy * mean));
                }
                self.take_step();
                self.step += 1;
                self.step_from = end;
            }
        }
    }

    /// The energy of each band over all samples.
    pub(super) fn finish(mut self) -> Vec<f64> {
        self.take_step();
        self.total
    }

    fn take_step(&mut self) {
        for (total, step) in self.total.iter_mut().zip(&mut self.energy) {
            *total += std::mem::take(step);
        }
    }
}
