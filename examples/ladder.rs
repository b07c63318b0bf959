//! Builds a ladder from an input of its own, from Rust.
//!
//! `cargo run --example ladder`

use std::error::Error;

use stillroom::ladder::{Ladder, parse, plan};

/// Everything the search needs stands in the input; docs/FORMATS.md tells its form.
const INPUT: &str = r#"
format = "stillroom.ladder-input/1"
order = ["seen", "heard", "company"]
background_db = 36.0
sound_cap_db = 60.0
novelty = 0.5
max_step = 0.25

[sensitivity]
seen = 1.0
heard = 1.0
company = 1.0

[heard]
db = [35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0]
pull = [0.0, 0.05, 0.11, 0.19, 0.29, 0.42, 0.58, 0.80]
speech_db = 10.0

[[distractor]]
id = "toys-in-view"
channel = "seen"
start = 0
goal = 2
[[distractor.level]]
name = "one, on the shelf"
pull = 0.05
[[distractor.level]]
name = "three, on the shelf"
pull = 0.12

[[distractor]]
id = "radio"
channel = "heard"
start = 0
goal = 1
[[distractor.level]]
name = "soft, across the room"
db = 45.0
"#;

pub(crate) fn build() -> Result<Ladder, Box<dyn Error>> {
    // A refusal says what is wrong, where, and what to do; it never comes as a panic.
    let input = parse(INPUT, "input")?;
    Ok(plan(&input)?)
}

pub(crate) fn told(ladder: &Ladder) -> String {
    let mut lines = vec![format!(
        "load {:.0} to {:.0}, largest step {:.3} in pull{}",
        ladder.start_load.points(),
        ladder.goal_load.points(),
        ladder.largest_step,
        if ladder.optimal { ", proven the smallest" } else { "" }
    )];
    lines.extend(ladder.rungs.iter().map(|rung| format!("{}. {}", rung.number, rung.set_up)));
    lines.join("\n")
}

fn main() -> Result<(), Box<dyn Error>> {
    #[expect(clippy::print_stdout, reason = "an example prints what it found")]
    {
        println!("{}", told(&build()?));
    }
    Ok(())
}
