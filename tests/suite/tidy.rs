//! Outside checks: tidy.
