//! Is the photo good enough? A poor one is measured, with a warning that says what to do.
//!
//! The re-blur test for sharpness follows the idea of [CRETE2007]; all thresholds are conventions.

use super::colour::{Linear, Normal};
use super::order::percentile;
use super::plane::{Kernel, Plane, gradient_length};

/// What is wrong with a photo that was measured all the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Warning {
    /// The exposure had to be raised to its limit.
    Dark,
    /// A tenth of the picture or more has no structure for light.
    Blown,
    /// Out of focus, moved, or a dirty lens.
    Blurred,
    /// No colour in the picture.
    Greyscale,
    /// Neighbouring pixels are equal: drawn, or from a screen.
    Screenshot,
    /// Long side below 512 pixels.
    Small,
    /// The first picture of several was measured.
    Animated,
    /// The file's end mark is missing, though the whole picture is there.
    CutOff,
    /// The colour profile could not be used.
    ProfileIgnored,
}

impl Warning {
    /// Every warning.
    pub const ALL: [Self; 9] = [
        Self::Dark,
        Self::Blown,
        Self::Blurred,
        Self::Greyscale,
        Self::Screenshot,
        Self::Small,
        Self::Animated,
        Self::CutOff,
        Self::ProfileIgnored,
    ];

    /// The fixed word for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Dark => "dark",
            Self::Blown => "blown",
            Self::Blurred => "blurred",
            Self::Greyscale => "greyscale",
            Self::Screenshot => "screenshot",
            Self::Small => "small",
            Self::Animated => "animated",
            Self::CutOff => "cut-off",
            Self::ProfileIgnored => "profile-ignored",
        }
    }

    /// What is wrong.
    pub const fn problem(&self) -> &'static str {
        match self {
            Self::Dark => "the photo is very dark",
            Self::Blown => "a large part of the photo is blown out to white",
            Self::Blurred => "the photo is blurred, and blur hides clutter",
            Self::Greyscale => "the photo has no colour, so colour is not measured",
            Self::Screenshot => "this looks like a screenshot or a drawing, not like a photo",
            Self::Small => "the photo is small, less than 512 pixels on its long side",
            Self::Animated => "the file holds several pictures; the first one was measured",
            Self::CutOff => "the end of the file is missing, although the whole picture could be read",
            Self::ProfileIgnored => {
                "the photo's colour profile could not be used, so its colours are only nearly right"
            }
        }
    }

    /// What to do.
    pub const fn advice(&self) -> &'static str {
        match self {
            Self::Dark => "take it again with the light as it is at learning time",
            Self::Blown => "take it again, not against the window or a lamp",
            Self::Blurred => "wipe the lens, hold the phone still and take it again",
            Self::Greyscale => "take it again in colour",
            Self::Screenshot => "take a photo of the room itself",
            Self::Small => "give the original photo, not a thumbnail or a copy from a chat",
            Self::Animated => "give a single photo",
            Self::CutOff => "copy the photo again",
            Self::ProfileIgnored => "export the photo as an ordinary (sRGB) JPEG",
        }
    }

    /// What is wrong and what to do.
    pub fn text(&self) -> String {
        format!("{}; {}", self.problem(), self.advice())
    }

    /// Whether the figures of such a photo are doubted twice as much.
    pub const fn widens_doubt(&self) -> bool {
        matches!(self, Self::Dark | Self::Blown | Self::Blurred | Self::Small)
    }
}

/// Dark: the 90th percentile of Y below this.
const DARK: f64 = 0.125;
/// Blown: more than this share …
const BLOWN_SHARE: f64 = 0.10;
/// … of Y at this or above.
const BLOWN_LEVEL: f32 = 0.97;
/// Blurred: the strongest edges keep more than this share under a further blur.
const REBLUR: f64 = 0.70;
/// Sharpness is not judged when the strongest edges are weaker than this.
const FAINT: f64 = 1.0;
/// Which edges are "the strongest".
const STRONGEST: f64 = 0.998;
/// Greyscale: the 99th percentile of chroma below this.
const COLOURLESS: f64 = 3.0;
const COLOURLESS_SHARE: f64 = 0.99;
/// Screenshot: more than this share …
const EQUAL_SHARE: f64 = 0.85;
/// … of pixels within this of their right neighbour.
const EQUAL: f32 = 1e-4;

/// The warnings that the picture itself gives (those of its file come from reading it).
pub(super) fn judged(picture: &Linear, normal: &Normal, smooth_lightness: &Plane, chroma: &[f32]) -> Vec<Warning> {
    let mut warnings = Vec::new();
    if normal.p90 < DARK {
        warnings.push(Warning::Dark);
    }
    if blown_share(picture) > BLOWN_SHARE {
        warnings.push(Warning::Blown);
    }
    if reblur_ratio(smooth_lightness).is_some_and(|ratio| ratio > REBLUR) {
        warnings.push(Warning::Blurred);
    }
    if percentile(&mut chroma.to_vec(), COLOURLESS_SHARE) < COLOURLESS {
        warnings.push(Warning::Greyscale);
    }
    if is_drawn(picture) {
        warnings.push(Warning::Screenshot);
    }
    warnings
}

fn blown_share(picture: &Linear) -> f64 {
    let luminance = picture.luminance();
    let blown = luminance.iter().filter(|&&y| y >= BLOWN_LEVEL).count();
    blown as f64 / luminance.len().max(1) as f64
}

/// How much of its strongest edges a picture keeps when it is blurred once more; a sharp one loses about half.
/// `None` when there are no edges to judge by.
pub(super) fn reblur_ratio(smooth_lightness: &Plane) -> Option<f64> {
    let strongest = |plane: &Plane| percentile(&mut gradient_length(&[plane]).samples().to_vec(), STRONGEST);
    let before = strongest(smooth_lightness);
    (before >= FAINT).then(|| strongest(&smooth_lightness.blurred(&Kernel::gaussian(2))) / before)
}

/// Whether a picture is drawn or from a screen.
pub(super) fn is_drawn(picture: &Linear) -> bool {
    equal_neighbours(picture) > EQUAL_SHARE
}

fn equal_neighbours(picture: &Linear) -> f64 {
    let width = picture.width();
    if width < 2 {
        return 0.0;
    }
    let mut equal = 0usize;
    for y in 0..picture.height() {
        let [red, green, blue] = picture.channels.each_ref().map(|plane| plane.row(y).windows(2));
        equal += red
            .zip(green)
            .zip(blue)
            .filter(|((r, g), b)| [r, g, b].iter().all(|pair| (pair[1] - pair[0]).abs() <= EQUAL))
            .count();
    }
    equal as f64 / ((width - 1) * picture.height()) as f64
}

#[cfg(test)]
mod tests {
    use super::Warning;

    #[test]
    fn every_warning_says_what_to_do_and_has_its_own_code() {
        for (i, warning) in Warning::ALL.iter().enumerate() {
            assert!(warning.text().contains("; "));
            assert!(Warning::ALL[..i].iter().all(|other| other.code() != warning.code()));
        }
    }
}
