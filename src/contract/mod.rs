//! Wire forms: one struct a schema, for JSON on standard output and for records on disk.
//!
//! The only room that derives `Serialize`. A stored form is only ever added to; changing the meaning of a field
//! needs a new version number. docs/FORMATS.md describes every form.

mod agreement;
mod audit;
mod calm;
mod case_view;
mod demo;
mod device;
mod evidence;
mod form;
mod keeping;
mod ladder;
mod lists;
mod paper;
mod photo;
mod practice;
mod record;
mod record_kinds;
mod record_practice;
mod record_quick;
mod record_read;
mod refusal;
mod review;
mod score;
mod sound;
mod walk;

pub use agreement::{AgreedItemDoc, AgreementDoc, AnswerSdDoc, RetrainDoc};
pub use audit::{
    AuditDoc, ChannelDoc, ChannelsDoc, CompareDoc, CompareItemDoc, DisagreementDoc, MovesDoc, RecheckDoc,
    SensitivityDoc, ShareDoc,
};
pub use calm::{
    AgainstDoc, CornerDifferenceDoc, CornerDoc, DaySoundBody, HourDoc, LightDoc, MovingBody, PossibleBody, RibbonDoc,
    SoundBlockBody, SpanDoc, TakenBody, TimesDoc, WayDoc, WhereDoc, WindowDoc,
};
pub use case_view::{CaseDoc, PlaceDoc};
pub use demo::DemoDoc;
pub use device::{DeviceDoc, DevicesDoc, ProfileDoc};
pub use evidence::{
    EvidenceDoc, ForecastDoc, ForecastRecordDoc, ForecastsDoc, LearnedDoc, LearnedScaleDoc, NextDoc, PooledPullDoc,
    ProbeDoc,
};
pub use form::{FormDoc, FormEntryDoc, FormsDoc};
pub use keeping::{
    AddedDoc, CarriedDoc, CaseCheckDoc, CaseloadDoc, CaseloadEntryDoc, CollectDoc, CollectedDoc, ErasedDoc, ExportDoc,
    ExportedDoc, FindingDoc, KindCountDoc, LastDecisionDoc, MergeDoc, PACK_FORMAT, PackFileDoc, PackListDoc, PackedDoc,
    UnpackedDoc,
};
pub use ladder::{
    BeyondDoc, CardDoc, DrawDoc, LadderDoc, LearnedPullDoc, MaintenanceDoc, ObstacleDoc, RungDoc, RungTargetDoc,
};
pub use lists::{
    ChecklistCheckDoc, ChecklistDoc, ChecklistEntryDoc, ChecklistsDoc, ItemDoc, ScaleDoc, ScaleTableDoc, WrittenDoc,
};
pub use paper::{DoubtDoc, PaperDoc, SheetReadDoc};
pub use photo::{
    BusyPlaceDoc, MeasuresDoc, PhotoCompareDoc, PhotoDoc, PhotoQualityDoc, PhotoSourceDoc, PhotosDoc, SharedViewDoc,
};
pub use practice::{
    CriterionDoc, DecidedDoc, DoseDoc, GuidanceDoc, NeedDoc, ReinforcerDoc, ReinforcerItemDoc, SampleDoc, ScreenDayDoc,
    ScreensDoc, SessionExportDoc, SessionLineDoc, SessionsDoc, SlotDoc, SmallerDoc, TroubleLookDoc, TroubleshootDoc,
};
pub use record::{
    AuditBody, ChildBody, LadderBody, LadderSettings, RECORD_FORMAT, RECORD_KINDS, RecordBody, RecordDoc,
    RecordEntryDoc, RecordsDoc, SessionBody, TaskBody, UnreadableDoc,
};
pub use record_kinds::{
    AnswersBody, CorrectionBody, DecisionBody, NoteBody, PlaceBody, PreferenceBody, PreferenceItemBody, ReadingBody,
    ScreenTimeBody, SheetBody,
};
pub use record_practice::{
    CriterionBody, DayPlanBody, DetailsBody, ForecastBody, NeedBody, ObservationBody, PromptsBody, SlotBody,
};
pub use record_read::{RecordFault, read_record};
pub use refusal::RefusalDoc;
pub use review::{BaselineDoc, ChancesDoc, ReviewDoc, SlopeDoc, StatisticsDoc, ToleranceDoc};
pub use score::{ScoreDoc, ScoreItemDoc, SurfaceDoc};
pub use sound::{
    BandDoc, BandHistoryDoc, CalibrationDoc, ChairDoc, ChangesDoc, CriteriaDoc, DecayBandDoc, DecayCurveDoc, DecayDoc,
    LevelsDoc, MarginDoc, SoundDeviceDoc, SoundDoc, SoundQualityDoc, SoundSourceDoc, TargetDoc,
};

pub use walk::{WALK_FORMAT, WalkDoc};

use serde::{Deserialize, Serialize};

/// A form that names its schema.
pub trait Document: Serialize {
    /// The schema's name and version, such as `stillroom.audit/1`.
    const SCHEMA: &'static str;
}

/// A code for programs and a sentence for people: a warning, a caution, a reason.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NoteDoc {
    /// The code, fixed for ever.
    pub code: String,
    /// What it means here and what to do.
    pub text: String,
}

impl NoteDoc {
    /// A note of that code and text.
    pub fn new(code: impl Into<String>, text: impl Into<String>) -> Self {
        Self { code: code.into(), text: text.into() }
    }
}

/// One JSON document, `"schema"` first, numbers unrounded, with a final line break.
pub fn json<T: Document>(body: &T) -> String {
    #[derive(Serialize)]
    struct Named<'a, T> {
        schema: &'static str,
        #[serde(flatten)]
        body: &'a T,
    }
    // A document of plain structs with string keys has no way to fail to serialise.
    serde_json::to_string_pretty(&Named { schema: T::SCHEMA, body }).map_or_else(|_| String::new(), |text| text + "\n")
}
