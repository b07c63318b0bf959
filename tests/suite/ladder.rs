//! Outside checks: ladder.

mod again;
mod bounded;
mod cases;
mod eleven;
mod examples;
mod learned;
mod oracle;
mod paths;
mod reading;
mod refusals;
mod splitting;
