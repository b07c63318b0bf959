//! Doubts about a recording: each says what is wrong and what to do. A poor recording is a value with warnings.

/// A doubt about a recording or about figures taken from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Warning {
    /// Samples at full scale.
    Clipped {
        /// Share of samples at full scale, 0 to 1.
        share: f64,
    },
    /// Nothing but a constant.
    Silent,
    /// Less than half a minute.
    Short {
        /// How long it is.
        seconds: f64,
    },
    /// Less data than the header promises.
    Truncated {
        /// How much could be read.
        seconds: f64,
    },
    /// Parts that could not be decoded.
    Damaged,
    /// A constant beside the sound.
    DcOffset {
        /// The largest mean of a channel, as a share of full scale.
        mean: f64,
    },
    /// The sample rate leaves out the 8 kHz octave.
    LowRate {
        /// The sample rate.
        hz: u32,
    },
    /// Far more low sound than the A level shows.
    LowFrequency {
        /// `LCeq − LAeq`, dB.
        difference_db: f64,
    },
    /// Too little range for a decay.
    DecayRange,
    /// A lossy form.
    Lossy {
        /// The form.
        format: &'static str,
    },
    /// Nothing above a telephone's band although the sample rate could hold it.
    NarrowBand {
        /// About where the sound ends.
        hz: f64,
    },
    /// Flat at its own peak below full scale.
    FlatTop {
        /// Share of samples in flat runs, 0 to 1.
        share: f64,
    },
    /// The device changed its own gain.
    GainControl {
        /// Whether the sign was a floor below any microphone, rather than a floor that climbs after loud events.
        dead_floor: bool,
    },
    /// The device was touched or moved.
    Handling {
        /// How many thumps.
        times: u32,
    },
    /// Wind or breath on the microphone.
    Wind,
}

impl Warning {
    /// The word that programs read.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Clipped { .. } => "clipped",
            Self::Silent => "silent",
            Self::Short { .. } => "short",
            Self::Truncated { .. } => "truncated",
            Self::Damaged => "damaged",
            Self::DcOffset { .. } => "dc-offset",
            Self::LowRate { .. } => "low-rate",
            Self::LowFrequency { .. } => "low-frequency",
            Self::DecayRange => "decay-range",
            Self::Lossy { .. } => "lossy",
            Self::NarrowBand { .. } => "narrow-band",
            Self::FlatTop { .. } => "flat-top",
            Self::GainControl { .. } => "gain-control",
            Self::Handling { .. } => "handling",
            Self::Wind => "wind",
        }
    }

    /// What is wrong and what to do, in sentences.
    pub fn text(&self) -> String {
        match self {
            Self::Clipped { share } => format!(
                "{:.2} % of the samples are at full scale, so loud moments read too low. Lower the recording gain, or \
                 move the device away from the source, and record again.",
                share * 100.0
            ),
            Self::Silent => "The recording holds no sound at all. A muted or blocked microphone is not a quiet room: \
                             check the microphone and its permission, then record again."
                .to_owned(),
            Self::Short { seconds } => {
                format!("Only {seconds:.1} s were recorded. Levels of a room need at least 30 s; record 60 s.")
            }
            Self::Truncated { seconds } => format!(
                "The file ends earlier than its header promises; the {seconds:.1} s that are there were read. If that \
                 is too little, record again and stop before taking the battery or card out."
            ),
            Self::Damaged => "Some parts of the file could not be decoded and were left out. Copy the file again from \
                              the device, or record again."
                .to_owned(),
            Self::DcOffset { mean } => format!(
                "A constant of {:.1} % of full scale lies under the sound. It was taken out; if it comes back in other \
                 recordings, try another microphone or cable.",
                mean.abs() * 100.0
            ),
            Self::LowRate { hz } => format!(
                "At {hz} samples a second the 8 kHz octave is not in the recording: hiss and whistles up there are \
                 missed and no noise criterion can be given. Set the recorder to 44.1 or 48 kHz."
            ),
            Self::LowFrequency { difference_db } => format!(
                "The C level is {difference_db:.0} dB above the A level: there is much low sound (hum, rumble, \
                 ventilation) that the A level hides. Look at the low bands."
            ),
            Self::DecayRange => "The decay does not stand far enough above the background for every reverberation \
                                 time; those are left out. Use a louder pop or clap with the child out of the room, or \
                                 wait for a quieter moment."
                .to_owned(),
            Self::Lossy { format } => format!(
                "The recording is {format}, a lossy form whose encoder changes levels by some tenths of a decibel. \
                 Prefer WAV or FLAC."
            ),
            Self::NarrowBand { hz } => format!(
                "There is nothing above about {hz:.0} Hz although the file could hold it: a call or voice setting cut \
                 the sound. Use a recorder's raw or unprocessed setting."
            ),
            Self::FlatTop { share } => format!(
                "{:.1} % of the samples lie flat at the recording's own peak: it was overloaded before it was stored, \
                 so loud moments read too low. Lower the gain and record again.",
                share * 100.0
            ),
            Self::GainControl { dead_floor: true } => {
                "Between sounds the recording is emptier than any microphone: the device suppresses noise, so quiet \
                 levels are not to be trusted. Use a recorder's raw or unprocessed setting."
                    .to_owned()
            }
            Self::GainControl { dead_floor: false } => {
                "The background climbs after each loud sound: the device sets its own gain, so levels and margins are \
                 not to be trusted. Use a recorder's raw or unprocessed setting."
                    .to_owned()
            }
            Self::Handling { times } => format!(
                "{times} low thump(s) look like the device being touched or moved. Put it on something soft, step away \
                 and record again."
            ),
            Self::Wind => "The low sound swells like wind or breath on the microphone. Keep it out of the draught, or \
                           cover it with thin foam, and record again."
                .to_owned(),
        }
    }
}
