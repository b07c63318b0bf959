//! Outside checks: ladder.

mod examples;
mod oracle;
mod paths;
