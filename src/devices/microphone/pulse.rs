//! The sound server, in its own protocol: PulseAudio, and PipeWire where it answers in PulseAudio's name.
//!
//! Asked for singles at the source's own rate and with its own channels, neither mixed nor moved, at the source's own
//! gain, in pieces of 50 ms (left to itself the server sends pieces of 2 s, and the last is lost).

use std::fs;
use std::io::{BufReader, Cursor, ErrorKind, Read};
use std::os::unix::net::UnixStream;
use std::time::Duration;

use pulseaudio::protocol::{
    AuthParams, AuthReply, ChannelVolume, Command, CommandReply, CreateRecordStreamReply, DESCRIPTOR_SIZE, Descriptor,
    MAX_MEMBLOCKQ_LENGTH, MAX_VERSION, Prop, Props, ProtocolError, PulseError, RecordStreamParams, SampleFormat,
    SampleSpec, ServerInfo, SetClientNameReply, SourceInfo, SourceInfoList, read_descriptor, read_reply_message,
    write_command_message, write_descriptor,
};

use pulseaudio::protocol::stream::{BufferAttr, StreamFlags};

use super::{Device, Ended, Line, MicrophoneFault};
use crate::words::printable;

/// How long an answer or the first samples are waited for: a wireless headset takes seconds to wake.
const FIRST_SECONDS: u64 = 5;
/// How long the next samples are waited for.
const NEXT_SECONDS: u64 = 2;
/// Pieces a second.
const PIECES: u32 = 20;
/// Bytes of the server's cookie.
const COOKIE: usize = 256;
/// Bytes of a single.
const SINGLE: usize = 4;
/// The channel number of messages that are not samples.
const MESSAGES: u32 = u32::MAX;
/// The numbers by which an answer and an error begin, after the sign for a number.
const ANSWERS: [u32; 2] = [0, 2];

/// A conversation with the server.
struct Server {
    socket: BufReader<UnixStream>,
    version: u16,
    asked: u32,
}

impl Server {
    fn reach() -> Result<Self, MicrophoneFault> {
        let path = pulseaudio::socket_path_from_env().ok_or(MicrophoneFault::NoServer)?;
        let socket = UnixStream::connect(path).map_err(|_| MicrophoneFault::NoServer)?;
        let wait = Some(Duration::from_secs(FIRST_SECONDS));
        socket.set_read_timeout(wait).and_then(|()| socket.set_write_timeout(wait)).map_err(|error| failed(&error))?;
        let mut server = Self { socket: BufReader::new(socket), version: MAX_VERSION, asked: 0 };
        // A cookie of the wrong length ends the conversation; a server that knows its user otherwise takes a blank one.
        let cookie = pulseaudio::cookie_path_from_env().and_then(|path| fs::read(path).ok());
        let cookie = cookie.filter(|cookie| cookie.len() == COOKIE).unwrap_or_else(|| vec![0; COOKIE]);
        let auth = AuthParams { version: MAX_VERSION, supports_shm: false, supports_memfd: false, cookie };
        let reply: AuthReply = server.ask(&Command::Auth(auth))?;
        server.version = MAX_VERSION.min(reply.version);
        let mut props = Props::new();
        props.set(Prop::ApplicationName, c"stillroom");
        let _named: SetClientNameReply = server.ask(&Command::SetClientName(props))?;
        Ok(server)
    }

    /// One question and its answer; whatever else the server says meanwhile is let pass.
    fn ask<T: CommandReply>(&mut self, question: &Command) -> Result<T, MicrophoneFault> {
        write_command_message(self.socket.get_mut(), self.asked, question, self.version).map_err(refused)?;
        self.asked += 1;
        let mut payload = Vec::new();
        loop {
            let head = take_message(&mut self.socket, &mut payload).map_err(refused)?;
            // A number is its sign and four bytes.
            let kind = payload.get(1..5).and_then(|bytes| bytes.try_into().ok()).map(u32::from_be_bytes);
            if head.channel == MESSAGES && kind.is_some_and(|kind| ANSWERS.contains(&kind)) {
                let mut whole = Vec::with_capacity(DESCRIPTOR_SIZE + payload.len());
                write_descriptor(&mut whole, &head).map_err(refused)?;
                whole.extend_from_slice(&payload);
                return read_reply_message(&mut Cursor::new(whole), self.version)
                    .map(|(_, reply)| reply)
                    .map_err(refused);
            }
        }
    }
}

/// The next message whole, so that one that is not understood does not spoil the next.
fn take_message(socket: &mut BufReader<UnixStream>, payload: &mut Vec<u8>) -> Result<Descriptor, ProtocolError> {
    let head = read_descriptor(socket)?;
    let length = usize::try_from(head.length).unwrap_or(usize::MAX);
    if length > MAX_MEMBLOCKQ_LENGTH {
        return Err(ProtocolError::Invalid(format!("a message of {length} bytes")));
    }
    payload.resize(length, 0);
    socket.read_exact(payload)?;
    Ok(head)
}

fn failed(error: &std::io::Error) -> MicrophoneFault {
    MicrophoneFault::Refused { detail: error.to_string() }
}

fn refused(error: ProtocolError) -> MicrophoneFault {
    let detail = match error {
        ProtocolError::ServerError(PulseError::NoEntity) => "the device is gone".to_owned(),
        ProtocolError::ServerError(error) => error.to_string(),
        ProtocolError::Io(error) if matches!(error.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut) => {
            format!("no answer within {FIRST_SECONDS} seconds")
        }
        error => error.to_string(),
    };
    MicrophoneFault::Refused { detail }
}

/// Every source of the server.
pub(super) fn devices() -> Result<Vec<Device>, MicrophoneFault> {
    let mut server = Server::reach()?;
    let info: ServerInfo = server.ask(&Command::GetServerInfo)?;
    let sources: SourceInfoList = server.ask(&Command::GetSourceInfoList)?;
    Ok(sources.iter().map(|source| device(source, &info)).collect())
}

fn device(source: &SourceInfo, server: &ServerInfo) -> Device {
    let loudest = source.cvolume.channels().iter().map(|volume| volume.to_linear()).fold(0.0, f32::max);
    Device {
        name: source.name.to_string_lossy().into_owned(),
        description: printable(&source.description.as_ref().unwrap_or(&source.name).to_string_lossy()),
        sample_rate_hz: source.sample_spec.sample_rate,
        channels: usize::from(source.sample_spec.channels),
        step: step(source.sample_spec.format),
        is_default: server.default_source_name.as_ref() == Some(&source.name),
        is_monitor: source.monitor_of_sink_index.is_some(),
        muted: source.muted,
        gain_db: (loudest > 0.0).then(|| 20.0 * libm::log10(f64::from(loudest))),
    }
}

/// The difference of neighbouring sample values.
fn step(format: SampleFormat) -> f64 {
    let bits = match format {
        SampleFormat::U8 | SampleFormat::Alaw | SampleFormat::Ulaw => 8.0,
        SampleFormat::S16Le | SampleFormat::S16Be => 16.0,
        _ => 24.0,
    };
    libm::exp2(1.0 - bits)
}

/// Begins to record a source.
pub(super) fn begin(device: &Device) -> Result<Box<dyn Line>, MicrophoneFault> {
    let unknown = || MicrophoneFault::Unknown { name: printable(&device.name), nearest: None };
    let mut server = Server::reach()?;
    let sources: SourceInfoList = server.ask(&Command::GetSourceInfoList)?;
    let source = sources.into_iter().find(|source| source.name.to_string_lossy() == device.name).ok_or_else(unknown)?;
    let channels = source.sample_spec.channels;
    let rate = source.sample_spec.sample_rate;
    let mut props = Props::new();
    props.set(Prop::MediaName, c"room sound");
    // Servers keep their echo and noise filters away from a production.
    props.set(Prop::MediaRole, c"production");
    let bytes = u32::from(channels) * (rate / PIECES).max(1) * 4;
    let stream: CreateRecordStreamReply = server.ask(&Command::CreateRecordStream(RecordStreamParams {
        sample_spec: SampleSpec { format: SampleFormat::Float32Le, channels, sample_rate: rate },
        channel_map: source.channel_map,
        source_index: Some(source.index),
        buffer_attr: BufferAttr { fragment_size: bytes, ..BufferAttr::default() },
        flags: StreamFlags {
            no_remix_channels: true,
            no_move: true,
            adjust_latency: true,
            start_muted: Some(false),
            // At the source's gain: an absolute volume could turn the microphone itself up.
            relative_volume: true,
            ..StreamFlags::default()
        },
        cvolume: Some(ChannelVolume::norm(channels)),
        props,
        ..RecordStreamParams::default()
    }))?;
    let spec = stream.sample_spec;
    if (spec.format, spec.channels, spec.sample_rate) != (SampleFormat::Float32Le, channels, rate) {
        return Err(MicrophoneFault::Refused {
            detail: "it would change the rate or the channels of the device".to_owned(),
        });
    }
    Ok(Box::new(Recording {
        socket: server.socket,
        version: server.version,
        channel: stream.channel,
        payload: Vec::new(),
        rest: Vec::new(),
        waits: FIRST_SECONDS,
    }))
}

/// A running stream of samples.
struct Recording {
    socket: BufReader<UnixStream>,
    version: u16,
    channel: u32,
    payload: Vec<u8>,
    rest: Vec<u8>,
    waits: u64,
}

impl Line for Recording {
    fn read(&mut self, planes: &mut [Vec<f32>]) -> Result<(), Ended> {
        loop {
            let head = take_message(&mut self.socket, &mut self.payload).map_err(|error| self.ended(error))?;
            if head.channel == MESSAGES {
                let said = Command::read_tag_prefixed(&mut Cursor::new(&self.payload), self.version);
                if let Ok((_, Command::RecordStreamKilled(channel))) = said
                    && channel == self.channel
                {
                    return Err(Ended::Removed);
                }
            } else if head.channel == self.channel {
                self.hand_out(planes);
                if self.waits != NEXT_SECONDS {
                    self.waits = NEXT_SECONDS;
                    // A wait that cannot be set stays as it was.
                    let _kept = self.socket.get_ref().set_read_timeout(Some(Duration::from_secs(NEXT_SECONDS)));
                }
                return Ok(());
            }
        }
    }
}

impl Recording {
    /// Whole frames into the planes; a part of a frame waits for its rest.
    fn hand_out(&mut self, planes: &mut [Vec<f32>]) {
        self.rest.extend_from_slice(&self.payload);
        let frame = SINGLE * planes.len().max(1);
        let whole = self.rest.len() / frame * frame;
        for bytes in self.rest[..whole].chunks_exact(frame) {
            for (plane, single) in planes.iter_mut().zip(bytes.as_chunks::<SINGLE>().0) {
                plane.push(f32::from_le_bytes(*single));
            }
        }
        self.rest.drain(..whole);
    }

    fn ended(&self, error: ProtocolError) -> Ended {
        match error {
            ProtocolError::Io(error) => match error.kind() {
                ErrorKind::WouldBlock | ErrorKind::TimedOut => Ended::Stalled { seconds: self.waits },
                ErrorKind::UnexpectedEof | ErrorKind::ConnectionReset | ErrorKind::BrokenPipe => Ended::ServerGone,
                _ => Ended::Failed { detail: error.to_string() },
            },
            error => Ended::Failed { detail: error.to_string() },
        }
    }
}
