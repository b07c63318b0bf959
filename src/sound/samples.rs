//! Sample forms of WAV files, turned into singles with full scale 1, channel by channel.

use super::num::single;

/// How a sample is stored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Form {
    /// Unsigned, 128 in the middle.
    Int8,
    Int16,
    Int24,
    Int32,
    Float32,
    Float64,
}

impl Form {
    /// Bytes of one sample.
    pub(super) const fn bytes(self) -> usize {
        match self {
            Self::Int8 => 1,
            Self::Int16 => 2,
            Self::Int24 => 3,
            Self::Int32 | Self::Float32 => 4,
            Self::Float64 => 8,
        }
    }

    /// Whether samples may lie above full scale.
    pub(super) const fn is_float(self) -> bool {
        matches!(self, Self::Float32 | Self::Float64)
    }

    /// Whole interleaved frames into planes, one for each channel. A double too large for a single becomes infinite
    /// only if it was: beyond a single's range it is held at the largest single, which is refused as well.
    pub(super) fn read(self, bytes: &[u8], planes: &mut [Vec<f32>]) {
        match self {
            Self::Int8 => spread(bytes, planes, |[b]: [u8; 1]| (f32::from(b) - 128.0) / 128.0),
            Self::Int16 => spread(bytes, planes, |b| f32::from(i16::from_le_bytes(b)) / 32_768.0),
            Self::Int24 => spread(bytes, planes, |[a, b, c]: [u8; 3]| whole_32(i32::from_le_bytes([0, a, b, c]))),
            Self::Int32 => spread(bytes, planes, |b| whole_32(i32::from_le_bytes(b))),
            Self::Float32 => spread(bytes, planes, f32::from_le_bytes),
            Self::Float64 => spread(bytes, planes, |b| {
                let x = f64::from_le_bytes(b);
                if x.is_finite() { single(x.clamp(f64::from(f32::MIN), f64::from(f32::MAX))) } else { single(x) }
            }),
        }
    }
}

fn whole_32(x: i32) -> f32 {
    single(f64::from(x) / 2_147_483_648.0)
}

fn spread<const N: usize>(bytes: &[u8], planes: &mut [Vec<f32>], value: impl Fn([u8; N]) -> f32) {
    let channels = planes.len();
    let samples = bytes.as_chunks::<N>().0;
    for (channel, plane) in planes.iter_mut().enumerate() {
        plane.clear();
        if channels == 1 {
            plane.extend(samples.iter().map(|sample| value(*sample)));
        } else {
            plane.extend(samples.iter().skip(channel).step_by(channels).map(|sample| value(*sample)));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Form;

    #[track_caller]
    fn check(form: Form, bytes: &[u8], expect: &[f32]) {
        let mut planes = vec![Vec::new()];
        form.read(bytes, &mut planes);
        assert_eq!(planes[0], expect);
    }

    #[test]
    fn every_form_has_its_full_scale_at_one() {
        check(Form::Int8, &[0, 128, 192], &[-1.0, 0.0, 0.5]);
        check(Form::Int16, &[0, 0x80, 0, 0x40], &[-1.0, 0.5]);
        check(Form::Int24, &[0, 0, 0x80, 0, 0, 0x40], &[-1.0, 0.5]);
        check(Form::Int32, &[0, 0, 0, 0x80, 0, 0, 0, 0x40], &[-1.0, 0.5]);
        check(Form::Float32, &0.5f32.to_le_bytes(), &[0.5]);
        check(Form::Float64, &(-0.25f64).to_le_bytes(), &[-0.25]);
    }

    #[test]
    fn a_double_too_large_stays_a_number_and_one_that_is_not_stays_none() {
        let mut planes = vec![Vec::new()];
        Form::Float64.read(&1e300f64.to_le_bytes(), &mut planes);
        assert!(planes[0][0].is_finite() && planes[0][0] > 1e30);
        Form::Float64.read(&f64::INFINITY.to_le_bytes(), &mut planes);
        assert!(planes[0][0].is_infinite());
    }

    #[test]
    fn channels_are_taken_apart() {
        let mut planes = vec![Vec::new(), Vec::new()];
        Form::Int8.read(&[128, 0, 192, 64], &mut planes);
        assert_eq!(planes, [vec![0.0, 0.5], vec![-1.0, -0.5]]);
    }
}
