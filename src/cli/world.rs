//! What the terminal face is given: input, output, talk and the time. Results go to standard output, talk to standard
//! error.

use std::io::{self, Read, Write};
use std::path::PathBuf;

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::language::{Language, Speaker};
use crate::tasks::serving::Serve;

use super::layout::laid_out;

/// The longest line that is read as a reply, bytes.
const LONGEST_LINE: usize = 4096;

/// The world, handed in.
pub struct World<'a> {
    /// What `-` reads.
    pub stdin: &'a mut dyn Read,
    /// The result.
    pub stdout: &'a mut dyn Write,
    /// The talk.
    pub stderr: &'a mut dyn Write,
    /// Where this computer is, so that a day is the user's day.
    pub zone: TimeZone,
    /// Whether someone sits there who can be asked.
    pub stdin_is_terminal: bool,
    /// Whether someone is watching, so that progress is worth showing.
    pub stderr_is_terminal: bool,
    /// Whether the result goes to a terminal, where no file's text belongs.
    pub stdout_is_terminal: bool,
    /// The language that is spoken, or the one this computer is set to.
    pub tongue: Tongue,
    /// Serves the local page until it is stopped, saying its address first.
    pub serve: Serve,
    /// The moment the command was given.
    pub now: Timestamp,
    /// The user's own folder for settings (calibration profiles), if there is one.
    pub config: Option<PathBuf>,
    /// The user's own folder for what is under way (an interrupted walk), if there is one.
    pub state: Option<PathBuf>,
}

impl World<'_> {
    /// Prints a result for people, in their language.
    pub(super) fn print(&mut self, text: &str) -> io::Result<()> {
        let text = self.tongue.laid_out(text);
        self.hand_out(&text)
    }

    /// Prints a result for programs: a document, a table, a file to fill in.
    pub(super) fn hand_out(&mut self, text: &str) -> io::Result<()> {
        self.stdout.write_all(text.as_bytes())?;
        self.stdout.flush()
    }

    /// Asks something and gives the line that comes back; `None` at the end of the input.
    pub(super) fn ask(&mut self, prompt: &str) -> io::Result<Option<String>> {
        let prompt = self.tongue.laid_out(prompt);
        self.stderr.write_all(prompt.as_bytes())?;
        self.stderr.flush()?;
        let mut line = Vec::new();
        let mut byte = [0];
        loop {
            match self.stdin.read(&mut byte) {
                Ok(0) if line.is_empty() => return Ok(None),
                Ok(0) => break,
                Ok(_) if byte[0] == b'\n' => break,
                // What is longer than any answer is no answer; its end is read and dropped.
                Ok(_) if line.len() < LONGEST_LINE => line.push(byte[0]),
                Ok(_) => {}
                Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                Err(error) => return Err(error),
            }
        }
        Ok(Some(String::from_utf8_lossy(&line).trim().to_owned()))
    }

    /// Today, as the user's calendar shows it.
    pub(super) fn today(&self) -> Date {
        self.now.to_zoned_datetime(self.zone.clone()).date()
    }

    /// Says something beside the result. What cannot be said is not worth failing for.
    pub(super) fn say(&mut self, text: &str) {
        let text = self.tongue.laid_out(text);
        self.say_as_is(&text);
    }

    /// Says a document beside the result.
    pub(super) fn say_as_is(&mut self, text: &str) {
        let _unheard = writeln!(self.stderr, "{text}");
    }
}

/// What is spoken. English until something else is asked for.
#[derive(Debug, Default)]
pub struct Tongue {
    locale: Option<String>,
    speaker: Option<Speaker>,
}

impl From<Option<String>> for Tongue {
    /// From what the computer is set to, such as `es_ES.UTF-8`.
    fn from(locale: Option<String>) -> Self {
        Self { locale, speaker: None }
    }
}

impl Tongue {
    /// What the computer is set to.
    pub(super) fn locale(&self) -> Option<&str> {
        self.locale.as_deref()
    }

    /// Speaks that language from now on.
    pub(super) fn speak(&mut self, language: Language) {
        self.speaker = (language != Language::English).then(|| Speaker::new(language));
    }

    /// The language spoken.
    pub(super) fn language(&self) -> Language {
        self.speaker.as_ref().map_or(Language::English, Speaker::language)
    }

    /// A speaker for what is written to a file.
    pub(super) fn paper_speaker(&self) -> Speaker {
        Speaker::new(self.language())
    }

    /// A drawing with its words in the language.
    pub(super) fn drawing(&self, drawn: String) -> String {
        match &self.speaker {
            Some(speaker) => speaker.retell_page(drawn),
            None => drawn,
        }
    }

    /// Lines as they reach the screen.
    pub(super) fn laid_out(&self, text: &str) -> String {
        match &self.speaker {
            Some(speaker) => laid_out(text, Some(&|words| speaker.retell(words))),
            None => laid_out(text, None),
        }
    }
}
