//! A long recording read as a stream: of every few minutes of the clock some figures, and nothing else kept.
//!
//! What [`super::analyse`] keeps of a recording grows with it (a level every 10 ms, to be sorted for the percentiles). Here the
//! levels are kept only for the block that is being read, told from, and dropped, so an hour takes the memory of a
//! minute (docs/BENCHMARKS.md). Figures of a block are those of a recording that long: LAeq of the 10 ms means, LA90, events
//! over its own background, speech-like share. The greatest level is that of the F levels every 10 ms, at most 0.35 dB below the
//! peak between them (`e^(−0.01/0.125)`). The first half second, in which the weighting starts up, is left out of the
//! percentiles. Checked against `analyse` on the same minutes.

use crate::quantity::Decibels;

use super::ballistics::{Ballistics, STEPS};
use super::calibration::Calibration;
use super::changes;
use super::doubts;
use super::num::{level, whole};
use super::refusal::{Fault, Refusal};
use super::samples_seen::SamplesSeen;
use super::source::{Block, Recording};
use super::spectrum::Spectrum;
use super::warning::Warning;

/// Below this A-weighted level a block holds no sound, dBFS. Convention.
const SILENT_DB: f64 = -110.0;
/// A share of samples at full scale above this is clipping. Convention.
const CLIPPED_SHARE: f64 = 0.0001;
/// Blocks in which the gain must be seen to change before it is said.
const LEAST_GAIN_BLOCKS: usize = 2;
/// Left out of percentiles while the F weighting starts up, steps. Convention.
const STARTING_STEPS: usize = 50;

/// Where the blocks lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RibbonSettings {
    /// How dBFS become dB.
    pub calibration: Calibration,
    /// Length of a block, seconds.
    pub block_seconds: f64,
    /// How far into its first block the recording begins, seconds.
    pub into_first: f64,
}

/// What one block sounded like. Levels are in `calibration.unit()`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RibbonBlock {
    /// Blocks after the one in which the recording began.
    pub number: usize,
    /// How much of it was heard, seconds.
    pub seconds: f64,
    /// A-weighted equivalent level.
    pub laeq: Decibels,
    /// Exceeded nine tenths of the time: the background.
    pub la90: Decibels,
    /// Greatest A-weighted level, F.
    pub lafmax: Decibels,
    /// Loud events that began in it.
    pub events: u32,
    /// Share of the time with speech-like or rhythmic fluctuation, 0 to 1.
    pub speech_share: f64,
}

/// A long recording in blocks.
#[derive(Clone, Debug, PartialEq)]
pub struct Ribbon {
    /// The blocks that held sound, in order.
    pub blocks: Vec<RibbonBlock>,
    /// How long the recording is, seconds.
    pub seconds: f64,
    /// Blocks that held no sound at all: a muted microphone is no quiet room.
    pub silent: usize,
    /// The doubts.
    pub warnings: Vec<Warning>,
}

/// Reads a recording through and tells of it block by block. `progress` is told the share that is done, 0 to 1.
pub fn ribbon(
    mut recording: Recording,
    settings: &RibbonSettings,
    progress: &mut dyn FnMut(f64),
) -> Result<Ribbon, Refusal> {
    let info = recording.info().clone();
    let rate = f64::from(info.sample_rate_hz);
    let mut block = Block::of(info.channels);
    let mut seen = SamplesSeen::new(info.channels, info.step, info.headroom);
    let mut spectrum = Spectrum::new(rate, info.channels);
    let mut ballistics = Ballistics::new(rate);
    let mut told = Told::new(settings);
    loop {
        let more = recording.next_block(&mut block)?;
        seen.push(&block.planes);
        spectrum.push(&block.planes, &mut |power| ballistics.push(power));
        told.take(&mut ballistics);
        progress(recording.progress());
        if !more {
            break;
        }
    }
    let mut warnings = recording.finish()?;
    spectrum.finish(&mut |power| ballistics.push(power)).ok_or_else(|| Refusal::new(&info.name, Fault::NoSound))?;
    told.take(&mut ballistics);
    told.close();
    let seen = seen.finish();
    if told.blocks.is_empty() {
        warnings.push(Warning::Silent);
    }
    if seen.clipped_share > CLIPPED_SHARE {
        warnings.push(Warning::Clipped { share: seen.clipped_share });
    }
    let dead = told.gain.iter().any(|dead| *dead);
    if dead || told.gain.len() >= LEAST_GAIN_BLOCKS {
        warnings.push(Warning::GainControl { dead_floor: dead });
    }
    progress(1.0);
    Ok(Ribbon { blocks: told.blocks, seconds: seen.frames as f64 / rate, silent: told.silent, warnings })
}

/// The block that is being read, and what was told before it.
struct Told {
    shift: f64,
    /// Steps of a whole block, and those still to come in this one.
    whole: usize,
    left: usize,
    number: usize,
    /// Steps of the start that are no levels yet.
    starting: usize,
    fast: Vec<f32>,
    means: Vec<f32>,
    blocks: Vec<RibbonBlock>,
    silent: usize,
    /// Blocks whose gain was seen to change: whether by a dead floor.
    gain: Vec<bool>,
}

impl Told {
    fn new(settings: &RibbonSettings) -> Self {
        let all = whole(settings.block_seconds * STEPS).max(1);
        let into = whole(settings.into_first * STEPS).min(all - 1);
        Self {
            shift: settings.calibration.shift(),
            whole: all,
            left: all - into,
            number: 0,
            starting: STARTING_STEPS,
            fast: Vec::new(),
            means: Vec::new(),
            blocks: Vec::new(),
            silent: 0,
            gain: Vec::new(),
        }
    }

    /// Takes the steps that came, and closes the blocks that are full.
    fn take(&mut self, ballistics: &mut Ballistics) {
        let (fast, means) = ballistics.take_steps();
        let (mut fast, mut means) = (&fast[..], &means[..]);
        while !fast.is_empty() {
            let count = self.left.min(fast.len());
            self.fast.extend_from_slice(&fast[..count]);
            self.means.extend_from_slice(&means[..count]);
            (fast, means) = (&fast[count..], &means[count..]);
            self.left -= count;
            if self.left == 0 {
                self.close();
                self.number += 1;
                self.left = self.whole;
            }
        }
    }

    /// Tells of the block as far as it has come.
    fn close(&mut self) {
        let (fast, means) = (std::mem::take(&mut self.fast), std::mem::take(&mut self.means));
        let starting = std::mem::take(&mut self.starting).min(fast.len());
        let levels = changes::levels(&fast[starting..]);
        let Some(la90) = changes::background(&levels) else { return };
        let power = means.iter().map(|power| f64::from(*power)).sum::<f64>() / means.len() as f64;
        if power <= 0.0 || level(power) < SILENT_DB {
            self.silent += 1;
            return;
        }
        let events = changes::events(&levels, la90);
        if let Some(Warning::GainControl { dead_floor }) = doubts::gain_control(&levels, &means[starting..], &events) {
            self.gain.push(dead_floor);
        }
        let raised = |db: f64| Decibels::new(db + self.shift);
        self.blocks.push(RibbonBlock {
            number: self.number,
            seconds: means.len() as f64 / STEPS,
            laeq: raised(level(power)),
            la90: raised(la90),
            lafmax: raised(levels.iter().copied().fold(f64::NEG_INFINITY, f64::max)),
            // What is under way when a block begins, began before it.
            events: u32::try_from(events.iter().filter(|event| event.start > 0).count()).unwrap_or(u32::MAX),
            speech_share: changes::speech_share(&means).unwrap_or(0.0),
        });
    }
}

#[cfg(test)]
mod tests {
    use rand_chacha::ChaCha8Rng;
    use rand_chacha::rand_core::{Rng, SeedableRng};

    use super::super::num::single;
    use super::{RibbonSettings, ribbon};
    use crate::sound::{Calibration, Feed, FeedInfo, Recording, Settings, analyse};

    const RATE: u32 = 8000;
    /// Steps of 10 ms at the ends of a block against those of a recording by itself, dB.
    const CLOSE: f64 = 0.1;

    /// Minutes of noise, each at its own level, with a bang in each.
    struct Minutes {
        chance: ChaCha8Rng,
        peaks: Vec<f32>,
        at: usize,
    }

    impl Minutes {
        fn recording(peaks: &[f32]) -> Recording {
            let info = FeedInfo { name: "evening".to_owned(), sample_rate_hz: RATE, channels: 1, step: 0.0 };
            let feed = Self { chance: ChaCha8Rng::seed_from_u64(5), peaks: peaks.to_vec(), at: 0 };
            Recording::of_feed(info, Box::new(feed)).unwrap()
        }
    }

    impl Feed for Minutes {
        fn next(&mut self, planes: &mut [Vec<f32>]) -> bool {
            for _ in 0..1000 {
                let second = self.at / RATE as usize;
                let Some(peak) = self.peaks.get(second / 60) else { return false };
                let bang = if second % 60 == 30 { 30.0 } else { 1.0 };
                let noise = single(f64::from(self.chance.next_u32()) / f64::from(u32::MAX) - 0.5);
                planes[0].push(noise * peak * bang);
                self.at += 1;
            }
            true
        }

        fn progress(&self) -> f64 {
            0.0
        }
    }

    fn settings(into_first: f64) -> RibbonSettings {
        RibbonSettings { calibration: Calibration::NONE, block_seconds: 60.0, into_first }
    }

    #[test]
    fn a_block_reads_as_a_recording_of_its_own_would() {
        let found = ribbon(Minutes::recording(&[0.002, 0.02, 0.004]), &settings(0.0), &mut |_| ()).unwrap();
        assert_eq!(found.blocks.len(), 3);
        assert!((found.seconds - 180.0).abs() < 0.2);
        for (block, peak) in found.blocks.iter().zip([0.002f32, 0.02, 0.004]) {
            let alone = analyse(Minutes::recording(&[peak]), &Settings::default(), &mut |_| ()).unwrap();
            assert!((block.laeq.db() - alone.levels.laeq.unwrap().db()).abs() < CLOSE, "{block:?}");
            assert!((block.la90.db() - alone.levels.la90.unwrap().db()).abs() < CLOSE, "{block:?}");
            assert!((block.lafmax.db() - alone.levels.lafmax.unwrap().db()).abs() < 0.4, "{block:?}");
            assert_eq!((block.events, alone.events_s.len()), (1, 1));
        }
    }

    #[test]
    fn blocks_stand_on_the_clock_and_silence_is_no_quiet_room() {
        let found = ribbon(Minutes::recording(&[0.01, 0.0, 0.01]), &settings(45.0), &mut |_| ()).unwrap();
        let heard: Vec<(usize, f64)> = found.blocks.iter().map(|block| (block.number, block.seconds.round())).collect();
        assert_eq!(heard[0], (0, 15.0));
        assert_eq!(heard.last().unwrap().0, 3);
        let mute = ribbon(Minutes::recording(&[0.0, 0.0]), &settings(0.0), &mut |_| ()).unwrap();
        assert_eq!((mute.blocks.len(), mute.silent), (0, 2));
        assert!(mute.warnings.iter().any(|warning| warning.code() == "silent"));
    }
}
