//! The few narrowing conversions of this room, each in one place with its reason.

/// To single precision; the picture arithmetic runs in `f32`.
#[expect(clippy::cast_possible_truncation, reason = "rounding to single precision is the purpose")]
pub(super) fn single(value: f64) -> f32 {
    value as f32
}

/// The whole number at or below `value`, 0 for anything negative or undefined.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "`as` saturates; callers pass small counts"
)]
pub(super) fn floor_count(value: f64) -> usize {
    value as usize
}

/// The whole number at or below a small number, negative ones too.
#[expect(clippy::cast_possible_truncation, reason = "`as` saturates; Lab coordinates over 20 are within ±10")]
pub(super) fn floor_cell(value: f32) -> i32 {
    value.floor() as i32
}

/// A sample of 0…1 as one of 256 levels, rounded.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "`as` saturates at 0 and 255")]
pub(super) fn level(value: f32) -> u8 {
    (value * 255.0 + 0.5) as u8
}

/// A sample of 0…1 as an index into a table of `last + 1` entries and the rest above it.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "`as` saturates; the index is held inside")]
pub(super) fn table_place(value: f32, last: u16) -> (usize, f32) {
    let place = value.clamp(0.0, 1.0) * f32::from(last);
    let index = (place as usize).min(usize::from(last) - 1);
    (index, place - index as f32)
}

/// A count of pixels as the `u32` that picture formats use.
pub(super) fn side(pixels: usize) -> u32 {
    u32::try_from(pixels).unwrap_or(u32::MAX)
}
