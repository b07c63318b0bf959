//! Two photos of one place: did it change?
//!
//! `difference = after − before`; `low`, `high = difference ± 1.96·√(sd² + sd²)`. Below 5 points, or when the interval holds 0,
//! there is no clear change (convention: that is about what two things of twenty make).

use super::colour::lab;
use super::light;
use super::measures::analysed;
use super::overlap::{overlap, pixels};
use super::{Measured, Refusal, Warning};

/// What a comparison says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// The room looks less busy.
    LessBusy,
    /// The room looks busier.
    Busier,
    /// No difference that could not be chance.
    NoClearChange,
}

impl Verdict {
    /// The words used in files and on screens.
    pub const fn words(self) -> &'static str {
        match self {
            Self::LessBusy => "less busy",
            Self::Busier => "busier",
            Self::NoClearChange => "no clear change",
        }
    }
}

/// What may spoil a comparison that was made all the same.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Caution {
    /// The pictures have different proportions.
    Shape,
    /// The pictures have different sizes.
    Size,
    /// The photos were zoomed differently.
    FocalLength {
        /// Millimetres as on 35 mm film.
        before_mm: u16,
        /// Millimetres as on 35 mm film.
        after_mm: u16,
    },
    /// Neither photo has colour.
    NoColour,
    /// The light differs more than the white balance evens out for certain.
    Light {
        /// ΔE₀₀ of white in the two lights.
        difference: f64,
    },
    /// One of the photos is poor.
    Poor {
        /// "before" or "after".
        which: &'static str,
        /// What is wrong with it.
        warning: Warning,
    },
}

impl Caution {
    /// The fixed word for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Shape => "different-shape",
            Self::Size => "different-size",
            Self::FocalLength { .. } => "different-zoom",
            Self::NoColour => "no-colour",
            Self::Light { .. } => "different-light",
            Self::Poor { .. } => "poor-photo",
        }
    }

    /// What is wrong and what to do.
    pub fn text(&self) -> String {
        const SAME: &str = "take both from the same place, with the phone held the same way";
        match self {
            Self::Shape => format!("the two photos have different proportions; {SAME}"),
            Self::Size => format!("the two photos have different sizes; {SAME}, with the same camera"),
            Self::FocalLength { before_mm, after_mm } => {
                format!("the photos were zoomed differently ({before_mm} mm and {after_mm} mm); {SAME}, without zoom")
            }
            Self::NoColour => "neither photo has colour, so only clutter is compared; take both in colour".into(),
            Self::Light { difference } => format!(
                "the light of the two photos differs strongly (colour difference {difference:.0}); take both at the same time of day"
            ),
            Self::Poor { which, warning } => format!("the photo taken {which}: {}", warning.text()),
        }
    }
}

/// The part of the room that both photos show, measured in each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SharedView {
    /// Busyness of the shared part before.
    pub before: f64,
    /// Busyness of the shared part after.
    pub after: f64,
    /// After minus before.
    pub difference: f64,
    /// The share of the photo before that both show, 0–1.
    pub share: f64,
}

/// Two photos compared.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// Busyness before.
    pub before: f64,
    /// Busyness after.
    pub after: f64,
    /// After minus before.
    pub difference: f64,
    /// Lower end of the 95 % interval.
    pub low: f64,
    /// Upper end of the 95 % interval.
    pub high: f64,
    /// What that means.
    pub verdict: Verdict,
    /// What may spoil it.
    pub cautions: Vec<Caution>,
    /// The part that both show, where it was found for certain.
    pub shared_view: Option<SharedView>,
}

/// The normal deviate of a 95 % interval.
const DEVIATE: f64 = 1.96;
/// A difference below this is not called a change (convention).
const CLEAR: f64 = 5.0;
/// Proportions that differ by more than this are different (convention; a pixel's rounding stays below).
const SHAPE: f64 = 0.02;
/// Focal lengths that differ by more than this are different (convention).
const ZOOM: f64 = 0.05;
/// Light that differs by more than this may leave a colour over (convention).
const LIGHT: f64 = 20.0;

/// Compares two measured photos.
pub fn compare(before: &Measured, after: &Measured) -> Result<Comparison, Refusal> {
    for (which, photo) in [("before", before), ("after", after)] {
        if photo.has(Warning::Screenshot) {
            return Err(Refusal::Screenshot { which });
        }
    }
    match (before.has(Warning::Greyscale), after.has(Warning::Greyscale)) {
        (true, false) => return Err(Refusal::GreyscaleAgainstColour { grey: "before" }),
        (false, true) => return Err(Refusal::GreyscaleAgainstColour { grey: "after" }),
        _ => {}
    }
    let difference = after.busyness - before.busyness;
    let half = DEVIATE * before.busyness_sd.hypot(after.busyness_sd);
    let (low, high) = (difference - half, difference + half);
    Ok(Comparison {
        before: before.busyness,
        after: after.busyness,
        difference,
        low,
        high,
        verdict: verdict(difference, low, high),
        cautions: cautions(before, after),
        shared_view: shared_view(before, after),
    })
}

fn verdict(difference: f64, low: f64, high: f64) -> Verdict {
    if difference.abs() < CLEAR || (low <= 0.0 && high >= 0.0) {
        Verdict::NoClearChange
    } else if difference > 0.0 {
        Verdict::Busier
    } else {
        Verdict::LessBusy
    }
}

fn cautions(before: &Measured, after: &Measured) -> Vec<Caution> {
    let mut cautions = Vec::new();
    let shape = |photo: &Measured| f64::from(photo.width) / f64::from(photo.height.max(1));
    if (shape(before) / shape(after) - 1.0).abs() > SHAPE {
        cautions.push(Caution::Shape);
    } else if (before.width, before.height) != (after.width, after.height) {
        cautions.push(Caution::Size);
    }
    if let (Some(before_mm), Some(after_mm)) = (before.focal_mm, after.focal_mm)
        && (f64::from(before_mm) / f64::from(after_mm) - 1.0).abs() > ZOOM
    {
        cautions.push(Caution::FocalLength { before_mm, after_mm });
    }
    if before.has(Warning::Greyscale) && after.has(Warning::Greyscale) {
        cautions.push(Caution::NoColour);
    }
    let difference = light::difference(before.light, after.light);
    if difference > LIGHT {
        cautions.push(Caution::Light { difference });
    }
    for (which, photo) in [("before", before), ("after", after)] {
        let poor = photo.warnings.iter().filter(|warning| warning.widens_doubt());
        cautions.extend(poor.map(|&warning| Caution::Poor { which, warning }));
    }
    cautions
}

fn shared_view(before: &Measured, after: &Measured) -> Option<SharedView> {
    let lightness = |photo: &Measured| {
        let [lightness, ..] = lab(&photo.working, photo.factors);
        lightness
    };
    let overlap = overlap(&lightness(before), &lightness(after))?;
    let busyness = |photo: &Measured, part: [f64; 4]| {
        let [x, y, width, height] = pixels(part, photo.working.width(), photo.working.height());
        analysed(&photo.working.cropped(x, y, width, height)).measures.busyness()
    };
    let (was, is) = (busyness(before, overlap.before), busyness(after, overlap.after));
    Some(SharedView { before: was, after: is, difference: is - was, share: overlap.before[2] * overlap.before[3] })
}
