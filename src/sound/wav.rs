//! WAV (RIFF, RF64): the header, with every lie a header can tell, and the samples block by block.
//!
//! Nothing is reserved for what a header claims: reading is bound by the bytes that are there.

use std::io::{Read, SeekFrom};

use super::refusal::{Fault, Refusal};
use super::samples::Form;
use super::source::{Block, Info, MOST_CHANNELS, RATES, Source};

/// The most chunks that are looked at.
const MOST_CHUNKS: usize = 10_000;
/// From here up a length is no length but a recorder that could not go back and fill it in.
const STREAMING: u64 = 0x7fff_f000;
/// About how many bytes are read at once.
const BYTES_AT_ONCE: usize = 1 << 16;
/// Chunks that may follow an empty data chunk; anything else there is sound.
const KNOWN_CHUNKS: [&[u8; 4]; 10] =
    [b"LIST", b"fact", b"cue ", b"bext", b"JUNK", b"junk", b"id3 ", b"ID3 ", b"smpl", b"iXML"];

/// The samples of a WAV file.
pub(super) struct WavStream {
    source: Box<dyn Source>,
    name: String,
    form: Form,
    channels: usize,
    total: u64,
    left: u64,
    bytes: Vec<u8>,
    truncated: bool,
}

struct Header {
    channels: usize,
    rate: u32,
    form: Form,
    bits: u32,
}

struct Chunks<'a> {
    source: &'a mut Box<dyn Source>,
    length: u64,
    at: u64,
    count: usize,
}

struct Chunk {
    id: [u8; 4],
    start: u64,
    size: u64,
}

impl Chunks<'_> {
    /// The next chunk's head, if a whole one is left.
    fn next(&mut self) -> Result<Option<Chunk>, Fault> {
        if self.at + 8 > self.length {
            return Ok(None);
        }
        self.count += 1;
        if self.count > MOST_CHUNKS {
            return Err(Fault::TooManyChunks { cap: MOST_CHUNKS });
        }
        let head = self.read::<8>(self.at)?;
        let [a, b, c, d, size @ ..] = head;
        let chunk = Chunk { id: [a, b, c, d], start: self.at + 8, size: u64::from(u32::from_le_bytes(size)) };
        // Odd chunks are padded to even length. These are 64-bit sums of 32-bit sizes: they cannot wrap.
        self.at = chunk.start + chunk.size + chunk.size % 2;
        Ok(Some(chunk))
    }

    fn read<const N: usize>(&mut self, at: u64) -> Result<[u8; N], Fault> {
        let mut bytes = [0; N];
        let failed = |error: std::io::Error| Fault::Unreadable { detail: error.to_string() };
        self.source.seek(SeekFrom::Start(at)).map_err(failed)?;
        self.source.read_exact(&mut bytes).map_err(failed)?;
        Ok(bytes)
    }
}

impl WavStream {
    /// Reads the header and stands before the first sample.
    pub(super) fn open(
        mut source: Box<dyn Source>,
        length: u64,
        name: &str,
        most_seconds: u64,
    ) -> Result<(Info, Self), Refusal> {
        let refuse = |fault| Refusal::new(name, fault);
        let mut chunks = Chunks { source: &mut source, length, at: 12, count: 0 };
        let (header, start, claimed) = find(&mut chunks).map_err(refuse)?;
        let frame = (header.form.bytes() * header.channels) as u64;
        let there = length - start;
        let streaming = claimed == 0 || claimed >= STREAMING;
        let truncated = claimed > there && !streaming;
        let used = if claimed == 0 { there } else { claimed.min(there) };
        let frames = used / frame;
        if frames == 0 {
            return Err(refuse(Fault::NoSound));
        }
        if frames > most_seconds * u64::from(header.rate) {
            return Err(refuse(Fault::too_long(most_seconds)));
        }
        source.seek(SeekFrom::Start(start)).map_err(|error| refuse(Fault::Unreadable { detail: error.to_string() }))?;
        let info = Info {
            name: name.to_owned(),
            sample_rate_hz: header.rate,
            channels: header.channels,
            format: "WAV",
            lossy: false,
            headroom: header.form.is_float(),
            step: libm::exp2(1.0 - f64::from(header.bits.min(25))),
        };
        let (form, channels) = (header.form, header.channels);
        let total = frames * frame;
        let stream =
            Self { source, name: name.to_owned(), form, channels, total, left: total, bytes: Vec::new(), truncated };
        Ok((info, stream))
    }

    /// The next stretch of samples; `false` at the end.
    pub(super) fn next_block(&mut self, block: &mut Block) -> Result<bool, Refusal> {
        let frame = self.form.bytes() * self.channels;
        let wanted = (BYTES_AT_ONCE / frame).max(1) * frame;
        let wanted = usize::try_from(self.left).map_or(wanted, |left| left.min(wanted));
        self.bytes.resize(wanted, 0);
        let mut filled = 0;
        while filled < wanted {
            match self.source.read(&mut self.bytes[filled..]) {
                Ok(0) => break,
                Ok(count) => filled += count,
                Err(error) if error.kind() == std::io::ErrorKind::Interrupted => {}
                Err(error) => {
                    return Err(Refusal::new(&self.name, Fault::Unreadable { detail: error.to_string() }));
                }
            }
        }
        if filled < wanted {
            // The file shrank while it was read.
            self.truncated = true;
            self.left = 0;
            filled -= filled % frame;
        } else {
            self.left -= filled as u64;
        }
        self.form.read(&self.bytes[..filled], &mut block.planes);
        Ok(self.left > 0)
    }

    /// The share that has been read, 0 to 1.
    pub(super) fn progress(&self) -> f64 {
        1.0 - self.left as f64 / self.total as f64
    }

    /// Whether the header promised more than was there.
    pub(super) const fn truncated(&self) -> bool {
        self.truncated
    }
}

/// The form of the samples, where they start, and how many bytes the header claims (0: it does not say).
fn find(chunks: &mut Chunks<'_>) -> Result<(Header, u64, u64), Fault> {
    let mut header = None;
    let mut data = None;
    let mut long_data = None;
    while let Some(chunk) = chunks.next()? {
        match &chunk.id {
            b"fmt " if header.is_none() => header = Some(format(chunks, &chunk)?),
            b"ds64" if chunk.size >= 16 && chunk.start + 16 <= chunks.length => {
                let [_, _, _, _, _, _, _, _, size @ ..] = chunks.read::<16>(chunk.start)?;
                long_data = Some(u64::from_le_bytes(size));
            }
            b"data" if data.is_none() => {
                let claimed = match (chunk.size, long_data) {
                    (0xffff_ffff, Some(long)) => long,
                    (size, _) => size,
                };
                let empty = claimed == 0 && !sound_follows(chunks, chunk.start)?;
                if !empty {
                    data = Some((chunk.start, claimed));
                }
            }
            _ => {}
        }
        if let (Some(_), Some((start, claimed))) = (&header, data) {
            return header.map(|header| (header, start, claimed)).ok_or(Fault::NoSound);
        }
    }
    Err(Fault::NoSound)
}

/// Whether what stands behind an empty data chunk is sound rather than another chunk or nothing.
fn sound_follows(chunks: &mut Chunks<'_>, start: u64) -> Result<bool, Fault> {
    if start >= chunks.length {
        return Ok(false);
    }
    if start + 8 > chunks.length {
        return Ok(true);
    }
    let [a, b, c, d, size @ ..] = chunks.read::<8>(start)?;
    let fits = start + 8 + u64::from(u32::from_le_bytes(size)) <= chunks.length;
    Ok(!(fits && KNOWN_CHUNKS.contains(&&[a, b, c, d])))
}

fn format(chunks: &mut Chunks<'_>, chunk: &Chunk) -> Result<Header, Fault> {
    if chunk.start + 16 > chunks.length {
        return Err(Fault::NoSound);
    }
    if chunk.size < 16 {
        return Err(Fault::SampleForm { detail: format!("a format chunk of {} bytes", chunk.size) });
    }
    let head = chunks.read::<16>(chunk.start)?;
    let word = |at: usize| u16::from_le_bytes([head[at], head[at + 1]]);
    let (mut tag, channels, frame, bits) = (word(0), word(2), word(12), word(14));
    let rate = u32::from_le_bytes([head[4], head[5], head[6], head[7]]);
    let mut valid = bits;
    if tag == 0xfffe {
        if chunk.size < 40 || chunk.start + 40 > chunks.length {
            return Err(Fault::SampleForm { detail: "an extensible format chunk cut short".to_owned() });
        }
        let extra = chunks.read::<24>(chunk.start + 16)?;
        valid = u16::from_le_bytes([extra[2], extra[3]]);
        tag = u16::from_le_bytes([extra[8], extra[9]]);
    }
    let channels = u64::from(channels);
    if !(1..=MOST_CHANNELS).contains(&channels) {
        return Err(Fault::Channels { channels, most: MOST_CHANNELS });
    }
    if !RATES.contains(&u64::from(rate)) {
        return Err(Fault::Rate { hz: u64::from(rate) });
    }
    let form = match (tag, bits) {
        (1, 8) => Form::Int8,
        (1, 16) => Form::Int16,
        (1, 24) => Form::Int24,
        (1, 32) => Form::Int32,
        (3, 32) => Form::Float32,
        (3, 64) => Form::Float64,
        (1 | 3, _) => return Err(Fault::SampleForm { detail: format!("{bits} bits a sample") }),
        _ => return Err(Fault::Unsupported { format: coding(tag) }),
    };
    let needed = form.bytes() as u64 * channels;
    if u64::from(frame) != needed {
        let detail = format!("frames of {frame} bytes for {channels} channel(s) of {bits} bits");
        return Err(Fault::SampleForm { detail });
    }
    let bits = if (1..=bits).contains(&valid) { valid } else { bits };
    let channels = usize::try_from(channels).unwrap_or(1);
    Ok(Header { channels, rate, form, bits: u32::from(bits) })
}

/// What a format number stands for, with its article.
fn coding(tag: u16) -> String {
    match tag {
        2 | 0x11 => "an ADPCM recording inside a WAV file".to_owned(),
        6 => "an A-law telephone recording inside a WAV file".to_owned(),
        7 => "a mu-law telephone recording inside a WAV file".to_owned(),
        0x31 => "a GSM telephone recording inside a WAV file".to_owned(),
        0x50 | 0x55 => "an MP3 recording inside a WAV file".to_owned(),
        0xff | 0x1600..=0x1610 => "an AAC recording inside a WAV file".to_owned(),
        _ => format!("a WAV file of coding {tag}"),
    }
}
