//! Third-octave and octave bands in base ten, and the shape each weighs a spectrum with.
//!
//! Midbands `1000·10^(x/10)` (thirds) and `1000·10^(3x/10)` (octaves), edges at `10^±0.05` and `10^±0.15` of them
//! [IEC61260]. Shape: `1 / (1 + Ω⁸)` with `Ω = (f/fm − fm/f) / (upper − lower)`, the power response of an analogue
//! Butterworth band-pass of order four: 3.01 dB down at both edges, class 1 everywhere. Domain f > 0.
//! Checked: tones swept through every third at three sample rates against the class-1 limits.

/// Midband exponents of the thirds, 25 Hz to 16 kHz.
const THIRDS: std::ops::RangeInclusive<i32> = -16..=12;
/// Midband exponents (thirds of a decade's tenths) of the octaves, 31.5 Hz to 8 kHz.
const OCTAVES: std::ops::RangeInclusive<i32> = -5..=3;
/// Nominal midbands of a decade of thirds, from 1 kHz up.
const NOMINAL: [f64; 10] = [1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0];
/// A band is given when its upper edge lies below this share of half the sample rate (convention).
const REACH: f64 = 0.98;

/// A band of the spectrum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// The nominal midband, Hz: 31.5, 63, 1000.
    pub nominal_hz: f64,
    /// The exact midband, Hz.
    pub mid_hz: f64,
    /// Half the band's width in tenths of a decade: 0.5 for thirds, 1.5 for octaves.
    half_width: f64,
    /// The band's width as a share of its midband.
    width: f64,
}

impl Band {
    /// The twenty-nine thirds from 25 Hz to 16 kHz.
    pub fn thirds() -> impl Iterator<Item = Self> {
        THIRDS.map(|x| Self::around(x, 0.5))
    }

    /// The nine octaves from 31.5 Hz to 8 kHz.
    pub fn octaves() -> impl Iterator<Item = Self> {
        OCTAVES.map(|x| Self::around(3 * x, 1.5))
    }

    /// Of midband exponent `x` in tenths of a decade.
    fn around(x: i32, half_width: f64) -> Self {
        let width = libm::pow(10.0, half_width / 10.0) - libm::pow(10.0, -half_width / 10.0);
        Self { nominal_hz: nominal(x), mid_hz: exact(x), half_width, width }
    }

    /// The lower edge, Hz.
    pub fn lower_hz(&self) -> f64 {
        self.mid_hz * libm::pow(10.0, -self.half_width / 10.0)
    }

    /// The upper edge, Hz.
    pub fn upper_hz(&self) -> f64 {
        self.mid_hz * libm::pow(10.0, self.half_width / 10.0)
    }

    /// Both edges, Hz.
    pub(super) fn edges_hz(&self) -> (f64, f64) {
        (self.lower_hz(), self.upper_hz())
    }

    /// Whether a recording at `sample_rate_hz` reaches the whole band.
    pub fn within(&self, sample_rate_hz: f64) -> bool {
        self.upper_hz() <= REACH * sample_rate_hz / 2.0
    }

    /// What a power at `hz` counts in this band, 0 to 1.
    pub fn weight(&self, hz: f64) -> f64 {
        if hz <= 0.0 {
            return 0.0;
        }
        let omega = (hz / self.mid_hz - self.mid_hz / hz) / self.width;
        let squared = omega * omega;
        let fourth = squared * squared;
        1.0 / (1.0 + fourth * fourth)
    }

    /// The band's name as it is printed: `31.5`, `250`, `1k`, `3.15k`.
    pub fn label(&self) -> String {
        label(self.nominal_hz)
    }
}

/// A nominal frequency as it is printed: `31.5`, `250`, `1k`, `3.15k`.
pub fn label(nominal_hz: f64) -> String {
    if nominal_hz < 1000.0 { format!("{nominal_hz}") } else { format!("{}k", nominal_hz / 1000.0) }
}

fn exact(x: i32) -> f64 {
    1000.0 * libm::pow(10.0, f64::from(x) / 10.0)
}

fn nominal(x: i32) -> f64 {
    let mantissa = usize::try_from(x.rem_euclid(10)).map_or(1.0, |place| NOMINAL[place]);
    match x.div_euclid(10) {
        -2 => mantissa * 10.0,
        -1 => mantissa * 100.0,
        0 => mantissa * 1000.0,
        _ => mantissa * 10_000.0,
    }
}

#[cfg(test)]
mod tests {
    use super::Band;

    #[test]
    fn the_nominal_names_are_those_of_the_standard() {
        let names: Vec<String> = Band::thirds().map(|band| band.label()).collect();
        assert_eq!(
            names.join(" "),
            "25 31.5 40 50 63 80 100 125 160 200 250 315 400 500 630 800 1k 1.25k 1.6k 2k 2.5k 3.15k 4k 5k 6.3k 8k 10k \
             12.5k 16k"
        );
        let names: Vec<String> = Band::octaves().map(|band| band.label()).collect();
        assert_eq!(names.join(" "), "31.5 63 125 250 500 1k 2k 4k 8k");
    }

    #[test]
    fn a_band_is_three_decibels_down_at_its_edges() {
        for band in Band::thirds().chain(Band::octaves()) {
            for edge in [band.lower_hz(), band.upper_hz()] {
                assert!((band.weight(edge) - 0.5).abs() < 1e-9);
            }
            assert!((band.weight(band.mid_hz) - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn at_16_khz_there_is_no_8_khz_third() {
        let reached = |rate: f64| Band::thirds().filter(|band| band.within(rate)).last().map(|band| band.nominal_hz);
        assert_eq!(reached(16_000.0), Some(6300.0));
        assert_eq!(reached(44_100.0), Some(16_000.0));
    }
}
