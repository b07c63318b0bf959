//! Outside checks: load.
