//! A recording opened: what it is, and its samples block by block, whatever form they are stored in.

use std::io::{Read, Seek, SeekFrom};

use super::coded::CodedStream;
use super::feed::FedStream;
use super::refusal::{Fault, Refusal};
use super::sniff::{self, Kind};
use super::warning::Warning;
use super::wav::WavStream;

/// The most bytes that are read.
pub(super) const MOST_BYTES: u64 = 4 << 30;
/// The most bytes of a pipe, which has to be held in memory.
const MOST_PIPED: u64 = 512 << 20;
/// The most seconds that are read.
const MOST_SECONDS: u64 = 2 * 3600;
/// The most seconds of a recording that is read as a stream: a day.
const MOST_LONG_SECONDS: u64 = 24 * 3600;
/// The most channels that are read.
pub(super) const MOST_CHANNELS: u64 = 32;
/// The sample rates that are read, Hz.
pub(super) const RATES: std::ops::RangeInclusive<u64> = 4_000..=384_000;
/// How far beyond full scale a sample may lie before it counts as damaged.
const MOST_SCALE: f32 = 100.0;

/// Bytes that can be read and searched: a file, or bytes in memory.
pub trait Source: Read + Seek + Send + Sync {}

impl<T: Read + Seek + Send + Sync> Source for T {}

/// What is known of a recording before it is read through.
#[derive(Clone, Debug, PartialEq)]
pub struct Info {
    /// The name it was opened under.
    pub name: String,
    /// Samples a second.
    pub sample_rate_hz: u32,
    /// Channels, 1 to 32.
    pub channels: usize,
    /// The form, as it is said in a sentence: `WAV`, `MP3`.
    pub format: &'static str,
    /// Whether the form loses something.
    pub lossy: bool,
    /// Whether samples may lie above full scale without being clipped.
    pub headroom: bool,
    /// The step between neighbouring sample values, as a share of full scale.
    pub step: f64,
}

/// Samples of all channels over the same stretch of time, full scale 1.
#[derive(Debug, Default)]
pub(super) struct Block {
    pub planes: Vec<Vec<f32>>,
}

impl Block {
    /// An empty block for so many channels.
    pub(super) fn of(channels: usize) -> Self {
        Self { planes: vec![Vec::new(); channels] }
    }

    /// Samples in each channel.
    pub(super) fn frames(&self) -> usize {
        self.planes.first().map_or(0, Vec::len)
    }
}

pub(super) enum Stream {
    Wav(WavStream),
    Coded(CodedStream),
    Fed(FedStream),
}

/// An opened recording, to be handed to [`super::analyse`].
pub struct Recording {
    info: Info,
    stream: Stream,
    frames: u64,
    most_seconds: u64,
}

/// Opens a recording by its content; its name is only said, never believed.
pub fn open(source: Box<dyn Source>, name: &str) -> Result<Recording, Refusal> {
    open_up_to(source, name, MOST_SECONDS)
}

/// Opens a recording of up to a day, to be handed to [`super::ribbon()`].
pub fn open_long(source: Box<dyn Source>, name: &str) -> Result<Recording, Refusal> {
    open_up_to(source, name, MOST_LONG_SECONDS)
}

fn open_up_to(mut source: Box<dyn Source>, name: &str, most_seconds: u64) -> Result<Recording, Refusal> {
    let refuse = |fault| Refusal::new(name, fault);
    let unreadable = |error: std::io::Error| refuse(Fault::Unreadable { detail: error.to_string() });
    let length = source.seek(SeekFrom::End(0)).map_err(unreadable)?;
    source.seek(SeekFrom::Start(0)).map_err(unreadable)?;
    if length == 0 {
        return Err(refuse(Fault::Empty));
    }
    if length > MOST_BYTES {
        return Err(refuse(Fault::TooBig { cap: "4 GiB" }));
    }
    let mut head = Vec::new();
    Read::take(&mut source, sniff::HEAD).read_to_end(&mut head).map_err(unreadable)?;
    source.seek(SeekFrom::Start(0)).map_err(unreadable)?;
    let kind = sniff::kind(&head).map_err(refuse)?;
    let (info, stream) = match kind {
        Kind::Wav => {
            let (info, stream) = WavStream::open(source, length, name, most_seconds)?;
            (info, Stream::Wav(stream))
        }
        Kind::Coded(form) => {
            let (info, stream) = CodedStream::open(source, length, form, name, most_seconds)?;
            (info, Stream::Coded(stream))
        }
    };
    Ok(Recording { most_seconds, ..Recording::of_stream(info, stream) })
}

/// The bytes of something that cannot be searched (a pipe), up to a cap, to be opened through a cursor.
pub fn gather(reader: &mut dyn Read, name: &str) -> Result<Vec<u8>, Refusal> {
    let mut bytes = Vec::new();
    reader
        .take(MOST_PIPED + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| Refusal::new(name, Fault::Unreadable { detail: error.to_string() }))?;
    if bytes.len() as u64 > MOST_PIPED {
        return Err(Refusal::new(name, Fault::TooBig { cap: "512 MiB through a pipe" }));
    }
    Ok(bytes)
}

impl Recording {
    /// A recording before its first sample.
    pub(super) fn of_stream(info: Info, stream: Stream) -> Self {
        Self { info, stream, frames: 0, most_seconds: MOST_SECONDS }
    }

    /// What is known of it before it is read through.
    pub fn info(&self) -> &Info {
        &self.info
    }

    /// The next stretch of samples into `block`; `false` at the end. Every sample handed out is a finite number.
    pub(super) fn next_block(&mut self, block: &mut Block) -> Result<bool, Refusal> {
        let more = match &mut self.stream {
            Stream::Wav(stream) => stream.next_block(block)?,
            Stream::Coded(stream) => stream.next_block(block)?,
            Stream::Fed(stream) => stream.next_block(block),
        };
        self.check(block)?;
        self.frames += block.frames() as u64;
        if self.frames > self.most_seconds * u64::from(self.info.sample_rate_hz) {
            return Err(Refusal::new(&self.info.name, Fault::too_long(self.most_seconds)));
        }
        Ok(more)
    }

    /// The share of the recording that has been read, 0 to 1, as far as it can be told.
    pub(super) fn progress(&self) -> f64 {
        match &self.stream {
            Stream::Wav(stream) => stream.progress(),
            Stream::Coded(stream) => stream.progress(self.frames),
            Stream::Fed(stream) => stream.progress(),
        }
    }

    /// What reading it through has shown.
    pub(super) fn finish(&self) -> Result<Vec<Warning>, Refusal> {
        if self.frames == 0 {
            return Err(Refusal::new(&self.info.name, Fault::NoSound));
        }
        let seconds = self.frames as f64 / f64::from(self.info.sample_rate_hz);
        let mut warnings = Vec::new();
        let (truncated, damaged) = match &self.stream {
            Stream::Wav(stream) => (stream.truncated(), false),
            Stream::Coded(stream) => (stream.truncated(self.frames), stream.damaged()),
            Stream::Fed(_) => (false, false),
        };
        if damaged && seconds < 1.0 {
            return Err(Refusal::new(&self.info.name, Fault::TooLittle));
        }
        if truncated {
            warnings.push(Warning::Truncated { seconds });
        }
        if damaged {
            warnings.push(Warning::Damaged);
        }
        if self.info.lossy {
            warnings.push(Warning::Lossy { format: self.info.format });
        }
        Ok(warnings)
    }

    fn check(&self, block: &Block) -> Result<(), Refusal> {
        for plane in &block.planes {
            // Comparing this way round also catches what is not a number.
            if plane.iter().fold(true, |sound, x| sound & (x.abs() <= MOST_SCALE)) {
                continue;
            }
            let (place, value) =
                plane.iter().enumerate().find(|(_, x)| x.abs().is_nan() || x.abs() > MOST_SCALE).unwrap_or((0, &0.0));
            let at_ms = (self.frames + place as u64) * 1000 / u64::from(self.info.sample_rate_hz);
            let fault = if value.is_finite() { Fault::BeyondScale { at_ms } } else { Fault::NotNumbers { at_ms } };
            return Err(Refusal::new(&self.info.name, fault));
        }
        Ok(())
    }
}
