//! The pair on show: its two halves, the sentence about them, and the three differences.

use colour::lch_from_lab;
use piece::{PartId, Piece, Surface};
use predict::{Interval, PairRow, Verdict};

use super::{Bar, Half, Pair, kind_in};
use crate::{
    Workbench,
    view::{Amount, mean, part_name},
    words,
};

/// Crops edge to edge, at most: of more each is too narrow to be judged.
const MOST_CROPS: usize = 6;

impl Workbench {
    pub(super) fn pair(&self, piece: &Piece, row: &PairRow, turned: bool) -> Pair {
        let found = &row.found;
        // The row says what b is against a; the sentence says what the left is against the right.
        let (left, right, sign) = if turned { (row.b, row.a, 1.0) } else { (row.a, row.b, -1.0) };
        let signed = |i: Interval| {
            let ends = [i.low * sign, i.high * sign];
            Interval { mean: i.mean * sign, low: ends[0].min(ends[1]), high: ends[0].max(ends[1]) }
        };
        let [dl, dc, dh] = [signed(found.dl), signed(found.dc), signed(found.dh)];
        let kind = kind_in(&found.state);
        let against = self.colour_of(Surface::Part(right), kind).map(|lab| lch_from_lab(lab).2).unwrap_or(70.0);
        let direction = predict::directions([dl, dc, dh], found.difference.weights, against);
        let name = words::capital(&part_name(piece, left));
        let other = part_name(piece, right);
        let first = match (direction.as_str(), found.verdict) {
            ("", Verdict::NoVisibleDifference) => format!("{name} and {other} look alike."),
            ("", Verdict::CannotTellYet) => format!("{name} and {other} may differ."),
            ("", Verdict::Slight) if found.de00.may_be_none() => {
                format!("{name} and {other} may be alike, or differ a little.")
            }
            ("", _) => format!("{name} and {other} differ; which way, more readings would tell."),
            (direction, _) if self.chosen.len() > 2 => format!("{name} beside {other}: {direction}."),
            (direction, _) => format!("{name}: {direction}."),
        };
        let (left_half, right_half) = (self.half(piece, left, kind), self.half(piece, right, kind));
        let hue = predict::hue_words(against);
        Pair {
            crops: self.crops(piece, &left_half, &right_half, kind),
            left: left_half,
            right: right_half,
            sentence: [first, found.verdict.seen().to_owned()],
            de00: Amount::de00(found.de00),
            tolerance: format!("a match is {} or less", words::number(found.tolerance_de00)),
            bars: [bar("ΔL*", dl, ["darker", "lighter"]), bar("ΔC*", dc, ["greyer", "stronger"]), bar("ΔH*", dh, hue)],
            one_photo: self.one_photo(left, right, kind),
            carried: found.carried.clone(),
        }
    }

    /// The two, or all that are chosen and were read: the one the sentence is about stands left.
    fn crops(&self, piece: &Piece, left: &Half, right: &Half, kind: &str) -> Vec<Half> {
        let between = self.chosen.iter().filter(|part| **part != left.part && **part != right.part);
        let between =
            between.filter(|part| self.chosen.len() > 2 && self.colour_of(Surface::Part(**part), kind).is_some());
        let mut crops = vec![left.clone()];
        crops.extend(between.take(MOST_CROPS - 2).map(|part| self.half(piece, *part, kind)));
        crops.push(right.clone());
        crops
    }

    fn half(&self, piece: &Piece, part: PartId, kind: &str) -> Half {
        let of = Surface::Part(part);
        let readings = self.readings(of, kind);
        let own = mean(&readings);
        // Carried across: shown in the state it was read in.
        let other = || piece.readings.iter().find(|r| r.of == of).map(|r| (r.lab, words::state(&r.state)));
        let (lab, state) = match (own, readings.last()) {
            (Some(lab), Some(reading)) => (lab, words::state(&reading.state)),
            _ => other().unwrap_or((colour::Lab::new(50.0, 0.0, 0.0), "not read".into())),
        };
        Half { part, name: part_name(piece, part), state, swatch: self.swatch(of, lab) }
    }

    fn one_photo(&self, a: PartId, b: PartId, kind: &str) -> bool {
        let photo = |part| {
            self.readings(Surface::Part(part), kind).iter().find_map(|r| match r.source {
                piece::Source::Photo { photo, .. } => Some(photo),
                _ => None,
            })
        };
        photo(a).is_some() && photo(a) == photo(b)
    }
}

fn bar(name: &'static str, i: Interval, ends: [&'static str; 2]) -> Bar {
    Bar { name, number: words::number(i.mean), plus_minus: words::plus_minus(i), value: [i.mean, i.low, i.high], ends }
}
