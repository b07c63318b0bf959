//! Numbers to places in a picture and back.

/// The whole number below, 0 for what is negative or no number.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held at 0; pictures are far smaller")]
pub(super) fn place(v: f64) -> usize {
    v.max(0.0) as usize
}

/// A level of 0…1 as a byte.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held in 0…255")]
pub(super) fn byte(v: f32) -> u8 {
    (v.clamp(0.0, 1.0) * 255.0 + 0.5) as u8
}

/// To single precision.
#[expect(clippy::cast_possible_truncation, reason = "a level or a place; seven digits are plenty")]
pub(super) const fn single(v: f64) -> f32 {
    v as f32
}
