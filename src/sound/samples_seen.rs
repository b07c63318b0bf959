//! What the samples themselves show: their constant, their energy, and whether they were cut off at the top.

/// From here up a sample counts as at full scale.
const FULL_SCALE: f32 = 0.999;
/// Equal samples in a row, at the peak, that make a flat top.
const FLAT_RUN: u32 = 3;
/// The least peak, in steps between sample values, at which a flat top means anything: a pure tone's crest is flatter
/// than one step for `2/π·√(1/peak)` of the time, which is one in a hundred here.
const LEAST_FLAT_PEAK: f64 = 4100.0;
/// Accumulators side by side, so that the processor can add them at once.
const LANES: usize = 8;

/// Follows the samples of every channel.
pub(super) struct SamplesSeen {
    channels: Vec<Channel>,
    frames: u64,
    step: f64,
    headroom: bool,
}

#[derive(Clone, Default)]
struct Channel {
    sum: f64,
    squares: f64,
    at_scale: u64,
    peak: f32,
    run: u32,
    flat: u64,
}

/// What was seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Seen {
    pub frames: u64,
    /// The largest mean of a channel, with its sign.
    pub mean: f64,
    /// Mean square without the constants, meant over the channels.
    pub power: f64,
    /// Largest absolute value.
    pub peak: f64,
    /// Share of samples at full scale.
    pub clipped_share: f64,
    /// Share of samples in flat runs at the peak of their channel, where the peak is high enough to tell.
    pub flat_share: f64,
}

impl SamplesSeen {
    /// Ready for the first sample. `step` is the least difference of samples; `headroom`: values above 1 are no fault.
    pub(super) fn new(channels: usize, step: f64, headroom: bool) -> Self {
        Self { channels: vec![Channel::default(); channels], frames: 0, step, headroom }
    }

    /// Takes samples of all channels.
    pub(super) fn push(&mut self, planes: &[Vec<f32>]) {
        self.frames += planes.first().map_or(0, Vec::len) as u64;
        for (channel, plane) in self.channels.iter_mut().zip(planes) {
            channel.push(plane);
        }
    }

    /// What was seen in all.
    pub(super) fn finish(&self) -> Seen {
        let frames = self.frames.max(1) as f64;
        let count = frames * self.channels.len().max(1) as f64;
        let mean = self
            .channels
            .iter()
            .map(|channel| channel.sum / frames)
            .fold(0.0, |worst: f64, mean| if mean.abs() > worst.abs() { mean } else { worst });
        let power = self.channels.iter().map(|channel| {
            let mean = channel.sum / frames;
            (channel.squares / frames - mean * mean).max(0.0)
        });
        let peak = self.channels.iter().map(|channel| channel.peak).fold(0.0, f32::max);
        let above = self.headroom && peak > 1.0;
        let at_scale: u64 = self.channels.iter().map(|channel| channel.at_scale).sum();
        let flat = |channel: &&Channel| f64::from(channel.peak) >= LEAST_FLAT_PEAK * self.step;
        let flat: u64 = self.channels.iter().filter(flat).map(|channel| channel.flat).sum();
        Seen {
            frames: self.frames,
            mean,
            power: power.sum::<f64>() / self.channels.len().max(1) as f64,
            peak: f64::from(peak),
            clipped_share: if above { 0.0 } else { at_scale as f64 / count },
            flat_share: flat as f64 / count,
        }
    }
}

impl Channel {
    fn push(&mut self, plane: &[f32]) {
        let (chunks, rest) = plane.as_chunks::<LANES>();
        let mut sums = [0f64; LANES];
        let mut squares = [0f64; LANES];
        let mut scale = [0u32; LANES];
        let mut peaks = [0f32; LANES];
        let mut last = [0f32; LANES];
        last[..rest.len()].copy_from_slice(rest);
        for chunk in chunks.iter().chain([&last]) {
            for lane in 0..LANES {
                let (x, wide) = (chunk[lane].abs(), f64::from(chunk[lane]));
                sums[lane] += wide;
                squares[lane] += wide * wide;
                scale[lane] += u32::from(x >= FULL_SCALE);
                peaks[lane] = if x > peaks[lane] { x } else { peaks[lane] };
            }
        }
        self.sum += sums.iter().sum::<f64>();
        self.squares += squares.iter().sum::<f64>();
        self.at_scale += scale.iter().map(|count| u64::from(*count)).sum::<u64>();
        if peaks.iter().fold(0.0, |a: f32, b| a.max(*b)) < self.peak {
            self.run = 0;
        } else {
            self.look_for_flats(plane);
        }
    }

    fn look_for_flats(&mut self, plane: &[f32]) {
        for x in plane {
            // Absolute values compare as their bits do.
            match x.abs().to_bits().cmp(&self.peak.to_bits()) {
                std::cmp::Ordering::Less => self.run = 0,
                std::cmp::Ordering::Greater => {
                    self.peak = x.abs();
                    (self.run, self.flat) = (1, 0);
                }
                std::cmp::Ordering::Equal => {
                    self.run += 1;
                    self.flat += match self.run.cmp(&FLAT_RUN) {
                        std::cmp::Ordering::Less => 0,
                        std::cmp::Ordering::Equal => u64::from(FLAT_RUN),
                        std::cmp::Ordering::Greater => 1,
                    };
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::SamplesSeen;

    const STEP_16: f64 = 1.0 / 32_768.0;

    fn seen(samples: &[f32], headroom: bool) -> super::Seen {
        let mut seen = SamplesSeen::new(1, STEP_16, headroom);
        for part in samples.chunks(777) {
            seen.push(&[part.to_vec()]);
        }
        seen.finish()
    }

    fn sine(gain: f32, limit: f32) -> Vec<f32> {
        (0..48_000u16).map(|i| (gain * (f32::from(i) * 0.05).sin()).clamp(-limit, limit)).collect()
    }

    #[test]
    fn a_tone_cut_off_below_full_scale_is_flat_and_not_clipped() {
        let cut = seen(&sine(0.8, 0.5), false);
        assert!(cut.flat_share > 0.5 && cut.clipped_share < f64::EPSILON);
        let whole = seen(&sine(0.8, 1.0), false);
        assert!(whole.flat_share < 0.001);
    }

    #[test]
    fn peaks_above_full_scale_in_floats_are_no_clipping() {
        assert!(seen(&sine(1.5, 2.0), true).clipped_share < f64::EPSILON);
        assert!(seen(&sine(1.5, 1.0), true).clipped_share > 0.4);
    }

    #[test]
    fn the_constant_is_taken_out_of_the_power() {
        let samples: Vec<f32> = (0..4800u16).map(|i| 0.2 + if i % 2 == 0 { 0.01 } else { -0.01 }).collect();
        let seen = seen(&samples, false);
        assert!((seen.mean - 0.2).abs() < 1e-6 && (seen.power - 1e-4).abs() < 1e-8);
    }
}
