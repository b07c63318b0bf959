//! What a person types at the terminal: a passphrase, unseen; yes or no.

use std::io::{self, IsTerminal};

/// Asks for a passphrase; `None` where there is no terminal to ask at.
pub fn ask_secret(prompt: &str) -> io::Result<Option<String>> {
    let terminal = console::Term::stderr();
    if !io::stdin().is_terminal() || !terminal.is_term() {
        return Ok(None);
    }
    terminal.write_str(prompt)?;
    terminal.read_secure_line().map(Some)
}

/// Asks what is answered with yes or no; `None` where there is no terminal to ask at. Anything but a plain yes is a no.
pub fn ask_yes(prompt: &str) -> io::Result<Option<bool>> {
    let terminal = console::Term::stderr();
    if !io::stdin().is_terminal() || !terminal.is_term() {
        return Ok(None);
    }
    terminal.write_str(prompt)?;
    let answer = terminal.read_line()?;
    Ok(Some(["yes", "sí", "si"].contains(&answer.trim().to_lowercase().as_str())))
}
