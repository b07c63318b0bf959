//! `stillroom.photo/1`, `stillroom.photos/1`, `stillroom.photo-compare/1`: how busy pictures are, and whether that changed.

use serde::{Deserialize, Serialize};

use super::{Document, NoteDoc};

/// One photo.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PhotoDoc {
    /// What was read.
    pub photo: PhotoSourceDoc,
    /// The measures.
    pub measures: MeasuresDoc,
    /// 0 to 100; a convention.
    pub busyness: f64,
    /// Its standard deviation between retakes from one spot.
    pub busyness_sd: f64,
    /// Where the picture is busiest, the busiest first.
    pub busy_places: Vec<BusyPlaceDoc>,
    /// How good the photo is.
    pub quality: PhotoQualityDoc,
    /// The pull of this photo by the shipped scale.
    pub pull: f64,
}

impl Document for PhotoDoc {
    const SCHEMA: &'static str = "stillroom.photo/1";
}

/// What was read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PhotoSourceDoc {
    /// The file's name without its folder.
    pub name: String,
    /// Pixels across, after orientation.
    pub width: u32,
    /// Pixels down, after orientation.
    pub height: u32,
}

/// The measures of a photo.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct MeasuresDoc {
    /// Share of pixels on an edge.
    pub edge_share: f64,
    /// Local spread of colour over three scales.
    pub variability: f64,
    /// Regions of one colour.
    pub components: u32,
    /// Share of strongly coloured pixels.
    pub chroma_share: f64,
    /// Hasler and Süsstrunk's colourfulness; shown, not scored.
    pub colourfulness: f64,
    /// 0 to 100.
    pub clutter: f64,
    /// 0 to 100.
    pub colour: f64,
}

/// A part of the photo where the picture is busiest, in fractions of width and height.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BusyPlaceDoc {
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// Its share of the picture's busyness.
    pub share: f64,
    /// Checklist items that could explain it, by where it lies: a guess to look at, not a finding.
    #[serde(default)]
    pub could_be: Vec<String>,
    /// Marked as what must stay, such as a picture schedule.
    #[serde(default)]
    pub stays: bool,
}

/// How good the photo is.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct PhotoQualityDoc {
    /// What to mind.
    pub warnings: Vec<NoteDoc>,
}

/// Several photos of one place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PhotosDoc {
    /// Each of them.
    pub photos: Vec<PhotoDoc>,
    /// Of the mean pull.
    pub busyness: f64,
    /// Largest minus smallest busyness.
    pub spread: f64,
    /// The mean pull.
    pub pull: f64,
}

impl Document for PhotosDoc {
    const SCHEMA: &'static str = "stillroom.photos/1";
}

/// Two photos of one place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PhotoCompareDoc {
    /// Of the photo before.
    pub busyness_before: f64,
    /// Of the photo after.
    pub busyness_after: f64,
    /// After minus before.
    pub difference: f64,
    /// Lower end of its 95 % interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// `less busy`, `busier` or `no clear change`.
    pub verdict: String,
    /// The part seen in both, where the views overlap.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub shared_view: Option<SharedViewDoc>,
    /// What to mind.
    pub warnings: Vec<NoteDoc>,
}

impl Document for PhotoCompareDoc {
    const SCHEMA: &'static str = "stillroom.photo-compare/1";
}

/// The part of a room seen in both photos.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct SharedViewDoc {
    /// Its busyness before.
    pub before: f64,
    /// And after.
    pub after: f64,
    /// After minus before.
    pub difference: f64,
}
