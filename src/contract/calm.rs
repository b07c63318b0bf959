//! Where and when: a day's ribbon of loudness and what the family said is possible, as records; and what `where` answers.

use serde::{Deserialize, Serialize};

use super::{Document, NoteDoc};

/// What was heard in one place on one day, in blocks of the clock. Nothing else of the recording is kept.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DaySoundBody {
    /// The place.
    pub place: String,
    /// What recorded it, in a word.
    pub device: String,
    /// `dB` where it was calibrated, else `dBFS`: then only differences within one device mean something.
    pub level_unit: String,
    /// Added to dBFS, where it was calibrated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub offset_db: Option<f64>,
    /// The doubt of that, dB.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sd_db: Option<f64>,
    /// Doubts about the recording.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub warnings: Vec<NoteDoc>,
    /// Length of a block, minutes: 5.
    pub block_minutes: u32,
    /// The blocks that held sound.
    pub block: Vec<SoundBlockBody>,
}

/// One block of the clock.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SoundBlockBody {
    /// When it begins, `HH:MM`, by the clock of the place.
    pub at: String,
    /// How much of it was heard, seconds.
    pub seconds: f64,
    /// A-weighted equivalent level.
    pub laeq_db: f64,
    /// Exceeded nine tenths of the time.
    pub la90_db: f64,
    /// Greatest level, F.
    pub lafmax_db: f64,
    /// Loud events that began in it.
    pub events: u32,
    /// Share of speech-like or rhythmic fluctuation, 0 to 1; never called speech.
    pub speech_share: f64,
}

/// What the family said is possible. The newest holds.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct PossibleBody {
    /// When it is practised now, `HH:MM`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub learning_time: Option<String>,
    /// Minutes that another time costs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time_minutes: Option<f64>,
    /// Times that are taken.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub taken: Vec<TakenBody>,
    /// Places, and what moving there costs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub places: Vec<MovingBody>,
}

/// A time of the day that is taken.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TakenBody {
    /// `HH:MM`.
    pub from: String,
    /// `HH:MM`; earlier than `from`: on the next day.
    pub to: String,
    /// In the family's words: bedtime, cooking.
    pub why: String,
}

/// What moving to a place costs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct MovingBody {
    /// The place.
    pub name: String,
    /// Minutes; left out: it is not possible there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<f64>,
}

/// Where and when (`stillroom.where/1`).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WhereDoc {
    /// Where it is practised now.
    pub place: Option<String>,
    /// The corners, each with its newest audit.
    pub corners: Vec<CornerDoc>,
    /// The calmest of them; null with fewer than two.
    pub calmest_place: Option<String>,
    /// Whether it is clearly calmer than every other.
    pub place_is_clear: bool,
    /// Each other corner against the calmest: its load less the calmest's.
    pub differences: Vec<CornerDifferenceDoc>,
    /// The times of day that were recorded; null without any.
    pub times: Option<TimesDoc>,
    /// Photos with glare or light gone wrong, by hour.
    pub light: Vec<LightDoc>,
    /// Minutes there are.
    pub minutes: f64,
    /// Ways to a calmer room within them, the calmest first.
    pub ways: Vec<WayDoc>,
    /// What the family said is possible.
    pub possible: PossibleBody,
    /// What this says, in sentences.
    pub said: Vec<String>,
    /// What was left out of the comparison, and why.
    pub notes: Vec<NoteDoc>,
    /// Records that were stored just now.
    pub stored: Vec<String>,
}

impl Document for WhereDoc {
    const SCHEMA: &'static str = "stillroom.where/1";
}

/// One corner.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CornerDoc {
    /// Its name.
    pub place: String,
    /// The audit.
    pub audit: String,
    /// Its day.
    pub date: String,
    /// The load.
    pub load: f64,
    /// Its 90 % interval.
    pub load_low: f64,
    /// Its 90 % interval.
    pub load_high: f64,
    /// In a word.
    pub grade: String,
    /// The load by what all corners share; null where they share nothing or there is only one.
    pub shared_load: Option<f64>,
    /// Its 90 % interval.
    pub shared_low: Option<f64>,
    /// Its 90 % interval.
    pub shared_high: Option<f64>,
    /// LAeq of its recording, dB, where it was calibrated.
    pub laeq_db: Option<f64>,
    /// Decay time, seconds, where one was measured: the echo.
    pub decay_s: Option<f64>,
    /// Photos it rests on.
    pub photos: usize,
    /// Minutes that moving there takes; null where the family said it is not possible.
    pub minutes: Option<f64>,
}

/// One corner against the calmest.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CornerDifferenceDoc {
    /// The other corner.
    pub place: String,
    /// Its load less the calmest's, of what both share.
    pub difference: f64,
    /// The interval, wide enough for all comparisons at once.
    pub low: f64,
    /// The interval's upper end.
    pub high: f64,
    /// `busier`, or `no clear difference`.
    pub verdict: String,
    /// What was left out, and why.
    pub notes: Vec<NoteDoc>,
}

/// The times of day of one place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TimesDoc {
    /// The place.
    pub place: String,
    /// Days that were recorded.
    pub days: usize,
    /// Days that the window rests on.
    pub days_compared: usize,
    /// `dB` where all were calibrated alike, else null: then levels of different days have no common zero.
    pub level_unit: Option<String>,
    /// Hour by hour.
    pub hours: Vec<HourDoc>,
    /// The calmest twenty minutes; null where the days have nothing in common.
    pub window: Option<WindowDoc>,
    /// Whether it recurs beyond chance.
    pub is_clear: bool,
    /// The chance of a window as calm as that in days without any calm time.
    pub p: Option<f64>,
    /// The windows that cannot be told from it, joined: from when to when.
    pub as_calm: Vec<SpanDoc>,
    /// The window against today's learning time, where both were recorded.
    pub against_learning: Option<AgainstDoc>,
    /// The days for the picture.
    pub ribbons: Vec<RibbonDoc>,
}

/// An hour of the day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct HourDoc {
    /// 0 to 23.
    pub hour: u32,
    /// Days on which it was heard.
    pub days: usize,
    /// Its rating level less that of the whole recorded day, dB, the mean over its days.
    pub difference_db: f64,
    /// LAeq, where all days have a common zero.
    pub laeq_db: Option<f64>,
    /// Loud events an hour.
    pub events_per_hour: f64,
    /// Share of speech-like or rhythmic fluctuation, 0 to 1.
    pub speech_share: f64,
}

/// A window of twenty minutes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WindowDoc {
    /// `HH:MM`.
    pub from: String,
    /// `HH:MM`.
    pub to: String,
    /// Days on which it was heard.
    pub days: usize,
    /// On how many of them it was calmer than that day's usual.
    pub days_below: usize,
    /// Its level less the usual of the hours compared, dB.
    pub difference_db: f64,
    /// An interval that holds for all windows at once.
    pub low_db: f64,
    /// Its upper end.
    pub high_db: f64,
}

/// From when to when.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SpanDoc {
    /// `HH:MM`.
    pub from: String,
    /// `HH:MM`.
    pub to: String,
}

/// The window against another time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct AgainstDoc {
    /// The other window begins then, `HH:MM`.
    pub from: String,
    /// The proposed window's level less that one's, dB.
    pub difference_db: f64,
    /// An interval that holds for all windows at once.
    pub low_db: f64,
    /// Its upper end.
    pub high_db: f64,
}

/// One recorded day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RibbonDoc {
    /// The day.
    pub date: String,
    /// What recorded it.
    pub device: String,
    /// Whether it counts in the comparison.
    pub counts: bool,
    /// Its blocks: when each begins in minutes after midnight, and its rating level less the day's usual, dB.
    pub blocks: Vec<(u32, f64)>,
}

/// Photos at one hour.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LightDoc {
    /// The place.
    pub place: String,
    /// The hour, 0 to 23; null where no photo's name tells its time.
    pub hour: Option<u32>,
    /// Photos.
    pub photos: usize,
    /// Of them with light gone wrong: blown, dark, glare.
    pub poor: usize,
    /// What was seen of it.
    pub codes: Vec<String>,
}

/// One way to a calmer room.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WayDoc {
    /// The place, if another one.
    pub place: Option<String>,
    /// When, if at another time.
    pub from: Option<String>,
    /// What is tidied there.
    pub ids: Vec<String>,
    /// Minutes in all.
    pub minutes: f64,
    /// The load to be expected.
    pub load_after: f64,
}
