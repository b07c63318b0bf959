//! What can record, and how its decibels become absolute, for people.

use crate::contract::{DevicesDoc, ProfileDoc};
use crate::words::printable;

use super::paint::{bold, wrapped};
use super::show_sound::notes;

/// What can record, and the stored calibrations.
pub(super) fn devices(doc: &DevicesDoc) -> String {
    let mut out = format!("{}\n", bold("What can record"));
    if doc.devices.is_empty() {
        out.push_str("  nothing: plug a microphone in and try again\n");
    }
    for device in &doc.devices {
        let marks = [
            (device.default, "used unless another is named"),
            (device.monitor, "hears what the computer plays, not the room"),
            (device.muted, "muted"),
        ];
        let marks: String = marks.iter().filter(|(is, _)| *is).map(|(_, words)| format!("; {words}")).collect();
        let channels =
            if device.channels == 1 { "1 channel".to_owned() } else { format!("{} channels", device.channels) };
        out.push_str(&wrapped(
            "  ",
            &format!(
                "{} — {}, {} Hz, {channels}{marks}",
                printable(&device.name),
                device.description,
                device.sample_rate_hz
            ),
        ));
    }
    out.push_str(&format!("\n{}\n", bold("Calibrations")));
    if doc.profiles.is_empty() {
        out.push_str(&wrapped(
            "  ",
            "none: stillroom sound --calibrate NAME --record 30 --reference-db DB, beside a meter",
        ));
    }
    for profile in &doc.profiles {
        out.push_str(&wrapped("  ", &sentence(profile)));
    }
    out
}

/// One stored calibration.
pub(super) fn profile(doc: &ProfileDoc) -> String {
    let mut out = wrapped("", &sentence(doc));
    out.push_str(&notes(&doc.cautions));
    out.push_str(&format!("next: stillroom sound --record 60 --profile {}\n", doc.name));
    out
}

fn sentence(profile: &ProfileDoc) -> String {
    let way = match profile.way.as_str() {
        "offset" => "typed from a note",
        "phone" => "by another telephone",
        "calibrator" => "by a calibrator",
        _ => "by a meter",
    };
    let device = profile
        .device
        .as_ref()
        .map_or_else(|| "recordings of the device it was made from".to_owned(), |device| printable(device));
    format!(
        "{}: {:+.1} dB, doubt ±{:.1} dB, {way} on {}, for {device}",
        profile.name,
        profile.offset_db,
        profile.sd_db,
        printable(&profile.made)
    )
}
