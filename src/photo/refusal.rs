//! What this room refuses, with what to do about it.

/// Why a picture is not measured, or two are not compared.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// No bytes at all.
    #[error("the file is empty")]
    Empty,
    /// HEIC, HEIF or AVIF.
    #[error("the picture is stored as HEIC or AVIF, which is not read here")]
    Heic,
    /// None of the formats that are read.
    #[error("this is not a picture in a format that is read here")]
    UnknownFormat,
    /// The right kind of file, but broken.
    #[error("the {format} picture cannot be read: {cause}")]
    Unreadable {
        /// JPEG, PNG, WebP, GIF or BMP.
        format: &'static str,
        /// What the decoder said.
        cause: String,
    },
    /// The end of the picture is missing.
    #[error("the {format} picture is cut off or damaged: {missing}")]
    CutOff {
        /// JPEG, PNG, WebP, GIF or BMP.
        format: &'static str,
        /// What is missing.
        missing: &'static str,
    },
    /// More pixels than are read.
    #[error("the picture claims {width} × {height} pixels; at most {most} million are read")]
    TooLarge {
        /// Columns claimed.
        width: u32,
        /// Rows claimed.
        height: u32,
        /// Millions of pixels read at most.
        most: u32,
    },
    /// More pixels than its bytes can describe: a damaged header, or a file made to cost memory.
    #[error("the picture claims {width} × {height} pixels, more than its {bytes} bytes can hold of a room")]
    Hollow {
        /// Columns claimed.
        width: u32,
        /// Rows claimed.
        height: u32,
        /// The bytes there are.
        bytes: usize,
    },
    /// Too few pixels to measure anything.
    #[error("the picture has {width} × {height} pixels; its short side must have {least} or more")]
    TooSmall {
        /// Columns.
        width: u32,
        /// Rows.
        height: u32,
        /// Shortest side that is measured.
        least: u32,
    },
    /// One photo without colour, one with.
    #[error("the photo taken {grey} has no colour and the other one has")]
    GreyscaleAgainstColour {
        /// "before" or "after".
        grey: &'static str,
    },
    /// Something drawn or shown on a screen, in a comparison of photos.
    #[error("the picture taken {which} looks like a screenshot or a drawing, not like a photo")]
    Screenshot {
        /// "before" or "after".
        which: &'static str,
    },
    /// A picture could not be written.
    #[error("the picture could not be written: {cause}")]
    NotWritten {
        /// What the encoder said.
        cause: String,
    },
}

impl Refusal {
    /// The fixed word for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Empty => "empty",
            Self::Heic => "heic",
            Self::UnknownFormat | Self::Unreadable { .. } => "unreadable",
            Self::CutOff { .. } => "cut-off",
            Self::TooLarge { .. } | Self::Hollow { .. } => "too-large",
            Self::TooSmall { .. } => "too-small",
            Self::GreyscaleAgainstColour { .. } => "greyscale-against-colour",
            Self::Screenshot { .. } => "screenshot",
            Self::NotWritten { .. } => "not-written",
        }
    }

    /// What to do.
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Empty => "copy the photo again from the phone or camera",
            Self::Heic => {
                "export the photo as JPEG, or set the camera to its most compatible format (JPEG) and take it again"
            }
            Self::UnknownFormat => "give a photo as JPEG, PNG, WebP, GIF or BMP; export it as JPEG if in doubt",
            Self::Unreadable { .. } | Self::Hollow { .. } => {
                "copy the photo again, or open it elsewhere and save it as a new JPEG"
            }
            Self::CutOff { .. } => "copy the photo again from the phone or camera; the copying stopped too early",
            Self::TooLarge { .. } => "save the photo smaller, for example 4000 pixels on the long side",
            Self::TooSmall { .. } => "give the original photo, not its thumbnail",
            Self::GreyscaleAgainstColour { .. } => "take both photos in colour, or both without",
            Self::Screenshot { .. } => "take a photo of the room itself and compare that",
            Self::NotWritten { .. } => "try again; if it stays, report it with the photo's size and format",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Refusal;

    #[test]
    fn a_refused_phone_format_names_itself_and_the_way_out() {
        assert!(Refusal::Heic.to_string().contains("HEIC"));
        assert!(Refusal::Heic.hint().contains("JPEG"));
    }
}
