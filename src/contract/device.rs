//! `stillroom.devices/1` and `stillroom.profile/1`: what can record, and how a device's decibels become absolute.

use serde::{Deserialize, Serialize};

use super::{Document, NoteDoc};

/// What can record, and the calibrations that are stored.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DevicesDoc {
    /// Microphones first.
    pub devices: Vec<DeviceDoc>,
    /// Stored calibrations.
    pub profiles: Vec<ProfileDoc>,
}

impl Document for DevicesDoc {
    const SCHEMA: &'static str = "stillroom.devices/1";
}

/// One device.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DeviceDoc {
    /// What `--device` takes.
    pub name: String,
    /// What people call it.
    pub description: String,
    /// Its own sample rate.
    pub sample_rate_hz: u32,
    /// Its own channels.
    pub channels: u32,
    /// Whether it records unless another is named.
    pub default: bool,
    /// Whether it hears what the computer plays, not the room.
    pub monitor: bool,
    /// Whether it is switched off.
    pub muted: bool,
    /// Its gain as the system states it.
    pub gain_db: Option<f64>,
}

/// How the decibels of one device become absolute; stored as TOML outside any case.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ProfileDoc {
    /// What `--profile` takes.
    pub name: String,
    /// The day it was made.
    pub made: String,
    /// `offset` (typed from a note), `meter`, `phone` or `calibrator` (a reading of it).
    pub way: String,
    /// Added to dBFS.
    pub offset_db: f64,
    /// Standard uncertainty.
    pub sd_db: f64,
    /// The device it was made with; missing when it was made from a file.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub device: Option<String>,
    /// The device's gain then.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gain_db: Option<f64>,
    /// What to mind about how it was made.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<NoteDoc>,
}

impl Document for ProfileDoc {
    const SCHEMA: &'static str = "stillroom.profile/1";
}
