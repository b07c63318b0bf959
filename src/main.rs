//! The binary: the world is collected here and handed to the terminal face.

use std::io::IsTerminal;
use std::path::PathBuf;
use std::process::ExitCode;

use stillroom::cli::{World, guarded};
use stillroom::devices;

fn main() -> ExitCode {
    let folder = |name| std::env::var_os(name).filter(|path| !path.is_empty()).map(PathBuf::from);
    let word = |name| std::env::var(name).ok().filter(|set| !set.is_empty());
    let home = |below| folder("HOME").map(|home| home.join(below));
    let state = folder("XDG_STATE_HOME").or_else(|| folder("LOCALAPPDATA"));
    let settings = folder("XDG_CONFIG_HOME").or_else(|| folder("APPDATA"));
    let mut world = World {
        stdin: &mut std::io::stdin().lock(),
        stdout: &mut anstream::stdout().lock(),
        stderr: &mut anstream::stderr().lock(),
        stdin_is_terminal: std::io::stdin().is_terminal(),
        stderr_is_terminal: std::io::stderr().is_terminal(),
        stdout_is_terminal: std::io::stdout().is_terminal(),
        locale: ["LC_ALL", "LC_MESSAGES", "LANG"].iter().find_map(word),
        serve: stillroom::page::serve,
        now: devices::now(),
        config: settings.or_else(|| home(".config")).map(|path| path.join("stillroom")),
        state: state.or_else(|| home(".local/state")).map(|path| path.join("stillroom")),
    };
    ExitCode::from(guarded(std::env::args_os(), &mut world))
}
