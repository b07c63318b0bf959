//! What the terminal face is given: input, output, talk and the time. Results go to standard output, talk to standard
//! error.

use std::io::{self, Read, Write};
use std::path::PathBuf;

use jiff::Timestamp;

/// The world, handed in.
pub struct World<'a> {
    /// What `-` reads.
    pub stdin: &'a mut dyn Read,
    /// The result.
    pub stdout: &'a mut dyn Write,
    /// The talk.
    pub stderr: &'a mut dyn Write,
    /// Whether someone is watching, so that progress is worth showing.
    pub stderr_is_terminal: bool,
    /// Whether the result goes to a terminal, where no file's text belongs.
    pub stdout_is_terminal: bool,
    /// The language this computer is set to, such as `es_ES.UTF-8`.
    pub locale: Option<String>,
    /// The moment the command was given.
    pub now: Timestamp,
    /// The user's own folder for settings (calibration profiles), if there is one.
    pub config: Option<PathBuf>,
}

impl World<'_> {
    /// Prints a result.
    pub(super) fn print(&mut self, text: &str) -> io::Result<()> {
        self.stdout.write_all(text.as_bytes())?;
        self.stdout.flush()
    }

    /// Says something beside the result. What cannot be said is not worth failing for.
    pub(super) fn say(&mut self, text: &str) {
        let _unheard = writeln!(self.stderr, "{text}");
    }
}
