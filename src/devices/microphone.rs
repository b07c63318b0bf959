//! A microphone, whichever way this build reaches it: what there is, which one is meant, and its samples as they come.
//!
//! On Linux the sound server is spoken to in plain Rust (PulseAudio, and PipeWire in its name); elsewhere, or with the
//! feature `alsa`, through the system's own library. A device is always recorded at its own rate and with its own
//! channels: a server asked to mix changes the level (two equal channels made one read 3 dB more).

#[cfg(all(feature = "microphone", any(feature = "alsa", not(target_os = "linux"))))]
mod native;
#[cfg(all(feature = "microphone", target_os = "linux"))]
mod pulse;

use crate::words::{nearest, printable};

/// A device that can be recorded.
#[derive(Clone, Debug, PartialEq)]
pub struct Device {
    /// What `--device` takes.
    pub name: String,
    /// What people call it.
    pub description: String,
    /// Its own sample rate, Hz.
    pub sample_rate_hz: u32,
    /// Its own channels.
    pub channels: usize,
    /// The difference of neighbouring sample values, as a share of full scale.
    pub step: f64,
    /// Whether the system records from it unless told otherwise.
    pub is_default: bool,
    /// Whether it hears what the computer plays, not the room.
    pub is_monitor: bool,
    /// Whether it is switched off.
    pub muted: bool,
    /// Its gain as the system states it, dB; levels of one gain say nothing about another.
    pub gain_db: Option<f64>,
}

/// Why there is no recording.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MicrophoneFault {
    /// This build has no microphone.
    #[error("this build of stillroom cannot record")]
    NotBuilt,
    /// Nothing to record through.
    #[error("there is no sound server to record through")]
    NoServer,
    /// The server does not let us in, or does not answer.
    #[error("the sound server refused ({detail})")]
    Refused {
        /// Its words.
        detail: String,
    },
    /// No microphone at all.
    #[error("there is no microphone")]
    NoDevice {
        /// Whether what the computer plays could be recorded instead.
        monitors: Vec<String>,
    },
    /// A device that is not there.
    #[error("there is no device {name}")]
    Unknown {
        /// What was asked for.
        name: String,
        /// The nearest name there is.
        nearest: Option<String>,
    },
    /// A device whose rate or channels cannot be measured.
    #[error("{name} records {channels} channels at {hz} Hz, which cannot be measured")]
    OddForm {
        /// The device.
        name: String,
        /// Its rate.
        hz: u32,
        /// Its channels.
        channels: usize,
    },
    /// A device that is switched off.
    #[error("the microphone {name} is muted: it would record nothing but zeros")]
    Muted {
        /// The device.
        name: String,
    },
}

impl MicrophoneFault {
    /// The word that programs read.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NotBuilt => "microphone-not-built",
            Self::NoServer => "microphone-no-server",
            Self::Refused { .. } => "microphone-refused",
            Self::NoDevice { .. } => "microphone-none",
            Self::Unknown { .. } => "microphone-unknown",
            Self::OddForm { .. } => "microphone-odd-form",
            Self::Muted { .. } => "microphone-muted",
        }
    }

    /// What to do about it.
    pub fn hint(&self) -> String {
        match self {
            Self::NotBuilt => "build it with the feature `microphone`, or record with a telephone and give the file".to_owned(),
            Self::NoServer => "start PulseAudio or PipeWire, or record with a telephone and give the file: stillroom sound FILE".to_owned(),
            Self::Refused { .. } => "try again in a moment; if it stays so, record with a telephone and give the file".to_owned(),
            Self::NoDevice { monitors } if monitors.is_empty() => {
                "plug one in and try again, or record with a telephone and give the file: stillroom sound FILE".to_owned()
            }
            Self::NoDevice { monitors } => format!(
                "plug one in and try again; what the computer itself plays could be recorded with --device {}, but that is \
                 not the room",
                monitors.join(" or --device ")
            ),
            Self::Unknown { nearest: Some(nearest), .. } => {
                format!("did you mean {nearest}? `stillroom sound --devices` lists them all")
            }
            Self::Unknown { nearest: None, .. } => "`stillroom sound --devices` lists the devices there are".to_owned(),
            Self::OddForm { .. } => {
                "set the device to 44100 or 48000 Hz in the sound settings of this computer; 4000 to 384000 Hz and up to 32 \
                 channels can be measured"
                    .to_owned()
            }
            Self::Muted { .. } => "switch it on in the sound settings, or at the switch on the device, and record again".to_owned(),
        }
    }
}

/// Why no more samples come.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Ended {
    /// The server is gone.
    #[error("the sound server ended")]
    ServerGone,
    /// The device is gone.
    #[error("the microphone was taken away")]
    Removed,
    /// Nothing came for too long.
    #[error("the microphone sent nothing for {seconds} seconds")]
    Stalled {
        /// How long was waited.
        seconds: u64,
    },
    /// Something else went wrong.
    #[error("the microphone failed ({detail})")]
    Failed {
        /// The system's words.
        detail: String,
    },
}

/// Samples on their way from a device.
trait Line {
    /// Waits for the next samples and appends them to the planes.
    fn read(&mut self, planes: &mut [Vec<f32>]) -> Result<(), Ended>;
}

/// A microphone that is recording.
pub struct Microphone {
    line: Box<dyn Line>,
}

impl Microphone {
    /// Every device that can be recorded, microphones first.
    pub fn devices() -> Result<Vec<Device>, MicrophoneFault> {
        let mut devices = found()?;
        devices.sort_by_key(|device| (device.is_monitor, !device.is_default));
        Ok(devices)
    }

    /// The device of that name, or the microphone that the system records from.
    pub fn find(name: Option<&str>) -> Result<Device, MicrophoneFault> {
        choose(Self::devices()?, name)
    }

    /// Begins to record a device.
    pub fn open(device: &Device) -> Result<Self, MicrophoneFault> {
        if device.muted {
            return Err(MicrophoneFault::Muted { name: printable(&device.name) });
        }
        if !(4_000..=384_000).contains(&device.sample_rate_hz) || !(1..=32).contains(&device.channels) {
            return Err(MicrophoneFault::OddForm {
                name: printable(&device.name),
                hz: device.sample_rate_hz,
                channels: device.channels,
            });
        }
        Ok(Self { line: begun(device)? })
    }

    /// Waits for the next samples and appends them to the planes, one plane a channel.
    pub fn read(&mut self, planes: &mut [Vec<f32>]) -> Result<(), Ended> {
        self.line.read(planes)
    }
}

/// The device that is meant. Without a name never a monitor: what the computer plays is not the room.
fn choose(devices: Vec<Device>, name: Option<&str>) -> Result<Device, MicrophoneFault> {
    let Some(name) = name else {
        let monitors =
            devices.iter().filter(|device| device.is_monitor).map(|device| printable(&device.name)).collect();
        return devices.into_iter().find(|device| !device.is_monitor).ok_or(MicrophoneFault::NoDevice { monitors });
    };
    if let Some(found) = devices.iter().find(|device| device.name == name || device.description == name) {
        return Ok(found.clone());
    }
    let nearest = nearest(name, devices.iter().map(|device| device.name.as_str())).map(ToOwned::to_owned);
    Err(MicrophoneFault::Unknown { name: printable(name), nearest })
}

#[cfg(not(feature = "microphone"))]
fn found() -> Result<Vec<Device>, MicrophoneFault> {
    Err(MicrophoneFault::NotBuilt)
}

#[cfg(not(feature = "microphone"))]
fn begun(_: &Device) -> Result<Box<dyn Line>, MicrophoneFault> {
    Err(MicrophoneFault::NotBuilt)
}

#[cfg(all(feature = "microphone", target_os = "linux", not(feature = "alsa")))]
fn found() -> Result<Vec<Device>, MicrophoneFault> {
    pulse::devices()
}

#[cfg(all(feature = "microphone", target_os = "linux", not(feature = "alsa")))]
fn begun(device: &Device) -> Result<Box<dyn Line>, MicrophoneFault> {
    pulse::begin(device)
}

/// With `alsa` the sound server comes first; the system's own devices follow it, or stand in for it.
#[cfg(all(feature = "microphone", target_os = "linux", feature = "alsa"))]
fn found() -> Result<Vec<Device>, MicrophoneFault> {
    match (pulse::devices(), native::devices()) {
        (Ok(mut devices), native) => {
            devices.extend(native.unwrap_or_default().into_iter().map(|device| Device { is_default: false, ..device }));
            Ok(devices)
        }
        (Err(_), native) => native,
    }
}

#[cfg(all(feature = "microphone", target_os = "linux", feature = "alsa"))]
fn begun(device: &Device) -> Result<Box<dyn Line>, MicrophoneFault> {
    if native::owns(device) { native::begin(device) } else { pulse::begin(device) }
}

#[cfg(all(feature = "microphone", not(target_os = "linux")))]
fn found() -> Result<Vec<Device>, MicrophoneFault> {
    native::devices()
}

#[cfg(all(feature = "microphone", not(target_os = "linux")))]
fn begun(device: &Device) -> Result<Box<dyn Line>, MicrophoneFault> {
    native::begin(device)
}

#[cfg(test)]
mod tests {
    use super::{Device, Microphone, MicrophoneFault, choose};

    fn device(name: &str, is_monitor: bool) -> Device {
        Device {
            name: name.to_owned(),
            description: format!("The {name}"),
            sample_rate_hz: 48_000,
            channels: 1,
            step: 0.0,
            is_default: false,
            is_monitor,
            muted: false,
            gain_db: None,
        }
    }

    #[test]
    fn what_the_computer_plays_is_never_taken_for_a_microphone() {
        let both = || vec![device("speaker.monitor", true), device("desk", false)];
        assert_eq!(choose(both(), None).unwrap().name, "desk");
        assert_eq!(choose(both(), Some("speaker.monitor")).unwrap().name, "speaker.monitor");
        let fault = choose(vec![device("speaker.monitor", true)], None).unwrap_err();
        assert!(fault.hint().contains("--device speaker.monitor"), "{}", fault.hint());
    }

    #[test]
    fn a_name_that_is_not_there_is_answered_with_the_nearest() {
        let fault = choose(vec![device("desk-microphone", false)], Some("desk-microfone")).unwrap_err();
        assert!(fault.hint().contains("desk-microphone"), "{}", fault.hint());
    }

    #[test]
    fn a_muted_device_and_an_odd_rate_are_refused_before_anybody_waits() {
        let refused = |device: Device| Microphone::open(&device).err().unwrap();
        assert!(matches!(refused(Device { muted: true, ..device("desk", false) }), MicrophoneFault::Muted { .. }));
        let odd = refused(Device { sample_rate_hz: 2000, ..device("desk", false) });
        assert!(odd.to_string().contains("2000 Hz"), "{odd}");
    }
}
