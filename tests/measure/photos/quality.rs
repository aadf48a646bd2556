//! Three bins of photo quality, by what is known before any colour is judged.
//!
//! The boundaries were set by how many of 66 photos fall into each bin, not by what its intervals hold.

/// Most patches clipped in a good photo; in a fair one.
const CLIPPED: [usize; 2] = [1, 2];
/// Least patch pitch in a good photo, pixels; in a fair one.
const PITCH_PX: [f64; 2] = [120.0, 40.0];

/// How good a photo is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Quality {
    /// Hardly a patch clipped, large patches, sharp.
    Good,
    /// Neither.
    Fair,
    /// Several patches clipped, a thumbnail's patches, or blurred.
    Poor,
}

impl Quality {
    /// All of them.
    pub(crate) const ALL: [Self; 3] = [Self::Good, Self::Fair, Self::Poor];

    /// From the number of clipped patches, the patch pitch and whether the card's edges are blurred.
    pub(crate) fn new(clipped: usize, pitch_px: f64, blurred: bool) -> Self {
        if clipped > CLIPPED[1] || pitch_px < PITCH_PX[1] || blurred {
            Self::Poor
        } else if clipped > CLIPPED[0] || pitch_px < PITCH_PX[0] {
            Self::Fair
        } else {
            Self::Good
        }
    }

    /// In a word.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Fair => "fair",
            Self::Poor => "poor",
        }
    }
}

/// The bins in words.
pub(crate) fn definition() -> String {
    format!(
        "good: ≤ {} patch clipped, pitch ≥ {} px, sharp; poor: > {} clipped, pitch < {} px or blurred; fair: the rest",
        CLIPPED[0], PITCH_PX[0], CLIPPED[1], PITCH_PX[1]
    )
}
