//! Outside checks: practice.
