//! Outside checks: sound.
