//! Writes the manual pages and what shells complete, from the definitions of the commands.
//!
//! `cargo run --example manual -- ~/.local/share` lays them where a shell and `man` look for a user's own.

use std::error::Error;
use std::fs;
use std::path::Path;

use clap_complete::{Shell, generate_to};
use stillroom::cli;

/// Where each shell looks, below a folder such as `/usr/share` or `~/.local/share`.
const SHELLS: [(Shell, &str); 3] = [
    (Shell::Bash, "bash-completion/completions"),
    (Shell::Zsh, "zsh/site-functions"),
    (Shell::Fish, "fish/vendor_completions.d"),
];

/// Writes everything below `share`; gives the number of manual pages.
pub(crate) fn write(share: &Path) -> Result<usize, Box<dyn Error>> {
    let mut commands = cli::definitions();
    for (shell, folder) in SHELLS {
        let folder = share.join(folder);
        fs::create_dir_all(&folder)?;
        let name = if shell == Shell::Bash { Some(folder.join("stillroom")) } else { None };
        let made = generate_to(shell, &mut commands, "stillroom", &folder)?;
        // Bash looks for a file with the bare name of the command.
        if let Some(name) = name {
            fs::rename(made, name)?;
        }
    }
    let pages = share.join("man/man1");
    fs::create_dir_all(&pages)?;
    clap_mangen::generate_to(cli::definitions(), &pages)?;
    Ok(fs::read_dir(&pages)?.count())
}

fn main() -> Result<(), Box<dyn Error>> {
    let share = std::env::args().nth(1).ok_or("name a folder, such as ~/.local/share")?;
    let pages = write(Path::new(&share))?;
    #[expect(clippy::print_stdout, reason = "an example says what it wrote")]
    {
        println!("{pages} manual pages and completions for bash, zsh and fish below {share}");
    }
    Ok(())
}
