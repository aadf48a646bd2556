//! What can go wrong, each with its way out.

use colour::calibration::CalibrationError;

use crate::layout::LayoutError;

/// Why a photo, a card file or a request could not be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Error {
    /// No bytes at all.
    #[error("the photo is empty (0 bytes): copy it from the camera again")]
    Empty,
    /// The content is of no kind of photo known here.
    #[error("this is {found}, not a photo: name a JPEG, HEIC, PNG, TIFF, WebP, JPEG XL or BMP file")]
    NotAPhoto {
        /// What the content looks like, with its article.
        found: String,
    },
    /// A photo, but of a kind or with a property that cannot be measured from.
    #[error("{what} cannot be measured from: {instead}")]
    Unsupported {
        /// What it is: 'a CMYK JPEG'.
        what: String,
        /// What to do instead.
        instead: String,
    },
    /// The file ends before the picture does.
    #[error("the {kind} is cut off: {detail}; copy it from the camera again")]
    Truncated {
        /// The kind of file: JPEG, PNG and so on.
        kind: &'static str,
        /// What is missing.
        detail: String,
    },
    /// The picture is larger than the limits allow.
    #[error(
        "the {kind} says it is {width_px} × {height_px} pixels; at most {most_megapixels} megapixels can be read: \
         save a smaller copy of the photo"
    )]
    TooLarge {
        /// The kind of file: JPEG, PNG and so on.
        kind: &'static str,
        /// Width as the header states it.
        width_px: u32,
        /// Height as the header states it.
        height_px: u32,
        /// The limit.
        most_megapixels: u32,
    },
    /// The content starts like a photo and then makes no sense.
    #[error("the {kind} is damaged ({why}): copy it from the camera again, or save it anew from a picture program")]
    Damaged {
        /// The kind of file: JPEG, PNG and so on.
        kind: &'static str,
        /// What is wrong with it, in a few words.
        why: String,
    },
    /// A card definition that cannot be used.
    #[error(transparent)]
    Card(#[from] LayoutError),
    /// An edition that the card does not have.
    #[error("the card '{card}' has no edition '{edition}': it has {known}")]
    Edition {
        /// The card's id.
        card: String,
        /// What was asked for.
        edition: String,
        /// The editions it has, listed.
        known: String,
    },
    /// Corners given by hand that span no card.
    #[error("the four corners of the card cannot be used: {0}")]
    Corners(String),
    /// A photo of a board that cannot even the light.
    #[error("the board photo cannot even the light: {0}")]
    Board(String),
    /// The fit of the patches failed.
    #[error(transparent)]
    Fit(#[from] CalibrationError),
    /// The user stopped the job.
    #[error("stopped")]
    Cancelled,
}

/// The result of this crate's functions.
pub type Result<T> = std::result::Result<T, Error>;
