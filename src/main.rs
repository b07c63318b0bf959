//! The binary: the world is collected here and handed to the terminal face.

use std::{io::IsTerminal, path::PathBuf, process::ExitCode};

use stillroom::cli::{World, guarded};
use stillroom::devices;

fn main() -> ExitCode {
    let word = |name: &&str| std::env::var(name).ok().filter(|set| !set.is_empty());
    let folder = |name| std::env::var_os(name).filter(|path| !path.is_empty()).map(PathBuf::from);
    let own = |first, second, below| {
        let found = folder(first).or_else(|| folder(second)).or_else(|| folder("HOME").map(|home| home.join(below)));
        found.map(|path| path.join("stillroom"))
    };
    let mut world = World {
        stdin: &mut std::io::stdin(), // not locked: a passphrase is asked for through the same handle
        stdout: &mut anstream::stdout().lock(),
        stderr: &mut anstream::stderr().lock(),
        zone: devices::zone(word(&"TZ").as_deref()),
        stdin_is_terminal: std::io::stdin().is_terminal(),
        stderr_is_terminal: std::io::stderr().is_terminal(),
        stdout_is_terminal: std::io::stdout().is_terminal(),
        tongue: ["LC_ALL", "LC_MESSAGES", "LANG"].iter().find_map(word).into(),
        serve: stillroom::page::serve,
        now: devices::now(),
        config: own("XDG_CONFIG_HOME", "APPDATA", ".config"),
        state: own("XDG_STATE_HOME", "LOCALAPPDATA", ".local/state"),
    };
    ExitCode::from(guarded(std::env::args_os(), &mut world))
}
