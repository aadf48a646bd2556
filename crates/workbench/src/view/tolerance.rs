//! What counts as a match, in the line of the top bar.

use piece::{MatchSample, Piece};

use crate::{Workbench, words::number};

impl Workbench {
    /// The tolerances that the open piece is judged by: to the match sample; where all are to be alike, between the parts
    /// that meet.
    pub fn tolerance_line(&self) -> String {
        self.piece().map(|piece| line(piece)).unwrap_or_default()
    }
}

fn line(piece: &Piece) -> String {
    let tolerances = &piece.tolerances;
    if piece.match_sample != MatchSample::AllAlike {
        return format!("{} to the match", number(tolerances.match_sample_de00));
    }
    let ids: Vec<_> = piece.parts.iter().map(|part| part.id).collect();
    let pairs = ids.iter().enumerate().flat_map(|(at, a)| ids[at + 1..].iter().map(move |b| (*a, *b)));
    let met = pairs.filter_map(|(a, b)| predict::sight::meeting(piece, a, b).map(|how| tolerances.of(a, b, how)));
    let mut of_pairs: Vec<f64> = met.collect();
    if of_pairs.is_empty() {
        of_pairs = vec![tolerances.same_plane_de00, tolerances.fronts_de00, tolerances.other_planes_de00];
    }
    let [low, high] = [f64::min, f64::max].map(|which| of_pairs.iter().copied().reduce(which).unwrap_or_default());
    match (number(low), number(high)) {
        (low, high) if low == high => format!("{low} between parts"),
        (low, high) => format!("{low}–{high} between parts"),
    }
}

#[cfg(test)]
mod tests {
    use piece::{MatchSample, PartId};

    use super::line;
    use crate::sample::oak_chest;

    /// The fronts of the chest meet as fronts, the carcass meets them in other planes; nothing is there to match.
    #[test]
    fn a_match_is_named_where_there_is_one() {
        let mut piece = oak_chest();
        piece.tolerances.fronts_de00 = 2.0;
        piece.tolerances.other_planes_de00 = 3.5;
        piece.match_sample = MatchSample::AllAlike;
        assert_eq!(line(&piece), "2.0–3.5 between parts");
        piece.joints.clear();
        assert_eq!(line(&piece), "3.5 between parts");
        piece.match_sample = MatchSample::Part(PartId(1));
        assert_eq!(line(&piece), format!("{:.1} to the match", piece.tolerances.match_sample_de00));
    }
}
