//! How a reading of a photo was made, as it stands with the reading in the piece's file.

use piece::PhotoId;

const SPOTS: &str = "spots left out";
const EVENED: &str = "light evened by ";

/// What the user chose for the reading of a region.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Made {
    /// The light and dark spots of the region were left out of its colour.
    pub spots_left_out: bool,
    /// The photo of a plain board that evened the light.
    pub board: Option<PhotoId>,
}

impl Made {
    /// From a reading's method.
    pub fn of(method: &str) -> Self {
        let mut made = Self::default();
        for words in method.split(", ").skip(1) {
            made.spots_left_out |= words == SPOTS;
            made.board = words.strip_prefix(EVENED).and_then(|id| id.parse().ok()).or(made.board);
        }
        made
    }

    /// The method as it is written with a reading: `tonewright-read 1, spots left out, light evened by f3`.
    pub fn method(self) -> String {
        let spots = self.spots_left_out.then(|| SPOTS.to_owned());
        let board = self.board.map(|id| format!("{EVENED}{id}"));
        [Some(card::METHOD.to_owned()), spots, board].into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_chosen_is_read_back_from_the_method() {
        for spots_left_out in [false, true] {
            for board in [None, Some(PhotoId(3))] {
                let made = Made { spots_left_out, board };
                assert_eq!(Made::of(&made.method()), made, "{}", made.method());
            }
        }
        assert_eq!(Made::of("another method, light evened by the sun"), Made::default());
        assert_eq!(Made::of(""), Made::default());
    }
}
