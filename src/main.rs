//! The binary: the world is collected here and handed to the terminal face.

use std::io::IsTerminal;
use std::process::ExitCode;

use stillroom::cli::{World, guarded};
use stillroom::devices;

fn main() -> ExitCode {
    let mut world = World {
        stdin: &mut std::io::stdin().lock(),
        stdout: &mut anstream::stdout().lock(),
        stderr: &mut anstream::stderr().lock(),
        stderr_is_terminal: std::io::stderr().is_terminal(),
        now: devices::now(),
    };
    ExitCode::from(guarded(std::env::args_os(), &mut world))
}
