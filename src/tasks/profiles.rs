//! Calibration profiles: how one device's decibels become absolute, kept outside any case in the user's own folder.

use std::path::{Path, PathBuf};

use crate::contract::{Document, NoteDoc, ProfileDoc};
use crate::sound::{Analysis, Calibration, CalibrationKind};
use crate::words::nearest;

use super::files;
use super::refusal::Refusal;

/// Largest profile read; one has under a kilobyte.
const MOST_BYTES: u64 = 64 << 10;
/// A change of gain from here up spoils a calibration, dB: what two settings of one slider differ by.
const SAME_GAIN_DB: f64 = 0.1;
/// A reference shorter than this is too short beside a meter, seconds. Common practice, no source.
const REFERENCE_SECONDS: f64 = 30.0;
/// LA10 less LA90 of a reference from here up is not steady. Common practice, no source.
const STEADY_DB: f64 = 5.0;
/// A calibrator's tone fills its third: the third lies within this of the whole, dB. Convention.
const TONE_DB: f64 = 1.0;

/// What the level was read from, with its standard uncertainty as dB(A) (common practice, no source).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Against {
    /// A sound level meter of class 2.
    Meter,
    /// Another telephone.
    Phone,
    /// A calibrator of 1 kHz on the microphone.
    Calibrator,
}

impl Against {
    /// The word in profiles.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Meter => "meter",
            Self::Phone => "phone",
            Self::Calibrator => "calibrator",
        }
    }

    /// Its standard uncertainty, dB.
    pub const fn sd_db(self) -> f64 {
        match self {
            Self::Meter => 1.5,
            Self::Phone => 4.0,
            // Half a decibel at 1 kHz; the response of a built-in microphone elsewhere is not known that well.
            Self::Calibrator => 2.0,
        }
    }
}

/// The calibration that a reference recording gives, with what to mind about it.
pub fn read_against(
    reference: &Analysis,
    reading_db: f64,
    against: Against,
) -> Result<(Calibration, Vec<NoteDoc>), Refusal> {
    let calibration = Calibration::reading(reference, reading_db)
        .map_err(|refusal| super::sounds::refused(&refusal, &reference.source.name))?
        .with_sd(against.sd_db());
    let mut cautions = Vec::new();
    if against == Against::Calibrator {
        let third = reference.third_octaves.iter().find(|band| (band.hz - 1000.0).abs() < 1.0);
        let tone = third.zip(reference.levels.lzeq).is_some_and(|(third, whole)| whole.above(third.level) <= TONE_DB);
        if !tone {
            return Err(Refusal::new("calibrate-no-tone", "the recording does not hold a calibrator's tone of 1 kHz")
                .hint("fit the calibrator tightly on the microphone, switch it on, and record again; for a meter's reading use --against meter"));
        }
    } else {
        if reference.source.seconds < REFERENCE_SECONDS {
            cautions.push(NoteDoc::new(
                "reference-short",
                format!(
                    "The reference lasts {:.0} s; 30 s or more are needed beside a meter. Record it again.",
                    reference.source.seconds
                ),
            ));
        }
        if reference.changes.la10_minus_la90_db.is_some_and(|spread| spread > STEADY_DB) {
            cautions.push(NoteDoc::new(
                "reference-unsteady",
                "The reference is not steady, so the two devices may have heard different moments. Use a steady noise (a fan, running water) and record it again.",
            ));
        }
    }
    Ok((calibration, cautions))
}

/// The calibration that a profile holds.
pub fn calibration(profile: &ProfileDoc) -> Result<Calibration, Refusal> {
    let kind = if profile.way == "offset" { CalibrationKind::Offset } else { CalibrationKind::Reading };
    Calibration::stored(kind, profile.offset_db, profile.sd_db).ok_or_else(|| {
        Refusal::new("profile-damaged", format!("the profile {} holds numbers that cannot be", profile.name))
            .hint("calibrate the device again: stillroom sound --calibrate NAME …")
    })
}

/// A profile may only serve the device and the gain that it was made with.
pub fn fits(profile: &ProfileDoc, device: &str, gain_db: Option<f64>) -> Result<(), Refusal> {
    if let Some(own) = &profile.device
        && own != device
    {
        return Err(Refusal::new(
            "profile-other-device",
            format!("the profile {} was made with {own}, not with {device}", profile.name),
        )
        .hint(format!("record with --device {own}, or calibrate this device: stillroom sound --calibrate NAME …")));
    }
    if profile.device.is_none() {
        return Err(Refusal::new(
            "profile-other-device",
            format!("the profile {} was made from a file, not with {device}", profile.name),
        )
        .hint("calibrate this device: stillroom sound --calibrate NAME --record 30 --reference-db DB"));
    }
    if let (Some(then), Some(now)) = (profile.gain_db, gain_db)
        && (then - now).abs() > SAME_GAIN_DB
    {
        return Err(Refusal::new(
            "profile-gain",
            format!(
                "the gain of {device} is {now:.1} dB; it was {then:.1} dB when the profile {} was made",
                profile.name
            ),
        )
        .hint("set the gain back in the sound settings of this computer, or calibrate again"));
    }
    Ok(())
}

/// A name that can stand in a file's name.
pub fn good_name(name: &str) -> Result<(), Refusal> {
    let plain = |sign: u8| sign.is_ascii_lowercase() || sign.is_ascii_digit() || sign == b'-';
    if (1..=40).contains(&name.len()) && name.bytes().all(plain) && !name.starts_with('-') {
        return Ok(());
    }
    Err(Refusal::new("profile-name", "a profile's name has 1 to 40 small letters, digits and hyphens")
        .hint("for example: visit-laptop"))
}

fn folder(config: Option<&Path>) -> Result<PathBuf, Refusal> {
    config.map(|config| config.join("profiles")).ok_or_else(|| {
        Refusal::new("no-config-folder", "this user has no folder for settings, so profiles cannot be kept")
            .hint("set HOME or XDG_CONFIG_HOME, or give the calibration each time with --offset")
    })
}

/// Stores a profile; an older one of that name is replaced.
pub fn store(config: Option<&Path>, profile: &ProfileDoc) -> Result<PathBuf, Refusal> {
    good_name(&profile.name)?;
    let folder = folder(config)?;
    let cannot = |what: &Path, error: &dyn std::fmt::Display| {
        Refusal::new("cannot-write", format!("cannot write {}: {error}", files::shown(what)))
            .hint("check that you may write there")
    };
    crate::files::create_dir_all(&folder).map_err(|error| cannot(&folder, &error))?;
    let file = folder.join(format!("{}.toml", profile.name));
    let body = toml::to_string(profile).map_err(|error| cannot(&file, &error))?;
    files::write(&file, format!("format = \"{}\"\n{body}", ProfileDoc::SCHEMA).as_bytes())?;
    Ok(file)
}

/// The profile of that name.
pub fn find(config: Option<&Path>, name: &str) -> Result<ProfileDoc, Refusal> {
    good_name(name)?;
    let file = folder(config)?.join(format!("{name}.toml"));
    if !crate::files::exists(&file) {
        let all = list(config)?;
        let hint = match nearest(name, all.iter().map(|profile| profile.name.as_str())) {
            Some(near) => format!("did you mean {near}? `stillroom sound --devices` lists them all"),
            None => "make it: stillroom sound --calibrate NAME --record 30 --reference-db DB".to_owned(),
        };
        return Err(Refusal::new("no-profile", format!("there is no calibration profile {name}")).hint(hint));
    }
    read(&file)
}

/// All profiles, by name; one that cannot be read is left out, and says so when it is used.
pub fn list(config: Option<&Path>) -> Result<Vec<ProfileDoc>, Refusal> {
    let Ok(entries) = crate::files::read_dir(folder(config)?) else { return Ok(Vec::new()) };
    let mut found: Vec<ProfileDoc> = entries
        .filter_map(Result::ok)
        .filter(|entry| entry.path().extension().is_some_and(|ending| ending == "toml"))
        .filter_map(|entry| read(&entry.path()).ok())
        .collect();
    found.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(found)
}

fn read(file: &Path) -> Result<ProfileDoc, Refusal> {
    let damaged = |detail: String| {
        Refusal::new("profile-damaged", format!("{} is no calibration profile: {detail}", files::short_name(file)))
            .at(files::shown(file))
            .hint("calibrate the device again: stillroom sound --calibrate NAME …")
    };
    let bytes = files::read_bytes(file, MOST_BYTES, &mut std::io::empty())?;
    let text = files::as_text(bytes, &files::shown(file))?.content;
    let table: toml::Table = text.parse().map_err(|error: toml::de::Error| damaged(error.message().to_owned()))?;
    if table.get("format").and_then(toml::Value::as_str) != Some(ProfileDoc::SCHEMA) {
        return Err(damaged(format!("it does not say format = \"{}\"", ProfileDoc::SCHEMA)));
    }
    let profile: ProfileDoc = table.try_into().map_err(|error: toml::de::Error| damaged(error.message().to_owned()))?;
    calibration(&profile)?;
    Ok(profile)
}

#[cfg(test)]
mod tests {
    use super::{fits, good_name};
    use crate::contract::ProfileDoc;

    fn profile(device: Option<&str>, gain_db: Option<f64>) -> ProfileDoc {
        ProfileDoc {
            name: "desk".to_owned(),
            made: "2026-10-05".to_owned(),
            way: "meter".to_owned(),
            offset_db: 96.5,
            sd_db: 1.5,
            device: device.map(ToOwned::to_owned),
            gain_db,
            cautions: Vec::new(),
        }
    }

    #[test]
    fn a_profile_serves_its_own_device_at_its_own_gain_only() {
        assert!(fits(&profile(Some("desk"), Some(0.0)), "desk", Some(0.05)).is_ok());
        assert!(fits(&profile(Some("desk"), None), "desk", Some(3.0)).is_ok());
        let code = |result: Result<(), super::Refusal>| result.unwrap_err().code;
        assert_eq!(code(fits(&profile(Some("desk"), Some(0.0)), "headset", Some(0.0))), "profile-other-device");
        assert_eq!(code(fits(&profile(Some("desk"), Some(0.0)), "desk", Some(-3.0))), "profile-gain");
        assert_eq!(code(fits(&profile(None, None), "desk", None)), "profile-other-device");
    }

    #[test]
    fn a_name_cannot_leave_the_folder() {
        assert!(good_name("visit-laptop-2").is_ok());
        for bad in ["", "../x", "A", "a/b", "-x", "ä"] {
            assert!(good_name(bad).is_err(), "{bad}");
        }
    }
}
