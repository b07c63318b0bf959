//! Outside checks: ladder.

mod bounded;
mod examples;
mod oracle;
mod paths;
