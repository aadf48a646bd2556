//! The colour that one part is to reach.

use colour::Lab;
use piece::{MatchSample, Meeting, Part, Piece};

use crate::{
    Error, Result,
    draws::{COUNT, geometric_median},
    lessons::Lessons,
    look::Look,
    outcome::Start,
    sight::meeting,
    target::match_target,
};

/// What one part is to reach.
pub(super) struct Aim {
    pub(super) words: String,
    pub(super) draws: Vec<Lab>,
    pub(super) tolerance_de00: f64,
}

/// The match sample, at the tolerance of it, or of the joint where it is a part that this one meets and that is tighter; for
/// 'all alike', the middle of the parts it meets (of all others, where it meets none) as they will look left natural, at the
/// tightest tolerance among them.
pub(super) fn aim(piece: &Piece, lessons: &Lessons, part: &Part, look: Look) -> Result<Aim> {
    if let Some(target) = match_target(piece, lessons, look)? {
        let met = match piece.match_sample {
            MatchSample::Part(other) => meeting(piece, part.id, other).map(|meeting| (other, meeting)),
            _ => None,
        };
        let of_joint = met.map(|(other, meeting)| piece.tolerances.of(part.id, other, meeting));
        let tolerance_de00 = of_joint.unwrap_or(f64::INFINITY).min(piece.tolerances.match_sample_de00);
        return Ok(Aim { words: target.words, draws: target.draws, tolerance_de00 });
    }
    let others = |meeting_only: bool| -> Vec<(f64, Start)> {
        let others = piece.parts.iter().filter(|other| other.id != part.id);
        others
            .filter_map(|other| {
                let meeting = piece.meeting(part.id, other.id);
                let wanted = meeting.is_some() || !meeting_only;
                let tolerance = piece.tolerances.of(part.id, other.id, meeting.unwrap_or(Meeting::OtherPlanes));
                wanted.then(|| Start::of(piece, lessons, other, look)).flatten().map(|start| (tolerance, start))
            })
            .collect()
    };
    let mut met = others(true);
    let mut words = "all alike: the parts it meets, left natural";
    if met.is_empty() {
        met = others(false);
        words = "all alike: all other parts, left natural";
    }
    if met.is_empty() {
        return Err(Error::NoMatchSample("no other part has a reading; read one, or choose a match sample".to_owned()));
    }
    let draws = (0..COUNT)
        .map(|draw| geometric_median(&met.iter().map(|(_, start)| start.natural()[draw]).collect::<Vec<_>>()))
        .collect();
    let tolerance_de00 = met.iter().map(|(tolerance, _)| *tolerance).fold(f64::INFINITY, f64::min);
    Ok(Aim { words: words.to_owned(), draws, tolerance_de00 })
}
