//! The stretch of a recording around its largest peak, kept for the decay behind it.

/// The most samples that are kept, over all channels: 20 MB of singles.
const MOST_SAMPLES: usize = 5_000_000;
/// The most seconds that are kept.
const MOST_SECONDS: f64 = 60.0;

/// Keeps up to a minute around the largest peak.
pub(super) struct Capture {
    planes: Vec<Vec<f32>>,
    most: usize,
    peak: f32,
    peak_at: usize,
    full: bool,
}

impl Capture {
    /// Ready for the first sample.
    pub(super) fn new(sample_rate_hz: f64, channels: usize) -> Self {
        let most = (MOST_SAMPLES / channels.max(1)).min(super::num::whole(sample_rate_hz * MOST_SECONDS));
        Self { planes: vec![Vec::new(); channels], most, peak: 0.0, peak_at: 0, full: false }
    }

    /// Takes samples of all channels.
    pub(super) fn push(&mut self, planes: &[Vec<f32>]) {
        let frames = planes.first().map_or(0, Vec::len);
        let largest = planes
            .iter()
            .flat_map(|plane| plane.iter().enumerate())
            .map(|(at, x)| (x.abs(), at))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let Some((peak, at)) = largest else { return };
        if peak > self.peak && self.full {
            // A larger peak behind all that was kept: begin anew from here.
            self.planes.iter_mut().for_each(Vec::clear);
            self.full = false;
        }
        let kept = self.planes.first().map_or(0, Vec::len);
        if peak > self.peak {
            (self.peak, self.peak_at) = (peak, kept + at);
        }
        if self.full {
            return;
        }
        for (kept, plane) in self.planes.iter_mut().zip(planes) {
            kept.extend_from_slice(plane);
        }
        if kept + frames >= self.most {
            let half = self.most / 2;
            if self.peak_at < half {
                self.full = true;
            } else {
                self.peak_at -= half;
                for kept in &mut self.planes {
                    kept.drain(..half);
                }
            }
        }
    }

    /// What was kept.
    pub(super) fn finish(self) -> Vec<Vec<f32>> {
        self.planes
    }
}

#[cfg(test)]
mod tests {
    use super::Capture;

    fn kept(peak_at: usize, frames: usize) -> (Vec<f32>, usize) {
        let mut capture = Capture::new(100.0, 1); // 6000 samples at most
        let samples: Vec<f32> = (0..frames).map(|i| if i == peak_at { 1.0 } else { 0.1 }).collect();
        for part in samples.chunks(333) {
            capture.push(&[part.to_vec()]);
        }
        let plane = capture.finish().remove(0);
        let at = plane.iter().position(|x| *x > 0.5).unwrap();
        (plane, at)
    }

    #[test]
    fn the_peak_is_kept_wherever_it_lies_with_what_follows() {
        for peak_at in [0, 100, 2999, 3000, 6100, 15_000, 29_000] {
            let (plane, at) = kept(peak_at, 30_000);
            assert!(plane.len() < 6400, "{peak_at}: {} kept", plane.len());
            assert!(plane.len() - at >= (30_000 - peak_at).min(2500), "{peak_at}: {at} of {}", plane.len());
        }
    }
}
