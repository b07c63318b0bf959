//! The system's own sound library: everywhere but on Linux, and on Linux (ALSA) with the feature `alsa`.
//!
//! Samples come on a thread of the library and wait in a channel. A library that has lost its device may complain
//! without end, so only its first complaint is kept.

use std::sync::mpsc::{Receiver, RecvTimeoutError, SyncSender, sync_channel};
use std::time::Duration;

use cpal::traits::{DeviceTrait, HostTrait, StreamTrait};
use cpal::{Error, ErrorKind, FromSample, Sample, SampleFormat, SizedSample};

use super::{Device, Ended, Line, MicrophoneFault};
use crate::words::printable;

/// How long the next samples are waited for.
const WAIT_SECONDS: u64 = 3;
/// Pieces that may wait to be measured; a library that hands over faster is made to wait.
const WAITING: usize = 512;
/// What the names of these devices begin with on Linux, where the sound server's stand beside them.
const PREFIX: &str = if cfg!(target_os = "linux") { "alsa:" } else { "" };

/// Whether a device is one of these.
#[cfg(target_os = "linux")]
pub(super) fn owns(device: &Device) -> bool {
    device.name.starts_with(PREFIX)
}

/// Every device that records.
pub(super) fn devices() -> Result<Vec<Device>, MicrophoneFault> {
    let host = cpal::default_host();
    let default = host.default_input_device().map(|device| name(&device));
    let found = host.input_devices().map_err(|error| fault(&error))?;
    let mut devices: Vec<Device> = found.filter_map(|found| device(&found)).collect();
    // A default that stands in no list (a plug of the configuration) is a device all the same.
    if let Some(found) = host.default_input_device()
        && !devices.iter().any(|device| Some(&device.name) == default.as_ref())
    {
        devices.extend(device(&found));
    }
    for device in &mut devices {
        device.is_default = Some(&device.name) == default.as_ref();
    }
    Ok(devices)
}

fn name(device: &cpal::Device) -> String {
    let id = device.id().map_or_else(|_| String::new(), |id| id.id().to_owned());
    format!("{PREFIX}{id}")
}

/// A device with the form it records in; `None` for one that cannot be asked, for it cannot be recorded either.
fn device(device: &cpal::Device) -> Option<Device> {
    let config = device.default_input_config().ok()?;
    let bits = if config.sample_format().is_float() { 24 } else { config.sample_format().bits_per_sample().min(24) };
    Some(Device {
        name: name(device),
        description: device.description().map_or_else(|_| name(device), |description| printable(description.name())),
        sample_rate_hz: config.sample_rate(),
        channels: usize::from(config.channels()),
        step: libm::exp2(1.0 - f64::from(bits)),
        is_default: false,
        is_monitor: false,
        muted: false,
        gain_db: None,
    })
}

fn fault(error: &Error) -> MicrophoneFault {
    match error.kind() {
        ErrorKind::HostUnavailable => MicrophoneFault::NoServer,
        ErrorKind::DeviceNotAvailable => MicrophoneFault::NoDevice { monitors: Vec::new() },
        _ => MicrophoneFault::Refused { detail: error.to_string() },
    }
}

/// Begins to record a device in its own form.
pub(super) fn begin(device: &Device) -> Result<Box<dyn Line>, MicrophoneFault> {
    let host = cpal::default_host();
    let found = host
        .input_devices()
        .map_err(|error| fault(&error))?
        .chain(host.default_input_device())
        .find(|found| name(found) == device.name)
        .ok_or_else(|| MicrophoneFault::Unknown { name: printable(&device.name), nearest: None })?;
    let config = found.default_input_config().map_err(|error| fault(&error))?;
    let (sender, receiver) = sync_channel(WAITING);
    let stream = match config.sample_format() {
        SampleFormat::I8 => stream::<i8>(&found, config, sender),
        SampleFormat::I16 => stream::<i16>(&found, config, sender),
        SampleFormat::I24 => stream::<cpal::I24>(&found, config, sender),
        SampleFormat::I32 => stream::<i32>(&found, config, sender),
        SampleFormat::U8 => stream::<u8>(&found, config, sender),
        SampleFormat::U16 => stream::<u16>(&found, config, sender),
        SampleFormat::F32 => stream::<f32>(&found, config, sender),
        SampleFormat::F64 => stream::<f64>(&found, config, sender),
        other => return Err(MicrophoneFault::Refused { detail: format!("it records in the form {other}") }),
    }
    .map_err(|error| fault(&error))?;
    stream.play().map_err(|error| fault(&error))?;
    Ok(Box::new(Recording { receiver, _stream: stream }))
}

/// What comes from the library's thread.
type Piece = Result<Vec<f32>, Ended>;

fn stream<T>(
    device: &cpal::Device,
    config: cpal::SupportedStreamConfig,
    sender: SyncSender<Piece>,
) -> Result<cpal::Stream, Error>
where
    T: SizedSample + Send + 'static,
    f32: FromSample<T>,
{
    let complaints = sender.clone();
    device.build_input_stream(
        config.into(),
        move |samples: &[T], _: &_| {
            let piece = samples.iter().map(|sample| f32::from_sample(*sample)).collect();
            // Nobody waits any more once the recording is over.
            let _unheard = sender.send(Ok(piece));
        },
        move |error| {
            if !matches!(error.kind(), ErrorKind::Xrun | ErrorKind::RealtimeDenied | ErrorKind::DeviceChanged) {
                let ended = match error.kind() {
                    ErrorKind::DeviceNotAvailable | ErrorKind::StreamInvalidated => Ended::Removed,
                    ErrorKind::HostUnavailable => Ended::ServerGone,
                    _ => Ended::Failed { detail: error.to_string() },
                };
                let _unheard = complaints.try_send(Err(ended));
            }
        },
        Some(Duration::from_secs(WAIT_SECONDS)),
    )
}

/// A running stream of samples.
struct Recording {
    receiver: Receiver<Piece>,
    _stream: cpal::Stream,
}

impl Line for Recording {
    fn read(&mut self, planes: &mut [Vec<f32>]) -> Result<(), Ended> {
        let samples =
            self.receiver.recv_timeout(Duration::from_secs(WAIT_SECONDS)).map_err(|error| match error {
                RecvTimeoutError::Timeout => Ended::Stalled { seconds: WAIT_SECONDS },
                RecvTimeoutError::Disconnected => Ended::ServerGone,
            })??;
        let channels = planes.len().max(1);
        for (channel, plane) in planes.iter_mut().enumerate() {
            plane.extend(samples.iter().skip(channel).step_by(channels));
        }
        Ok(())
    }
}
