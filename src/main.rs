//! The binary: the world is collected here and handed to the terminal face.

use std::io::IsTerminal;
use std::path::PathBuf;
use std::process::ExitCode;

use stillroom::cli::{World, guarded};
use stillroom::devices;

fn main() -> ExitCode {
    let folder = |name| std::env::var_os(name).filter(|path| !path.is_empty()).map(PathBuf::from);
    let state = folder("XDG_STATE_HOME").or_else(|| folder("LOCALAPPDATA"));
    let settings = folder("XDG_CONFIG_HOME").or_else(|| folder("APPDATA"));
    let mut world = World {
        stdin: &mut std::io::stdin().lock(),
        stdout: &mut anstream::stdout().lock(),
        stderr: &mut anstream::stderr().lock(),
        zone: devices::zone(std::env::var("TZ").ok().as_deref()),
        stdin_is_terminal: std::io::stdin().is_terminal(),
        stderr_is_terminal: std::io::stderr().is_terminal(),
        now: devices::now(),
        config: settings.or_else(|| folder("HOME").map(|home| home.join(".config"))).map(|path| path.join("stillroom")),
        state: state
            .or_else(|| folder("HOME").map(|home| home.join(".local/state")))
            .map(|path| path.join("stillroom")),
    };
    ExitCode::from(guarded(std::env::args_os(), &mut world))
}
