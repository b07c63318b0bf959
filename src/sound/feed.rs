//! A recording that is still being made: samples come as a microphone hands them over, and nothing is kept of them.

use super::refusal::{Fault, Refusal};
use super::source::{Block, Info, MOST_CHANNELS, RATES, Recording, Stream};

/// Samples that arrive while they are read.
pub trait Feed {
    /// Puts the next stretch into `planes`, one plane a channel, all of the same length; `false` when there will be no
    /// more. It may wait for the sound to happen.
    fn next(&mut self, planes: &mut [Vec<f32>]) -> bool;

    /// The share that has come, 0 to 1.
    fn progress(&self) -> f64;
}

/// What is known of samples before the first of them comes.
#[derive(Clone, Debug, PartialEq)]
pub struct FeedInfo {
    /// What to call the recording.
    pub name: String,
    /// Samples a second.
    pub sample_rate_hz: u32,
    /// Channels.
    pub channels: usize,
    /// The step between neighbouring sample values of the device, as a share of full scale; 0 where it is not known.
    pub step: f64,
}

impl Recording {
    /// A recording that is read while it is made.
    pub fn of_feed(info: FeedInfo, feed: Box<dyn Feed>) -> Result<Self, Refusal> {
        let FeedInfo { name, sample_rate_hz, channels, step } = info;
        if !RATES.contains(&u64::from(sample_rate_hz)) {
            return Err(Refusal::new(&name, Fault::Rate { hz: u64::from(sample_rate_hz) }));
        }
        if channels == 0 || channels as u64 > MOST_CHANNELS {
            return Err(Refusal::new(&name, Fault::Channels { channels: channels as u64, most: MOST_CHANNELS }));
        }
        let info = Info { name, sample_rate_hz, channels, format: "live sound", lossy: false, headroom: false, step };
        Ok(Self::of_stream(info, Stream::Fed(FedStream { feed })))
    }
}

/// A feed as a stream of blocks.
pub(super) struct FedStream {
    feed: Box<dyn Feed>,
}

impl FedStream {
    /// The next stretch of samples; `false` at the end.
    pub(super) fn next_block(&mut self, block: &mut Block) -> bool {
        block.planes.iter_mut().for_each(Vec::clear);
        let more = self.feed.next(&mut block.planes);
        // Planes of unequal length would shift the channels against each other: what is not whole is left out.
        let frames = block.planes.iter().map(Vec::len).min().unwrap_or(0);
        block.planes.iter_mut().for_each(|plane| plane.truncate(frames));
        more
    }

    /// The share that has come.
    pub(super) fn progress(&self) -> f64 {
        self.feed.progress()
    }
}

#[cfg(test)]
mod tests {
    use super::{Feed, FeedInfo};
    use crate::sound::{Recording, Settings, analyse};

    /// A tone of two seconds in stretches of uneven length.
    struct Tone {
        at: usize,
    }

    const RATE: u32 = 16_000;
    const FRAMES: usize = 2 * RATE as usize;

    impl Feed for Tone {
        fn next(&mut self, planes: &mut [Vec<f32>]) -> bool {
            let until = (self.at + 777).min(FRAMES);
            for at in self.at..until {
                let x = (at as f32 * 1000.0 * std::f32::consts::TAU / RATE as f32).sin() * 0.1;
                planes[0].push(x);
                planes[1].push(-x);
            }
            self.at = until;
            self.at < FRAMES
        }

        fn progress(&self) -> f64 {
            self.at as f64 / FRAMES as f64
        }
    }

    fn info(sample_rate_hz: u32, channels: usize) -> FeedInfo {
        FeedInfo { name: "desk".to_owned(), sample_rate_hz, channels, step: 0.0 }
    }

    #[test]
    fn samples_that_are_handed_over_are_measured_like_those_of_a_file() {
        let recording = Recording::of_feed(info(RATE, 2), Box::new(Tone { at: 0 })).unwrap();
        let analysis = analyse(recording, &Settings::default(), &mut |_| ()).unwrap();
        assert_eq!(analysis.source.channels, 2);
        assert!((analysis.source.seconds - 2.0).abs() < 1e-9);
        // A sine of peak 0.1 has an RMS of 0.1/√2: −23.010 dB; two channels against each other do not cancel.
        let level = analysis.levels.lzeq.unwrap().db();
        assert!((level + 23.010).abs() < 0.005, "{level}");
    }

    #[test]
    fn a_rate_or_a_number_of_channels_that_cannot_be_is_refused() {
        assert!(Recording::of_feed(info(2000, 1), Box::new(Tone { at: 0 })).is_err());
        assert!(Recording::of_feed(info(48_000, 0), Box::new(Tone { at: 0 })).is_err());
    }
}
