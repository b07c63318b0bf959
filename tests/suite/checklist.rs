//! Outside checks: checklist.
