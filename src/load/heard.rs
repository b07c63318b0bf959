//! The heard table: rating level at the child's ear to pull.
//!
//! `L_r = LAeq + speech_db · speech_share`, then linear between the table's rows, the first pull below the
//! first row, the last slope beyond the last. The form of the adjustment follows ISO 1996-1; the numbers are ours.

use crate::quantity::{Decibels, Pull};

/// A table from rating level to pull, with the adjustment for speech-like sound.
#[derive(Clone, Debug, PartialEq)]
pub struct HeardTable {
    rows: Vec<(f64, f64)>,
    speech_db: f64,
}

/// What makes a table unusable.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TableFault {
    /// Columns of different length, or fewer than two rows.
    #[error("the table needs two rows or more and as many levels as pulls ({levels} levels, {pulls} pulls)")]
    Shape {
        /// Rows in the level column.
        levels: usize,
        /// Rows in the pull column.
        pulls: usize,
    },
    /// A level that does not rise.
    #[error("row {row}: each level must be above the one before")]
    LevelOrder {
        /// Counted from 1.
        row: usize,
    },
    /// A pull that falls, is negative or is no number.
    #[error("row {row}: a pull must be a number, 0 or more, and never fall as the sound grows")]
    PullOrder {
        /// Counted from 1.
        row: usize,
    },
    /// A pull that grows with the margin (the margin table runs the other way).
    #[error("row {row}: a pull must be a number, 0 or more, and never grow with the margin")]
    MarginOrder {
        /// Counted from 1.
        row: usize,
    },
    /// The speech adjustment.
    #[error("`speech_db` must be between 0 and 20")]
    Speech,
}

impl HeardTable {
    /// A table with rising levels (dB) and pulls that never fall.
    pub fn new(db: &[f64], pull: &[f64], speech_db: f64) -> Result<Self, TableFault> {
        if db.len() != pull.len() || db.len() < 2 {
            return Err(TableFault::Shape { levels: db.len(), pulls: pull.len() });
        }
        for row in 0..db.len() {
            if !db[row].is_finite() || (row > 0 && db[row] <= db[row - 1]) {
                return Err(TableFault::LevelOrder { row: row + 1 });
            }
            if !pull[row].is_finite() || pull[row] < 0.0 || (row > 0 && pull[row] < pull[row - 1]) {
                return Err(TableFault::PullOrder { row: row + 1 });
            }
        }
        if !(0.0..=20.0).contains(&speech_db) {
            return Err(TableFault::Speech);
        }
        Ok(Self { rows: db.iter().copied().zip(pull.iter().copied()).collect(), speech_db })
    }

    /// The adjustment for sound that is speech-like all the time, dB.
    pub const fn speech_db(&self) -> f64 {
        self.speech_db
    }

    /// The rows, level (dB) and pull.
    pub fn rows(&self) -> &[(f64, f64)] {
        &self.rows
    }

    /// The rating level of a sound that is speech-like for `speech_share` (0–1) of the time.
    pub fn rating(&self, level: Decibels, speech_share: f64) -> Decibels {
        level.raised_by(self.speech_db * speech_share)
    }

    /// The pull of a rating level.
    pub fn pull(&self, rating: Decibels) -> Pull {
        let level = rating.db();
        let last = self.rows.len() - 1;
        if level <= self.rows[0].0 {
            return Pull::new(self.rows[0].1).unwrap_or_default();
        }
        let upper = (1..last).find(|&row| level <= self.rows[row].0).unwrap_or(last);
        let ((x0, y0), (x1, y1)) = (self.rows[upper - 1], self.rows[upper]);
        Pull::new(y0 + (y1 - y0) * (level - x0) / (x1 - x0)).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::{HeardTable, TableFault};
    use crate::quantity::Decibels;

    fn shipped() -> HeardTable {
        HeardTable::new(
            &[35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0],
            &[0.0, 0.05, 0.11, 0.19, 0.29, 0.42, 0.58, 0.80],
            10.0,
        )
        .unwrap()
    }

    #[track_caller]
    fn check(level: f64, pull: f64) {
        assert!((shipped().pull(Decibels::new(level)).u() - pull).abs() < 1e-12);
    }

    #[test]
    fn between_rows_the_pull_is_linear() {
        check(42.5, 0.08);
        check(40.0, 0.05);
    }

    #[test]
    fn below_the_table_the_first_pull_and_beyond_it_the_last_slope() {
        check(-10.0, 0.0);
        check(75.0, 0.80 + 0.22);
    }

    #[test]
    fn a_table_that_falls_is_refused() {
        assert_eq!(HeardTable::new(&[35.0, 40.0], &[0.1, 0.0], 10.0), Err(TableFault::PullOrder { row: 2 }));
        assert_eq!(HeardTable::new(&[35.0, 35.0], &[0.0, 0.1], 10.0), Err(TableFault::LevelOrder { row: 2 }));
        assert_eq!(HeardTable::new(&[35.0], &[0.0], 10.0), Err(TableFault::Shape { levels: 1, pulls: 1 }));
    }
}
