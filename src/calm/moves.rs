//! Another place, another time, or tidying: which takes most of the load away in so many minutes.
//!
//! Every way is a place and a time, reached at its own cost in minutes, and then tidied with what is left (the exact knapsack of
//! the load room). Places are compared by what both audits share, and only that is tidied in another place; another time
//! changes the level of the recording. What a way takes away is a pull, so all of them can stand in one list:
//!
//! ```text
//! taken = (U_here − U_there)_shared + Σ tidied there          load_after = 100·(1 − e^−(U_here − taken))
//! ```
//!
//! A place or a time enters only where its difference is clear: what may be chance is no reason to move.

use crate::calm::shared::Shared;
use crate::load::{self, AuditInputs, SoundLevel, SoundReading};
use crate::quantity::{Decibels, Load, Pull};

/// Another place that is clearly calmer and possible.
#[derive(Clone, Copy, Debug)]
pub struct Elsewhere<'a> {
    /// Which of the corners.
    pub corner: usize,
    /// Its audit.
    pub inputs: AuditInputs<'a>,
    /// Minutes the move takes.
    pub minutes: f64,
}

/// Another time that is clearly calmer and possible.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Later {
    /// Its level less that of today's time, dB; negative.
    pub difference_db: f64,
    /// Minutes it costs.
    pub minutes: f64,
}

/// One way to a calmer room.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// The corner, if it is another one.
    pub corner: Option<usize>,
    /// Whether at another time.
    pub later: bool,
    /// What is tidied: items of the audit of that place.
    pub ids: Vec<String>,
    /// Minutes it takes in all.
    pub minutes: f64,
    /// The load to be expected; only a new audit confirms it.
    pub load_after: Load,
}

/// All ways that fit into so many minutes, the calmest first; of equals the one that takes less time. The first is the first move.
pub fn ways(here: &AuditInputs<'_>, elsewhere: &[Elsewhere<'_>], later: Option<Later>, minutes: f64) -> Vec<Way> {
    let now = load::assess(here, minutes).pull.u();
    let mut ways = Vec::new();
    for time in std::iter::once(None).chain(later.map(Some)) {
        let cost = time.map_or(0.0, |time| time.minutes);
        let heard = time.and_then(|time| shifted(here.sound, time.difference_db));
        if time.is_some() && heard.is_none() {
            continue;
        }
        let stay = AuditInputs { sound: heard.as_ref().or(here.sound), ..*here };
        ways.extend(way(now, here, &stay, None, time.is_some(), cost, minutes));
        for place in elsewhere {
            let cost = cost + place.minutes;
            let both = [*here, place.inputs];
            let Some(shared) = Shared::of(&both) else { continue };
            let heard = time.and_then(|time| shifted(place.inputs.sound, time.difference_db));
            if time.is_some() && heard.is_none() {
                continue;
            }
            let (from, mut to) = (shared.cut(0, here), shared.cut(1, &place.inputs));
            to.sound = to.sound.and(heard.as_ref().or(to.sound));
            ways.extend(way(now, &from, &to, Some(place.corner), time.is_some(), cost, minutes));
        }
    }
    ways.retain(|way| way.corner.is_some() || way.later || !way.ids.is_empty());
    ways.sort_by(|a, b| {
        a.load_after.points().total_cmp(&b.load_after.points()).then_with(|| a.minutes.total_cmp(&b.minutes))
    });
    ways
}

/// One way; none where it takes longer than there is.
fn way(
    now: f64,
    from: &AuditInputs<'_>,
    to: &AuditInputs<'_>,
    corner: Option<usize>,
    later: bool,
    cost: f64,
    minutes: f64,
) -> Option<Way> {
    if cost > minutes {
        return None;
    }
    let there = load::assess(to, minutes - cost);
    let before = load::assess(from, 0.0).pull.u();
    let tidied = pull_of(there.first_moves.load_after);
    let after = Pull::new((now - (before - tidied)).max(0.0)).unwrap_or_default();
    Some(Way {
        corner,
        later,
        ids: there.first_moves.ids.iter().map(ToString::to_string).collect(),
        minutes: cost + there.first_moves.takes_minutes,
        load_after: after.load(),
    })
}

/// The pull of a load.
fn pull_of(load: Load) -> f64 {
    -libm::log1p(-load.points() / 100.0)
}

/// A recording as it would be so many decibels louder; `None` where no level was measured.
fn shifted(sound: Option<&SoundReading>, by_db: f64) -> Option<SoundReading> {
    let reading = sound?;
    let SoundLevel::Calibrated { laeq, speech_share, sd_db, calibration } = &reading.level else { return None };
    if reading.child_audible {
        return None;
    }
    let level = SoundLevel::Calibrated {
        laeq: Decibels::new(laeq.db() + by_db),
        speech_share: *speech_share,
        sd_db: *sd_db,
        calibration: calibration.clone(),
    };
    Some(SoundReading { level, child_audible: false })
}
