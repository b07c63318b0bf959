//! Outside checks: ladder.
