//! FLAC, MP3, OGG Vorbis, AAC and ALAC through symphonia, packet by packet; the only file that names that library.
//!
//! A decoder may meet anything: it runs where a panic is caught, reads through a gate that bounds how many bytes it
//! may ask for, and is stopped after a bounded number of packets.

use std::io::{Read, Seek, SeekFrom};
use std::panic::{AssertUnwindSafe, catch_unwind};

use symphonia::core::codecs::audio::well_known::{CODEC_ID_AAC, CODEC_ID_ALAC, CODEC_ID_FLAC, CODEC_ID_VORBIS};
use symphonia::core::codecs::audio::{AudioCodecId, AudioDecoder, AudioDecoderOptions};
use symphonia::core::common::Limit;
use symphonia::core::errors::Error;
use symphonia::core::formats::probe::Hint;
use symphonia::core::formats::{FormatOptions, FormatReader, TrackType};
use symphonia::core::io::{MediaSource, MediaSourceStream};
use symphonia::core::meta::MetadataOptions;

use super::mp4::promised_length;
use super::refusal::{Fault, Refusal};
use super::sniff::Form;
use super::source::{Block, Info, MOST_CHANNELS, RATES, Source};

/// The most bytes of tags that are kept.
const MOST_TAG_BYTES: usize = 1 << 20;
/// Packets that may fail one after another before the rest is given up.
const MOST_FAILURES: u32 = 500;
/// The most packets that are looked at; two hours of the shortest packets are fewer.
const MOST_PACKETS: u64 = 8_000_000;
/// Samples, over all channels, that any file may stand for: 83 seconds of one channel at 48 kHz.
const FREE_SAMPLES: u64 = 4_000_000;
/// Samples a byte that a file may stand for beyond those. Digital silence in two channels, the densest that recorders
/// write, takes a byte for about 500; a damaged length in a small file can claim hours. (Convention.)
const SAMPLES_A_BYTE: u64 = 750;
/// Packets that a file may have beyond one a byte.
const FREE_PACKETS: u64 = 1000;
/// Samples by which coders may fall short of the length they promise (a priming and a last packet).
const PROMISE_SLACK: u64 = 2500;

/// The samples of a compressed recording.
pub(super) struct CodedStream {
    reader: Box<dyn FormatReader>,
    decoder: Box<dyn AudioDecoder>,
    track: u32,
    name: String,
    channels: usize,
    rate: u32,
    promised: Option<u64>,
    most_seconds: u64,
    first: Option<Vec<Vec<f32>>>,
    packets: u64,
    most_packets: u64,
    length: u64,
    samples: u64,
    failures: u32,
    damaged: bool,
    cut: bool,
    ended: bool,
}

/// What one packet gave.
enum Step {
    Samples,
    Nothing,
    End,
}

impl CodedStream {
    /// Finds the sound and decodes the first packet of it.
    pub(super) fn open(
        source: Box<dyn Source>,
        length: u64,
        form: Form,
        name: &str,
        most_seconds: u64,
    ) -> Result<(Info, Self), Refusal> {
        let refuse = |fault| Refusal::new(name, fault);
        let mut source = source;
        let reach = match form {
            Form::Mp4 => promised_length(&mut *source, length).map_err(refuse)?,
            _ => length,
        };
        let gate = Gate { source, length: reach, budget: length.saturating_mul(8).saturating_add(64 << 20) };
        let Started { reader, decoder, track, promised, bits, codec } = guarded(|| start(gate)).map_err(refuse)?;
        let mut stream = Self {
            reader,
            decoder,
            track,
            name: name.to_owned(),
            channels: 0,
            rate: 0,
            promised,
            most_seconds,
            first: None,
            packets: 0,
            most_packets: length.saturating_add(FREE_PACKETS).min(MOST_PACKETS),
            length,
            samples: 0,
            failures: 0,
            damaged: false,
            cut: false,
            ended: false,
        };
        let mut planes = Vec::new();
        loop {
            match stream.step(&mut planes)? {
                Step::Samples => break,
                Step::Nothing => {}
                Step::End => {
                    return Err(refuse(if stream.damaged { Fault::TooLittle } else { Fault::NoSound }));
                }
            }
        }
        stream.first = Some(planes);
        let (format, lossy) = label(form, codec);
        let info = Info {
            name: name.to_owned(),
            sample_rate_hz: stream.rate,
            channels: stream.channels,
            format,
            lossy,
            headroom: false,
            step: libm::exp2(1.0 - f64::from(bits.filter(|_| !lossy).unwrap_or(25).clamp(1, 25))),
        };
        Ok((info, stream))
    }

    /// The next stretch of samples; `false` at the end.
    pub(super) fn next_block(&mut self, block: &mut Block) -> Result<bool, Refusal> {
        if let Some(first) = self.first.take() {
            block.planes = first;
            return Ok(true);
        }
        match self.step(&mut block.planes)? {
            Step::Samples => Ok(true),
            Step::Nothing => {
                block.planes.iter_mut().for_each(Vec::clear);
                Ok(true)
            }
            Step::End => {
                block.planes.iter_mut().for_each(Vec::clear);
                Ok(false)
            }
        }
    }

    /// The share that has been read after so many samples, 0 to 1.
    pub(super) fn progress(&self, frames: u64) -> f64 {
        self.promised.map_or(0.0, |promised| (frames as f64 / promised.max(1) as f64).min(1.0))
    }

    /// Whether the file ended before what it promised.
    pub(super) fn truncated(&self, frames: u64) -> bool {
        self.cut || self.promised.is_some_and(|promised| frames.saturating_add(PROMISE_SLACK) < promised)
    }

    /// Whether parts had to be left out.
    pub(super) const fn damaged(&self) -> bool {
        self.damaged
    }

    fn step(&mut self, planes: &mut Vec<Vec<f32>>) -> Result<Step, Refusal> {
        if self.ended {
            return Ok(Step::End);
        }
        self.packets += 1;
        let outcome =
            catch_unwind(AssertUnwindSafe(|| decode_next(&mut *self.reader, &mut *self.decoder, self.track, planes)));
        let spec = match outcome {
            Ok(Ok(Decoded::Samples(spec))) => spec,
            Ok(Ok(Decoded::Other)) if self.packets < self.most_packets => return Ok(Step::Nothing),
            Ok(Ok(Decoded::End)) => return Ok(self.end(false, false)),
            Ok(Ok(Decoded::Cut)) => return Ok(self.end(true, false)),
            Ok(Ok(Decoded::Bad)) if self.failures < MOST_FAILURES && self.packets < self.most_packets => {
                self.failures += 1;
                self.damaged = true;
                return Ok(Step::Nothing);
            }
            Ok(Ok(Decoded::Other | Decoded::Bad)) | Ok(Err(_)) | Err(_) => return Ok(self.end(false, true)),
        };
        self.failures = 0;
        if self.channels == 0 {
            let (rate, channels) = spec;
            if !(1..=MOST_CHANNELS).contains(&(channels as u64)) {
                let fault = Fault::Channels { channels: channels as u64, most: MOST_CHANNELS };
                return Err(Refusal::new(&self.name, fault));
            }
            if !RATES.contains(&u64::from(rate)) {
                return Err(Refusal::new(&self.name, Fault::Rate { hz: u64::from(rate) }));
            }
            if self.promised.is_some_and(|promised| promised > self.most_seconds * u64::from(rate)) {
                self.promised = None;
            }
            (self.rate, self.channels) = spec;
        } else if spec != (self.rate, self.channels) {
            // A second recording begins inside the file; only the first is measured.
            return Ok(self.end(false, true));
        }
        self.samples += planes.iter().map(|plane| plane.len() as u64).sum::<u64>();
        if self.samples > self.length.saturating_mul(SAMPLES_A_BYTE).saturating_add(FREE_SAMPLES) {
            let seconds = self.samples / (self.channels.max(1) as u64 * u64::from(self.rate.max(1)));
            return Err(Refusal::new(&self.name, Fault::TooDense { bytes: self.length, seconds }));
        }
        Ok(Step::Samples)
    }

    fn end(&mut self, cut: bool, damaged: bool) -> Step {
        self.ended = true;
        self.cut |= cut;
        self.damaged |= damaged;
        Step::End
    }
}

/// The source as the decoder sees it: as long as the file promises to be, so that one cut short ends in the middle of
/// its sound, and with a bound on the bytes it may ask for in all.
struct Gate {
    source: Box<dyn Source>,
    length: u64,
    budget: u64,
}

impl Read for Gate {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let count = self.source.read(buffer)?;
        self.budget = self
            .budget
            .checked_sub(count as u64)
            .ok_or_else(|| std::io::Error::other("the file sends its reader round in circles"))?;
        Ok(count)
    }
}

impl Seek for Gate {
    fn seek(&mut self, to: SeekFrom) -> std::io::Result<u64> {
        let to = match to {
            SeekFrom::End(by) => SeekFrom::Start(self.length.saturating_add_signed(by)),
            other => other,
        };
        self.source.seek(to)
    }
}

impl MediaSource for Gate {
    fn is_seekable(&self) -> bool {
        true
    }

    fn byte_len(&self) -> Option<u64> {
        Some(self.length)
    }
}

struct Started {
    reader: Box<dyn FormatReader>,
    decoder: Box<dyn AudioDecoder>,
    track: u32,
    promised: Option<u64>,
    bits: Option<u32>,
    codec: AudioCodecId,
}

/// What the form is called, and whether it loses something. The coding that was found decides, not the first bytes.
fn label(form: Form, codec: AudioCodecId) -> (&'static str, bool) {
    match codec {
        CODEC_ID_FLAC => ("FLAC", false),
        CODEC_ID_ALAC => ("M4A (ALAC)", false),
        CODEC_ID_AAC if form == Form::Mp4 => ("M4A (AAC)", true),
        CODEC_ID_AAC => ("AAC", true),
        CODEC_ID_VORBIS => ("OGG Vorbis", true),
        _ => ("MP3", true),
    }
}

/// Runs a step of the decoder; a panic inside it is a damaged file, not the end of the program.
fn guarded<T>(step: impl FnOnce() -> Result<T, Fault>) -> Result<T, Fault> {
    catch_unwind(AssertUnwindSafe(step))
        .unwrap_or_else(|_| Err(Fault::Broken { detail: "the decoder gave up on it".to_owned() }))
}

fn start(gate: Gate) -> Result<Started, Fault> {
    let stream = MediaSourceStream::new(Box::new(gate), symphonia::core::io::MediaSourceStreamOptions::default());
    let tags = MetadataOptions::default()
        .limit_tag_bytes(Limit::Maximum(MOST_TAG_BYTES))
        .limit_visual_bytes(Limit::Maximum(MOST_TAG_BYTES));
    let reader = symphonia::default::get_probe()
        .probe(&Hint::new(), stream, FormatOptions::default(), tags)
        .map_err(|error| fault_of(&error))?;
    let track = reader.default_track(TrackType::Audio).ok_or_else(|| Fault::Unsupported {
        format: "a file without a sound track in a form this tool knows".to_owned(),
    })?;
    let parameters = track.codec_params.as_ref().and_then(|parameters| parameters.audio()).ok_or(Fault::NoSound)?;
    let (bits, codec) = (parameters.bits_per_sample, parameters.codec);
    let options = AudioDecoderOptions::default();
    let decoder =
        symphonia::default::get_codecs().make_audio_decoder(parameters, &options).map_err(|error| fault_of(&error))?;
    let (id, promised) = (track.id, track.num_frames);
    Ok(Started { reader, decoder, track: id, promised, bits, codec })
}

fn fault_of(error: &Error) -> Fault {
    match error {
        Error::IoError(error) if error.kind() == std::io::ErrorKind::UnexpectedEof => Fault::NoSound,
        Error::Unsupported(what) => {
            Fault::Unsupported { format: format!("a recording in a coding this tool does not know ({what})") }
        }
        other => Fault::NotSound { found: format!("it begins like one, then: {other}") },
    }
}

enum Decoded {
    /// Samples at this rate in so many channels.
    Samples((u32, usize)),
    /// A packet of another track, or one without samples.
    Other,
    /// A packet that cannot be decoded.
    Bad,
    /// The file ends where it should.
    End,
    /// The file ends in the middle.
    Cut,
}

fn decode_next(
    reader: &mut dyn FormatReader,
    decoder: &mut dyn AudioDecoder,
    track: u32,
    planes: &mut Vec<Vec<f32>>,
) -> Result<Decoded, Error> {
    let packet = match reader.next_packet() {
        Ok(Some(packet)) => packet,
        Ok(None) => return Ok(Decoded::End),
        Err(Error::IoError(error)) if error.kind() == std::io::ErrorKind::UnexpectedEof => return Ok(Decoded::Cut),
        Err(error) => return Err(error),
    };
    if packet.track_id != track {
        return Ok(Decoded::Other);
    }
    match decoder.decode(&packet) {
        Ok(buffer) if buffer.frames() == 0 => Ok(Decoded::Other),
        Ok(buffer) => {
            buffer.copy_to_vecs_planar::<f32>(planes);
            Ok(Decoded::Samples((buffer.spec().rate(), buffer.num_planes())))
        }
        Err(Error::DecodeError(_) | Error::IoError(_)) => Ok(Decoded::Bad),
        Err(error) => Err(error),
    }
}
