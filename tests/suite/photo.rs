//! Outside checks: photo.

mod vectors;
