//! The margin table: listening margin to pull, for a recording without calibration.
//!
//! `margin = LAeq of the usual voice − LA90 of the background`, both by the same device. Linear between the table's
//! rows, held constant beyond both ends: a margin of more than the last row is not quieter than quiet, and below the
//! first row the voice no longer stands out, so the table has nothing more to say. Domain: any finite margin.

use crate::load::TableFault;
use crate::quantity::Pull;

/// A table from listening margin to pull.
#[derive(Clone, Debug, PartialEq)]
pub struct MarginTable {
    rows: Vec<(f64, f64)>,
}

impl MarginTable {
    /// A table with rising margins (dB) and pulls that never rise.
    pub fn new(db: &[f64], pull: &[f64]) -> Result<Self, TableFault> {
        if db.len() != pull.len() || db.len() < 2 {
            return Err(TableFault::Shape { levels: db.len(), pulls: pull.len() });
        }
        for row in 0..db.len() {
            if !db[row].is_finite() || (row > 0 && db[row] <= db[row - 1]) {
                return Err(TableFault::LevelOrder { row: row + 1 });
            }
            if !pull[row].is_finite() || pull[row] < 0.0 || (row > 0 && pull[row] > pull[row - 1]) {
                return Err(TableFault::MarginOrder { row: row + 1 });
            }
        }
        Ok(Self { rows: db.iter().copied().zip(pull.iter().copied()).collect() })
    }

    /// The rows, margin (dB) and pull.
    pub fn rows(&self) -> &[(f64, f64)] {
        &self.rows
    }

    /// The pull of a margin.
    pub fn pull(&self, margin_db: f64) -> Pull {
        let last = self.rows.len() - 1;
        let held = margin_db.clamp(self.rows[0].0, self.rows[last].0);
        let upper = (1..last).find(|&row| held <= self.rows[row].0).unwrap_or(last);
        let ((x0, y0), (x1, y1)) = (self.rows[upper - 1], self.rows[upper]);
        Pull::new(y0 + (y1 - y0) * (held - x0) / (x1 - x0)).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::MarginTable;
    use crate::load::TableFault;

    #[track_caller]
    fn check(margin: f64, pull: f64) {
        let table = MarginTable::new(&[0.0, 5.0, 10.0, 15.0], &[0.58, 0.29, 0.11, 0.0]).unwrap();
        assert!((table.pull(margin).u() - pull).abs() < 1e-12);
    }

    #[test]
    fn between_rows_the_pull_is_linear() {
        check(2.5, 0.435);
        check(10.0, 0.11);
        check(14.0, 0.022);
    }

    #[test]
    fn beyond_both_ends_the_pull_is_held() {
        check(-20.0, 0.58);
        check(40.0, 0.0);
    }

    #[test]
    fn a_table_that_grows_with_the_margin_is_refused() {
        assert_eq!(MarginTable::new(&[0.0, 5.0], &[0.0, 0.1]), Err(TableFault::MarginOrder { row: 2 }));
        assert_eq!(MarginTable::new(&[5.0, 0.0], &[0.1, 0.0]), Err(TableFault::LevelOrder { row: 2 }));
        assert_eq!(MarginTable::new(&[5.0, 6.0], &[0.1]), Err(TableFault::Shape { levels: 2, pulls: 1 }));
    }
}
