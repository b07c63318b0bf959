//! Outside checks: report.
