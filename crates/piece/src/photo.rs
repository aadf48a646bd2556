//! Photos kept in the piece's folder.

use crate::PhotoId;

/// A photo beside a reference card.
#[derive(Clone, Debug, PartialEq)]
pub struct Photo {
    /// Stable id.
    pub id: PhotoId,
    /// Path within the piece's folder, with forward slashes: `photos/fronts-dry.jpg`.
    pub file: String,
    /// The light it was taken in, in the user's words: 'daylight'.
    pub light: String,
    /// The card in it, by id, where the user has named it.
    pub card: Option<String>,
    /// Corners of the card given by hand, upright picture pixels, from the outer corner of the first patch round.
    pub corners_px: Option<[[f64; 2]; 4]>,
    /// Free text.
    pub note: String,
}
