//! What cannot be read, and what to do about it.

use crate::photo;

/// Why a photo gives no sheet.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// Not a picture that can be read.
    #[error("{0}")]
    Picture(#[from] photo::Refusal),
    /// No corner mark, or one.
    #[error("there is no sheet of this program in the picture")]
    NoSheet,
    /// A screenshot.
    #[error("this is a screenshot, not a photo of a sheet of paper")]
    Screenshot,
    /// Two corner marks.
    #[error("only half of a sheet is in the picture: two of its four corner marks are missing")]
    Half,
    /// Three corner marks.
    #[error("one corner of the sheet cannot be seen: it is folded, covered or outside the picture")]
    Corner,
    /// All corners, but the dots at the foot are not readable.
    #[error("the sheet is there, but the dots at its foot, which say which sheet it is, cannot be read")]
    Dots,
    /// More than one sheet.
    #[error("more than one sheet is in the picture")]
    Several,
    /// A picture that shows left as right.
    #[error("the picture is mirrored: it shows left as right")]
    Mirrored,
    /// The edges do not lie where the corners say.
    #[error("the sheet is bent too much to be read")]
    Bent,
}

impl Fault {
    /// The fixed word for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Picture(refusal) => refusal.code(),
            Self::NoSheet => "no-sheet",
            Self::Screenshot => "screenshot",
            Self::Half => "half-a-sheet",
            Self::Corner => "corner-hidden",
            Self::Dots => "dots-unreadable",
            Self::Several => "several-sheets",
            Self::Mirrored => "mirrored",
            Self::Bent => "bent",
        }
    }

    /// What to do.
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Picture(refusal) => refusal.hint(),
            Self::NoSheet => {
                "photograph a sheet that this program printed: sharp, in good light, all four corner marks in the picture, filling most of it"
            }
            Self::Screenshot => "print the sheet, fill it in with a pen, and photograph the paper",
            Self::Half => "step back until the whole sheet is in the picture, and take it again",
            Self::Corner => "lay the sheet flat, all four corner marks free and in the picture, and take it again",
            Self::Dots => "more light, closer, and hold the phone still; wipe the lens, and take it again",
            Self::Several => "take one picture of each sheet, the others out of sight",
            Self::Mirrored => "use the camera at the back of the phone, or switch its mirroring off, and take it again",
            Self::Bent => "lay the sheet flat on a table, smooth it out, and take it again",
        }
    }
}
