//! Why a recording is refused: which one, what is wrong, and what to do.

use crate::words::printable;

/// A recording that cannot be read, or whose figures would be a lie.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{name}: {fault}")]
pub struct Refusal {
    name: String,
    fault: Fault,
}

/// What is wrong with a recording.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// No bytes at all.
    #[error("the file is empty")]
    Empty,
    /// Text, a picture, random bytes, or right first bytes with rubbish behind.
    #[error("this is not a recording this tool can read ({found})")]
    NotSound {
        /// What it looks like instead.
        found: String,
    },
    /// A recording in a form that is recognised but not read.
    #[error("this is {format}, which is not read")]
    Unsupported {
        /// The format, with its article.
        format: String,
    },
    /// A header and no samples.
    #[error("there is no sound in the file")]
    NoSound,
    /// A number of channels that cannot be.
    #[error("the header gives an impossible number of channels, {channels} (1 to {most} are read)")]
    Channels {
        /// What the header says.
        channels: u64,
        /// The cap.
        most: u64,
    },
    /// A sample rate that cannot be.
    #[error("the header gives an impossible sample rate, {hz} Hz (4000 to 384000 Hz are read)")]
    Rate {
        /// What the header says.
        hz: u64,
    },
    /// Bits, frame size and channels that contradict each other, or a form nobody uses.
    #[error("the samples have an unknown form ({detail})")]
    SampleForm {
        /// What is odd.
        detail: String,
    },
    /// A sample that is NaN or infinite.
    #[error("damaged samples: a value that is not a number, {at_ms} ms from the start")]
    NotNumbers {
        /// Where, in milliseconds.
        at_ms: u64,
    },
    /// A sample beyond 100 times full scale.
    #[error("damaged samples: a value more than 100 times full scale, {at_ms} ms from the start")]
    BeyondScale {
        /// Where, in milliseconds.
        at_ms: u64,
    },
    /// The decoder gave up.
    #[error("the recording is damaged ({detail})")]
    Broken {
        /// The decoder's words.
        detail: String,
    },
    /// Less than a second could be made out in a damaged file.
    #[error("the recording is damaged: less than one second of it can be made out")]
    TooLittle,
    /// Far more sound than its bytes can hold: a damaged header that stands for hours.
    #[error("the recording is damaged: {bytes} bytes cannot hold more than {seconds} seconds of sound")]
    TooDense {
        /// The bytes there are.
        bytes: u64,
        /// The seconds that were made out before reading stopped.
        seconds: u64,
    },
    /// Longer than the cap.
    #[error("the recording is longer than 2 hours, the most that is read")]
    TooLong,
    /// Longer than the cap of a recording that is read as a stream.
    #[error("the recording is longer than a day, the most that is read as a stream")]
    LongerThanADay,
    /// Bigger than the cap.
    #[error("the file is bigger than {cap}, the most that is read")]
    TooBig {
        /// The cap in words.
        cap: &'static str,
    },
    /// Thousands of tiny chunks.
    #[error("the header has more than {cap} parts")]
    TooManyChunks {
        /// The cap.
        cap: usize,
    },
    /// Reading failed underway.
    #[error("reading failed ({detail})")]
    Unreadable {
        /// The system's words.
        detail: String,
    },
    /// A reference recording that cannot calibrate.
    #[error("a silent recording cannot calibrate anything")]
    SilentReference,
    /// A reading that cannot belong to the reference recording.
    #[error("the reading and this reference recording lie {offset} dB apart, which no microphone does")]
    OddReading {
        /// The offset they would make, rounded.
        offset: String,
    },
}

impl Fault {
    /// Longer than so many seconds.
    pub(super) const fn too_long(most_seconds: u64) -> Self {
        if most_seconds > 7200 { Self::LongerThanADay } else { Self::TooLong }
    }
}

impl Refusal {
    /// A refusal of the recording called `name`, which is made fit to print.
    pub fn new(name: &str, fault: Fault) -> Self {
        Self { name: printable(name), fault }
    }

    /// The recording, fit to print.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What is wrong.
    pub const fn fault(&self) -> &Fault {
        &self.fault
    }

    /// The word that programs read.
    pub const fn code(&self) -> &'static str {
        match self.fault {
            Fault::Empty => "sound-empty",
            Fault::NotSound { .. } => "sound-unknown",
            Fault::Unsupported { .. } => "sound-unsupported",
            Fault::NoSound => "sound-no-samples",
            Fault::Channels { .. } => "sound-channels",
            Fault::Rate { .. } => "sound-rate",
            Fault::SampleForm { .. } => "sound-sample-form",
            Fault::NotNumbers { .. } | Fault::BeyondScale { .. } => "sound-damaged-samples",
            Fault::Broken { .. } | Fault::TooLittle | Fault::TooDense { .. } => "sound-damaged",
            Fault::TooLong | Fault::LongerThanADay => "sound-too-long",
            Fault::TooBig { .. } | Fault::TooManyChunks { .. } => "sound-too-big",
            Fault::Unreadable { .. } => "sound-unreadable",
            Fault::SilentReference => "sound-reference-silent",
            Fault::OddReading { .. } => "sound-reference-reading",
        }
    }

    /// What to do about it.
    pub const fn hint(&self) -> &'static str {
        match self.fault {
            Fault::Empty => "was the recording stopped before it was saved? Record again for a minute",
            Fault::NotSound { .. } => "WAV, FLAC, MP3, OGG Vorbis and M4A (AAC, ALAC) files are read",
            Fault::Unsupported { .. } => {
                "save or convert it as WAV or FLAC (for example with `ffmpeg -i IN OUT.wav`), \
                 or set the recorder to WAV and record again"
            }
            Fault::NoSound => "record again, and stop and save the recording before copying the file",
            Fault::Channels { .. } | Fault::Rate { .. } | Fault::SampleForm { .. } => {
                "copy the file again from the device, or export it as a plain 16-bit WAV"
            }
            Fault::NotNumbers { .. } | Fault::BeyondScale { .. } => {
                "export the recording again; a level from damaged samples would be a lie"
            }
            Fault::Broken { .. } | Fault::TooLittle | Fault::TooDense { .. } => {
                "copy the file again from the device, or record again"
            }
            Fault::LongerThanADay => "give it in pieces of a day at most, each with the time at which it begins",
            Fault::TooLong => "cut out the minutes that matter; one minute is enough for a room",
            Fault::TooBig { .. } => "cut out the minutes that matter, or give the file by name rather than by a pipe",
            Fault::TooManyChunks { .. } => "export it again as a plain WAV",
            Fault::Unreadable { .. } => "check that the file is still there and complete, then try again",
            Fault::SilentReference => "record the reference again with the microphone on and the noise running",
            Fault::OddReading { .. } => "give the LAeq that the meter read, in dB, while that very file was recorded",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Fault, Refusal};

    #[test]
    fn a_name_in_a_message_cannot_move_the_cursor() {
        let refusal = Refusal::new("room\n\u{1b}[2J.wav", Fault::Empty);
        assert_eq!(refusal.to_string(), "room\\u{a}\\u{1b}[2J.wav: the file is empty");
    }
}
