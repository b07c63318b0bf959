//! From the level at one place to the level at the child's chair: direct plus reverberant field.

use crate::contract::{ChairDoc, NoteDoc, SoundDoc};
use crate::ladder::{ASSUMED_DECAY_S, Acoustics, DecayTime};

use super::ladder_case::decay_assumed;
use super::ladder_settings::{decay, volume, within};
use super::refusal::Refusal;

/// Where the recording was made and where the chair stands, both from the source of the sound.
#[derive(Clone, Copy, Debug)]
pub struct ChairRequest {
    /// From the source to the device, m.
    pub at_m: f64,
    /// From the source to the child's chair, m.
    pub chair_m: f64,
    /// Volume of the room, m³.
    pub volume_m3: f64,
    /// Decay time of the room, s, when it was measured.
    pub decay_s: Option<f64>,
}

/// Nearer than this the field of a real source is not that of a point, m.
const NEAREST_M: f64 = 0.2;
/// Farther than this is no room.
const FARTHEST_M: f64 = 100.0;

/// Adds the level at the child's chair to a reading.
pub fn carry(doc: &mut SoundDoc, request: &ChairRequest) -> Result<(), Refusal> {
    let hint = "metres from the source of the sound, 0.2 or more, such as --at 1 --chair 3";
    within("at", Some(request.at_m), (NEAREST_M, FARTHEST_M), hint)?;
    within("chair", Some(request.chair_m), (NEAREST_M, FARTHEST_M), hint)?;
    volume(Some(request.volume_m3))?;
    let measured = decay(request.decay_s)?.or_else(|| doc.decay.as_ref().and_then(|decay| decay.t20_s));
    let time = measured.map_or(ASSUMED_DECAY_S, DecayTime::measured);
    let room = Acoustics { volume_m3: request.volume_m3, decay_s: time.s };
    let change_db = room.change_db(1.0, request.at_m, request.chair_m);
    let (low, high) = Acoustics::change_bounds_db(request.volume_m3, time, request.at_m, request.chair_m);
    let level = |change: f64| doc.levels.laeq_db.map(|level| level + change);
    doc.chair = Some(ChairDoc {
        at_m: request.at_m,
        chair_m: request.chair_m,
        volume_m3: request.volume_m3,
        decay_s: time.s,
        decay: if measured.is_some() { "measured" } else { "assumed" }.to_owned(),
        absorption_m2: room.absorption_m2(),
        reverberation_radius_m: room.reverberation_radius_m(1.0),
        change_db,
        change_low_db: low,
        change_high_db: high,
        laeq_db: level(change_db),
        laeq_low_db: level(low),
        laeq_high_db: level(high),
    });
    if measured.is_none() {
        doc.quality.warnings.push(NoteDoc::new("decay-assumed", decay_assumed()));
    }
    Ok(())
}
