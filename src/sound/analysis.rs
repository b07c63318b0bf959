//! A recording read through once, block by block, and everything that is told from it.

use crate::quantity::Decibels;

use super::ballistics::{Ballistics, Followed, STEPS};
use super::band_history::{BandHistory, Beside, HighSteps, whole_steps};
use super::bands::Band;
use super::calibration::Calibration;
use super::capture::Capture;
use super::changes;
use super::criteria::Criteria;
use super::decay::Decay;
use super::doubts;
use super::low_bands::{Low, LowBands};
use super::num::level;
use super::refusal::{Fault, Refusal};
use super::rumble::Rumble;
use super::samples_seen::{SamplesSeen, Seen};
use super::source::{Block, Info, Recording};
use super::spectrum::{PowerSpectrum, Spectrum};
use super::thin::Thinner;
use super::warning::Warning;
use super::weighting::{a_power, c_power};

/// Below this unweighted level there is no sound, dBFS. Convention.
const SILENT_DB: f64 = -100.0;
/// A constant above this share of full scale is worth a warning. Convention.
const LARGE_MEAN: f64 = 0.01;
/// A share of samples at full scale above this is clipping. Convention.
const CLIPPED_SHARE: f64 = 0.0001;
/// A share of samples in flat runs from here up is an overload before storing. Common practice, no source.
const FLAT_SHARE: f64 = 0.01;
/// A recording shorter than this is too short to judge a room, seconds. Common practice, no source.
const SHORT_SECONDS: f64 = 30.0;
/// LCeq over LAeq from here up: look at the bands. WHO Guidelines for Community Noise, 1999. [WHO1999]
const LOW_FREQUENCY_DB: f64 = 10.0;

/// What to do with a recording.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// How dBFS become dB.
    pub calibration: Calibration,
    /// Whether to look for a decay.
    pub decay: bool,
    /// Whether to tell every third in every 125 ms.
    pub band_history: bool,
}

impl Default for Settings {
    fn default() -> Self {
        Self { calibration: Calibration::NONE, decay: false, band_history: false }
    }
}

/// The recording that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct SourceFacts {
    /// The name it was opened under.
    pub name: String,
    /// The form, as it is said in a sentence: `WAV`, `MP3`.
    pub format: &'static str,
    /// How long it is.
    pub seconds: f64,
    /// Samples a second.
    pub sample_rate_hz: u32,
    /// Channels.
    pub channels: usize,
}

/// Levels of the whole recording; all missing when it is silent, the percentiles also when it lasts half a second.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Levels {
    /// A-weighted equivalent level.
    pub laeq: Option<Decibels>,
    /// C-weighted equivalent level.
    pub lceq: Option<Decibels>,
    /// Unweighted equivalent level, without the constant.
    pub lzeq: Option<Decibels>,
    /// Greatest A-weighted level, F.
    pub lafmax: Option<Decibels>,
    /// Greatest A-weighted level, S.
    pub lasmax: Option<Decibels>,
    /// Exceeded a tenth of the time.
    pub la10: Option<Decibels>,
    /// Exceeded half the time.
    pub la50: Option<Decibels>,
    /// Exceeded nine tenths of the time: the background.
    pub la90: Option<Decibels>,
}

/// The unweighted equivalent level of a band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BandLevel {
    /// Nominal midband, Hz.
    pub hz: f64,
    /// Its level.
    pub level: Decibels,
}

/// How the level changes; missing for a silent recording.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Changes {
    /// Loud events a minute.
    pub events_per_minute: Option<f64>,
    /// LA10 less LA90, dB.
    pub la10_minus_la90_db: Option<f64>,
    /// Share of the time with speech-like or rhythmic fluctuation, 0 to 1.
    pub speech_share: Option<f64>,
}

/// How far the recording can be trusted.
#[derive(Clone, Debug, PartialEq)]
pub struct Quality {
    /// Share of samples at full scale, 0 to 1.
    pub clipped_share: f64,
    /// Whether there is no sound at all.
    pub silent: bool,
    /// The largest constant of a channel, as a share of full scale; it was taken out.
    pub mean: f64,
    /// The largest absolute sample, full scale 1.
    pub peak: f64,
    /// The doubts.
    pub warnings: Vec<Warning>,
}

/// Everything that is told from a recording. Levels are in `calibration.unit()`.
#[derive(Clone, Debug, PartialEq)]
pub struct Analysis {
    /// The recording.
    pub source: SourceFacts,
    /// How dBFS became dB.
    pub calibration: Calibration,
    /// Levels of the whole.
    pub levels: Levels,
    /// Thirds, 25 Hz to 16 kHz as far as the recording reaches; none when it is silent.
    pub third_octaves: Vec<BandLevel>,
    /// Octaves, 31.5 Hz to 8 kHz as far as the recording reaches; none when it is silent.
    pub octaves: Vec<BandLevel>,
    /// Room criteria; all missing without calibration.
    pub criteria: Criteria,
    /// How the level changes.
    pub changes: Changes,
    /// Reverberation times, if they were asked for.
    pub decay: Option<Decay>,
    /// How far it can be trusted.
    pub quality: Quality,
    /// The A-weighted equivalent level of every 125 ms; none when it is silent.
    pub history: Vec<Decibels>,
    /// The level of every third in every 125 ms, if it was asked for; none when it is silent.
    pub band_history: Option<BandHistory>,
    /// When each loud event began, seconds from the start.
    pub events_s: Vec<f64>,
}

impl Analysis {
    /// The LAeq in dBFS, whatever the calibration.
    pub fn uncalibrated_laeq(&self) -> Option<Decibels> {
        self.levels.laeq.map(|laeq| laeq.raised_by(-self.calibration.shift()))
    }

    /// Whether a warning with this code was given.
    pub fn warns(&self, code: &str) -> bool {
        self.quality.warnings.iter().any(|warning| warning.code() == code)
    }
}

/// Reads a recording through and tells everything from it. `progress` is told the share that is done, 0 to 1.
pub fn analyse(recording: Recording, settings: &Settings, progress: &mut dyn FnMut(f64)) -> Result<Analysis, Refusal> {
    std::thread::scope(|scope| {
        let beside = settings.band_history.then(|| {
            let info = recording.info();
            Beside::start(scope, f64::from(info.sample_rate_hz), info.channels)
        });
        gathered(recording, settings, beside, progress)
    })
}

fn gathered(
    mut recording: Recording,
    settings: &Settings,
    mut beside: Option<Beside<'_>>,
    progress: &mut dyn FnMut(f64),
) -> Result<Analysis, Refusal> {
    let info = recording.info().clone();
    let rate = f64::from(info.sample_rate_hz);
    let mut block = Block::of(info.channels);
    let mut seen = SamplesSeen::new(info.channels, info.step, info.headroom);
    let mut spectrum = Spectrum::new(rate, info.channels);
    let mut thinner = Thinner::new(rate, info.channels);
    let mut low = LowBands::new(rate, thinner.rate(), info.channels, settings.band_history);
    let mut ballistics = Ballistics::new(rate);
    let mut rumble = Rumble::new(thinner.rate(), info.channels);
    let mut capture = settings.decay.then(|| Capture::new(rate, info.channels));
    loop {
        let more = recording.next_block(&mut block)?;
        seen.push(&block.planes);
        spectrum.push(&block.planes, &mut |power| ballistics.push(power));
        let thinned = thinner.push(&block.planes);
        low.push(thinned);
        rumble.push(thinned);
        if let Some(capture) = &mut capture {
            capture.push(&block.planes);
        }
        if let Some(beside) = &mut beside {
            beside.push(std::mem::replace(&mut block, Block::of(info.channels)).planes);
        }
        progress(recording.progress());
        if !more {
            break;
        }
    }
    let mut warnings = recording.finish()?;
    let thinned = thinner.finish();
    low.push(thinned);
    rumble.push(thinned);
    let spectrum =
        spectrum.finish(&mut |power| ballistics.push(power)).ok_or_else(|| Refusal::new(&info.name, Fault::NoSound))?;
    let decay = capture.map(|capture| Decay::of(&capture.finish(), rate));
    let heard = Heard {
        seen: seen.finish(),
        spectrum,
        low: low.finish(),
        high: beside.map(Beside::finish),
        followed: ballistics.finish(),
        rumble: rumble.finish(),
        calibration: settings.calibration,
    };
    let analysis = heard.tell(&info, decay, &mut warnings);
    progress(1.0);
    Ok(analysis)
}

/// All that was gathered in one pass.
struct Heard {
    seen: Seen,
    spectrum: PowerSpectrum,
    low: Low,
    high: Option<HighSteps>,
    followed: Followed,
    rumble: (Vec<f32>, Vec<f32>),
    calibration: Calibration,
}

impl Heard {
    fn tell(self, info: &Info, decay: Option<Decay>, warnings: &mut Vec<Warning>) -> Analysis {
        let rate = f64::from(info.sample_rate_hz);
        let seconds = self.seen.frames as f64 / rate;
        let silent = self.seen.power <= 0.0 || level(self.seen.power) < SILENT_DB;
        let source = SourceFacts {
            name: info.name.clone(),
            format: info.format,
            seconds,
            sample_rate_hz: info.sample_rate_hz,
            channels: info.channels,
        };
        self.warn_of_samples(info, seconds, silent, warnings);
        let mut analysis = Analysis {
            source,
            calibration: self.calibration,
            levels: Levels::default(),
            third_octaves: Vec::new(),
            octaves: Vec::new(),
            criteria: Criteria::default(),
            changes: Changes::default(),
            decay: None,
            quality: Quality {
                clipped_share: self.seen.clipped_share,
                silent,
                mean: self.seen.mean,
                peak: self.seen.peak,
                warnings: Vec::new(),
            },
            history: Vec::new(),
            band_history: None,
            events_s: Vec::new(),
        };
        if silent {
            analysis.decay =
                decay.map(|_| Decay { t20_s: None, t30_s: None, edt_s: None, bands: Vec::new(), curves: Vec::new() });
        } else {
            self.tell_sound(&mut analysis, warnings);
            if decay.as_ref().is_some_and(|decay| !decay.is_whole()) {
                warnings.push(Warning::DecayRange);
            }
            analysis.decay = decay;
        }
        analysis.quality.warnings = std::mem::take(warnings);
        analysis
    }

    fn tell_sound(&self, analysis: &mut Analysis, warnings: &mut Vec<Warning>) {
        let rate = f64::from(analysis.source.sample_rate_hz);
        let shift = self.calibration.shift();
        let raised = |power: f64| Decibels::from_power(power).map(|level| level.raised_by(shift));
        let fast = changes::levels(&self.followed.fast);
        let percentiles = changes::percentiles(&fast);
        let at = |db: Option<f64>| db.map(|db| Decibels::new(db + shift));
        let (a, c) = (self.spectrum.weighed(a_power), self.spectrum.weighed(c_power));
        analysis.levels = Levels {
            laeq: raised(a),
            lceq: raised(c),
            lzeq: raised(self.seen.power),
            lafmax: raised(self.followed.fast_max),
            lasmax: raised(self.followed.slow_max),
            la10: at(percentiles.map(|found| found.la10)),
            la50: at(percentiles.map(|found| found.la50)),
            la90: at(percentiles.map(|found| found.la90)),
        };
        let thirds = self.bands(Band::thirds(), rate);
        let octaves = self.bands(Band::octaves(), rate);
        let given = |bands: &[(Band, f64)]| {
            let one = |(band, db): &(Band, f64)| BandLevel { hz: band.nominal_hz, level: Decibels::new(db + shift) };
            bands.iter().map(one).collect()
        };
        analysis.third_octaves = given(&thirds);
        analysis.octaves = given(&octaves);
        if self.calibration.offset_db().is_some() {
            let levels: Vec<(f64, f64)> = analysis.octaves.iter().map(|band| (band.hz, band.level.db())).collect();
            analysis.criteria = Criteria::of(&levels);
        }
        let events = percentiles.map(|found| changes::events(&fast, found.la90)).unwrap_or_default();
        analysis.events_s = events.iter().map(|event| event.start as f64 / STEPS).collect();
        analysis.changes = Changes {
            events_per_minute: percentiles.map(|_| events.len() as f64 * 60.0 / analysis.source.seconds),
            la10_minus_la90_db: percentiles.map(|found| found.la10 - found.la90),
            speech_share: changes::speech_share(&self.followed.means),
        };
        analysis.history =
            self.followed.history.iter().filter_map(|power| raised(f64::from(power.max(LEAST)))).collect();
        analysis.band_history = self.band_history(rate, shift);
        if c > 0.0 && a > 0.0 && level(c / a) > LOW_FREQUENCY_DB {
            warnings.push(Warning::LowFrequency { difference_db: level(c / a) });
        }
        let (low, high) = &self.rumble;
        warnings.extend(doubts::gain_control(&fast, &self.followed.means, &events));
        warnings.extend(doubts::handling(low, high));
        warnings.extend(doubts::wind(low, &thirds));
        warnings.extend(doubts::narrow_band(&thirds));
    }

    fn band_history(&self, rate: f64, shift: f64) -> Option<BandHistory> {
        let (low_steps, high) = (self.low.steps.as_ref()?, self.high.as_ref()?);
        let low: Vec<Band> =
            Band::thirds().take_while(|band| self.low.bands.iter().any(|(low, _)| low == band)).collect();
        Some(BandHistory::of(&low, low_steps, high, whole_steps(self.seen.frames, rate), shift))
    }

    fn bands(&self, bands: impl Iterator<Item = Band>, rate: f64) -> Vec<(Band, f64)> {
        bands
            .filter(|band| band.within(rate))
            .map(|band| (band, self.band_power(&band)))
            .filter(|(_, power)| *power > 0.0)
            .map(|(band, power)| (band, level(power)))
            .collect()
    }

    fn band_power(&self, band: &Band) -> f64 {
        let low = self.low.bands.iter().find(|(low, _)| low == band).map(|(_, power)| *power);
        low.unwrap_or_else(|| self.spectrum.weighed(|hz| band.weight(hz)))
    }

    fn warn_of_samples(&self, info: &Info, seconds: f64, silent: bool, warnings: &mut Vec<Warning>) {
        if silent {
            warnings.push(Warning::Silent);
        }
        if self.seen.clipped_share > CLIPPED_SHARE {
            warnings.push(Warning::Clipped { share: self.seen.clipped_share });
        } else if self.seen.flat_share >= FLAT_SHARE && !silent {
            warnings.push(Warning::FlatTop { share: self.seen.flat_share });
        }
        if seconds < SHORT_SECONDS {
            warnings.push(Warning::Short { seconds });
        }
        if self.seen.mean.abs() > LARGE_MEAN {
            warnings.push(Warning::DcOffset { mean: self.seen.mean });
        }
        let rate = f64::from(info.sample_rate_hz);
        if Band::octaves().any(|band| !band.within(rate)) {
            warnings.push(Warning::LowRate { hz: info.sample_rate_hz });
        }
    }
}

/// The least power of a level in the history, so that digital silence has one: −200 dB.
const LEAST: f32 = 1e-20;
