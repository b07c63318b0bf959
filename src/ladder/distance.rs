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
//! Checked: against published constants [FreeField], [HallRadius], a number worked by hand (40 m³, 0.5 s, 1 → 4 m:
//! −0.9 dB) and the two limits (free field −6.02 dB a doubling, reverberant field 0 dB).

use std::f64::consts::PI;

use super::input::Acoustics;

/// Sabine's constant, s/m: 24·ln 10/c at c = 343 m/s, as usually rounded.
const SABINE: f64 = 0.161;

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
        directivity / (4.0 * PI * distance_m * distance_m) + 4.0 / self.absorption_m2()
    }

    /// By how many dB a source's level changes when it is moved from one distance to another.
    pub fn change_db(&self, directivity: f64, from_m: f64, to_m: f64) -> f64 {
        10.0 * libm::log10(self.transfer(directivity, to_m) / self.transfer(directivity, from_m))
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

#[cfg(test)]
mod tests {
    use super::Acoustics;

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
    fn the_distance_for_a_drop_gives_that_drop() {
        let hall = Acoustics { volume_m3: 400.0, decay_s: 0.4 };
        let distance = hall.distance_for_drop_m(2.0, 1.0, 6.0).unwrap();
        assert!((hall.change_db(2.0, 1.0, distance) + 6.0).abs() < 1e-9);
    }
}
