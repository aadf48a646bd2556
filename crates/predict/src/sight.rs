//! Which parts are reckoned to meet in sight.

use piece::{Meeting, PartId, Piece};

/// How two parts meet in sight, as it is reckoned with: as entered; where no joint of the piece is entered at all, every part
/// meets every other in another plane.
pub fn meeting(piece: &Piece, a: PartId, b: PartId) -> Option<Meeting> {
    piece.meeting(a, b).or(piece.joints.is_empty().then_some(Meeting::OtherPlanes))
}

/// What is assumed of how the parts meet, in words; none where it is entered, or nothing can meet.
pub fn assumed_meeting(piece: &Piece) -> Option<&'static str> {
    (piece.joints.is_empty() && piece.parts.len() > 1).then_some(
        "no joints are entered, so every part is reckoned to meet every other, in another plane: say which parts meet",
    )
}
