//! How much a sound source's distance changes its level in a room: direct plus reverberant field.
//!
//! ```text
//! L_p = L_w + 10·lg(Q/(4π·r²) + 4/A)      A = 0.161·V/T         statistical room acoustics
//! ΔL  = 10·lg((Q/(4π·r₂²) + 4/A) / (Q/(4π·r₁²) + 4/A))          from r₁ to r₂
//! r_c = √(Q·A/(16π)) ≈ 0.057·√(Q·V/T)                            both fields are equal
//! ```
//!
//! Domain: `V`, `T`, distances positive; `Q` = 1 (a source that sends evenly to all sides), 2 in front of a wall or on a
//! table. Range: ΔL in dB, negative when moving away; it never falls below the reverberant field.
//! Outside: small absorbent or oddly shaped rooms and distances below 0.2 m are not what the formula is for.
//! Source: the diffuse-field formula of room acoustics [SoundFields]; 0.161 s/m is 24·ln 10/c at 343 m/s.
//! A level measured at one place is carried to the child's chair by `ΔL`; its bounds come from the doubt of the decay time,
//! the two textbook forms of the reverberant field (`4/A` and `4/R`), and the two directivities.
//! Checked: against worked examples of absorption and room constant [AbsorptionExample], [HandbookRoom],
//! [RoomConstantExample], of distance outdoors [InverseSquareExample], against published constants [FreeField], [HallRadius], a number worked by hand (40 m³, 0.5 s, 1 → 4 m:
//! −0.9 dB) and the two limits (free field −6.02 dB a doubling, reverberant field 0 dB).

use std::f64::consts::PI;

use super::input::Acoustics;

/// Sabine's constant, s/m: 24·ln 10/c at c = 343 m/s, as usually rounded.
const SABINE: f64 = 0.161;

/// Decay time of a furnished living room where none was measured, and between what it may lie, s. Means of 50 living rooms
/// are 0.69 s (125 Hz) to 0.4 s (8 kHz), of 16 others 0.35 to 0.45 s \[LivingRooms\].
pub const ASSUMED_DECAY_S: DecayTime = DecayTime { low_s: 0.35, s: 0.5, high_s: 0.7 };

/// Doubt of a measured decay time, as a share of it. Convention.
const MEASURED_DOUBT: f64 = 0.10;
/// Surface of an ordinary room by its volume: S ≈ 6.2·V^⅔ (a cube has 6, 5 × 4 × 2.5 m has 6.3). Geometry.
const SURFACE: f64 = 6.2;
/// A mean absorption beyond this is no room with a reverberant field.
const MEAN_ABSORPTION_MOST: f64 = 0.9;
/// Sends to all sides, and half of them: the two directivities that the bounds look at.
const DIRECTIVITIES: [f64; 2] = [1.0, 2.0];

/// A decay time with its doubt, s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DecayTime {
    /// Not below.
    pub low_s: f64,
    /// Most likely.
    pub s: f64,
    /// Not above.
    pub high_s: f64,
}

impl DecayTime {
    /// A measured one.
    pub fn measured(s: f64) -> Self {
        Self { low_s: s * (1.0 - MEASURED_DOUBT), s, high_s: s * (1.0 + MEASURED_DOUBT) }
    }
}

impl Acoustics {
    /// Equivalent absorption area, m².
    pub fn absorption_m2(&self) -> f64 {
        SABINE * self.volume_m3 / self.decay_s
    }

    /// Where direct and reverberant field are equal, m.
    pub fn reverberation_radius_m(&self, directivity: f64) -> f64 {
        (directivity * self.absorption_m2() / (16.0 * PI)).sqrt()
    }

    /// Direct plus reverberant part of the transfer from power to mean square pressure, 1/m².
    fn transfer(&self, directivity: f64, distance_m: f64) -> f64 {
        transfer(directivity, distance_m, self.absorption_m2())
    }

    /// By how many dB a source's level changes when it is moved from one distance to another.
    pub fn change_db(&self, directivity: f64, from_m: f64, to_m: f64) -> f64 {
        10.0 * libm::log10(self.transfer(directivity, to_m) / self.transfer(directivity, from_m))
    }

    /// The room constant, m²: `R = A/(1 − ᾱ)`, with the mean absorption `ᾱ = A/S` of a surface guessed from the volume.
    /// A ordinary furnished room has `ᾱ` about 0.2; `A` alone is the textbook's other form of the same field.
    pub fn room_constant_m2(&self) -> f64 {
        let surface = SURFACE * libm::pow(self.volume_m3, 2.0 / 3.0);
        room_constant(self.absorption_m2(), (self.absorption_m2() / surface).min(MEAN_ABSORPTION_MOST))
    }

    /// Between what the change of `change_db` lies when the decay time is in doubt, the reverberant field is taken by `A`
    /// or by `R`, and the source sends to all sides or to half of them.
    pub fn change_bounds_db(volume_m3: f64, decay: DecayTime, from_m: f64, to_m: f64) -> (f64, f64) {
        let mut bounds = (f64::INFINITY, f64::NEG_INFINITY);
        for decay_s in [decay.low_s, decay.s, decay.high_s] {
            let room = Self { volume_m3, decay_s };
            for constant in [room.absorption_m2(), room.room_constant_m2()] {
                for directivity in DIRECTIVITIES {
                    let at = |metres| transfer(directivity, metres, constant);
                    let change = 10.0 * libm::log10(at(to_m) / at(from_m));
                    bounds = (bounds.0.min(change), bounds.1.max(change));
                }
            }
        }
        bounds
    }

    /// How far away a source at `from_m` must be moved for its level to fall by `drop_db`; `None` when no distance
    /// does it, because the reverberant field alone is louder.
    pub fn distance_for_drop_m(&self, directivity: f64, from_m: f64, drop_db: f64) -> Option<f64> {
        let wanted = self.transfer(directivity, from_m) * libm::pow(10.0, -drop_db / 10.0);
        let direct = wanted - 4.0 / self.absorption_m2();
        let distance = (directivity / (4.0 * PI * direct)).sqrt();
        (direct > 0.0 && distance.is_finite()).then_some(distance)
    }
}

/// Transfer from power to mean square pressure, 1/m², with a room constant.
fn transfer(directivity: f64, distance_m: f64, room_constant_m2: f64) -> f64 {
    directivity / (4.0 * PI * distance_m * distance_m) + 4.0 / room_constant_m2
}

/// `R = A/(1 − ᾱ)`.
fn room_constant(absorption_m2: f64, mean_absorption: f64) -> f64 {
    absorption_m2 / (1.0 - mean_absorption)
}

#[cfg(test)]
mod tests {
    use super::{ASSUMED_DECAY_S, Acoustics, DecayTime, room_constant, transfer};

    const BEDROOM: Acoustics = Acoustics { volume_m3: 40.0, decay_s: 0.5 };

    #[test]
    fn in_a_bedroom_distance_makes_no_step() {
        // Worked by hand: A = 0.161·40/0.5 = 12.88 m²; 1/(4π) + 4/A = 0.39014; at 4 m 0.00497 + 0.31056 = 0.31553;
        // 10·lg(0.31553/0.39014) = −0.92 dB. Radius √(12.88/16π) = 0.506 m.
        assert!((BEDROOM.change_db(1.0, 1.0, 4.0) + 0.92).abs() < 0.005);
        assert!((BEDROOM.reverberation_radius_m(1.0) - 0.506).abs() < 0.0005);
        assert_eq!(BEDROOM.distance_for_drop_m(1.0, 1.0, 5.0), None);
    }

    #[test]
    fn the_published_constants_are_met() {
        // [FreeField]: a source that sends to all sides is 11 dB below its sound power at 1 m, printed without decimals.
        let field = Acoustics { volume_m3: 100_000.0, decay_s: 0.05 };
        assert!((10.0 * libm::log10(field.transfer(1.0, 1.0)) + 11.0).abs() < 0.5);
        // [HallRadius]: r = √(55.26·V/(16π·c·T)), c 343 m/s; our 0.161 is rounded to three figures.
        let radius = (55.26 * 40.0 / (16.0 * std::f64::consts::PI * 343.0 * 0.5)).sqrt();
        assert!((BEDROOM.reverberation_radius_m(1.0) / radius - 1.0).abs() < 0.001);
    }

    #[test]
    fn the_radius_agrees_with_the_rule_of_thumb() {
        let thumb = 0.057 * (40.0f64 / 0.5).sqrt();
        // The rule of thumb is rounded to two figures.
        assert!((BEDROOM.reverberation_radius_m(1.0) / thumb - 1.0).abs() < 0.01);
    }

    #[test]
    fn outdoors_a_doubling_takes_six_decibels_and_a_hard_room_none() {
        let field = Acoustics { volume_m3: 100_000.0, decay_s: 0.05 };
        assert!((field.change_db(1.0, 0.5, 1.0) + 20.0 * 2f64.log10()).abs() < 0.001);
        let church = Acoustics { volume_m3: 1.0, decay_s: 20.0 };
        assert!(church.change_db(1.0, 2.0, 4.0).abs() < 0.01);
    }

    #[test]
    fn the_absorption_of_a_classroom_example_is_met() {
        // [AbsorptionExample]: 480 m³ and 3 s give 25.76 m²; printed with two decimals.
        let classroom = Acoustics { volume_m3: 480.0, decay_s: 3.0 };
        assert!((classroom.absorption_m2() - 25.76).abs() < 0.005);
    }

    #[test]
    fn a_textbook_rooms_decay_times_and_absorptions_belong_together() {
        // [HandbookRoom]: 3,728 cubic feet; sabins (square feet) and decay times of six octaves, printed with two decimals.
        // The book's 0.049 s/ft is our 0.161 s/m in feet, rounded to two figures: 0.2 % apart.
        const FOOT: f64 = 0.3048;
        let table = [(370.4, 0.49), (214.8, 0.85), (328.8, 0.56), (339.5, 0.54), (336.8, 0.54), (329.4, 0.55)];
        for (sabins, decay_s) in table {
            let room = Acoustics { volume_m3: 3728.0 * FOOT * FOOT * FOOT, decay_s };
            let absorption = room.absorption_m2() / (FOOT * FOOT);
            // The printed time is right to 0.005 s.
            assert!((absorption / sabins - 1.0).abs() < 0.005 / decay_s + 0.003, "{absorption} {sabins}");
        }
    }

    #[test]
    fn the_room_constant_example_is_met_and_its_level_is_not() {
        // [RoomConstantExample]: 12.2 m² and a mean absorption of 0.2 give 15.3 m², printed with one decimal.
        let constant = room_constant(12.2, 0.2);
        assert!((constant - 15.3).abs() <= 0.05 + 1e-9);
        // The page goes on to 84.8 dB for 90 dB at 2 m; its own formula gives 84.5 dB, and so do we.
        assert!((90.0 + 10.0 * libm::log10(transfer(1.0, 2.0, constant)) - 84.5).abs() < 0.05);
    }

    #[test]
    fn outdoors_the_inverse_square_example_is_met() {
        // [InverseSquareExample]: 110 dB at 30 m is 103.97 dB at 60 m and 116.02 dB at 15 m; printed cut to two decimals.
        for (metres, db) in [(60.0, 103.97), (15.0, 116.02)] {
            let change = 10.0 * libm::log10(transfer(1.0, metres, 1e12) / transfer(1.0, 30.0, 1e12));
            assert!((110.0 + change - db).abs() < 0.01, "{change}");
        }
    }

    #[test]
    fn the_bounds_hold_the_change_and_a_measured_decay_narrows_them() {
        let change = BEDROOM.change_db(1.0, 1.0, 3.0);
        let (low, high) = Acoustics::change_bounds_db(40.0, ASSUMED_DECAY_S, 1.0, 3.0);
        let (from, to) = Acoustics::change_bounds_db(40.0, DecayTime::measured(0.5), 1.0, 3.0);
        assert!(low <= from && from <= change && change <= to && to <= high, "{low} {from} {change} {to} {high}");
        assert!(to - from < high - low);
        assert!(BEDROOM.room_constant_m2() > BEDROOM.absorption_m2());
    }

    #[test]
    fn the_distance_for_a_drop_gives_that_drop() {
        let hall = Acoustics { volume_m3: 400.0, decay_s: 0.4 };
        let distance = hall.distance_for_drop_m(2.0, 1.0, 6.0).unwrap();
        assert!((hall.change_db(2.0, 1.0, distance) + 6.0).abs() < 1e-9);
    }
}
