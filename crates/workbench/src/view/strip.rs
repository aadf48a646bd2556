//! The parts strip: every part's own wood on a scale of lightness, in one state.

use piece::{PartId, Surface};

use super::Swatch;
use crate::{Workbench, words};

/// The states a strip can stand in, the likest to the finished look first.
const KINDS: [&str; 6] = ["topcoated", "spirit-wet", "sealed", "bare dry", "colour dry", "washcoated"];

/// The strip.
#[derive(Clone, Debug, Default)]
pub struct Strip {
    /// The state all crops are in.
    pub state: String,
    /// The parts placed.
    pub items: Vec<Item>,
    /// L* of the match sample in that state.
    pub match_l: Option<f64>,
    /// Parts that are not placed: one line each.
    pub unplaced: Vec<String>,
    /// What stands in an empty strip.
    pub empty: Option<&'static str>,
}

/// A part on the strip.
#[derive(Clone, Debug)]
pub struct Item {
    /// The part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// Its L* in the strip's state.
    pub l: f64,
    /// Whether it is chosen.
    pub chosen: bool,
    /// Its wood.
    pub swatch: Swatch,
}

impl Workbench {
    /// The parts strip.
    pub fn strip(&self) -> Strip {
        let Some(piece) = self.piece().filter(|piece| !piece.parts.is_empty()) else {
            return Strip { empty: Some("Your parts will stand here, lightest at the top."), ..Strip::default() };
        };
        let kind = self.strip_state();
        let mut strip =
            Strip { state: kind.into(), match_l: self.match_colour(kind).map(|(lab, ..)| lab.l), ..Strip::default() };
        let mut missing: Vec<(String, String)> = Vec::new();
        for part in &piece.parts {
            let of = Surface::Part(part.id);
            match self.colour_of(of, kind) {
                Some(lab) => strip.items.push(Item {
                    part: part.id,
                    name: part.name.clone(),
                    l: lab.l,
                    chosen: self.chosen.contains(&part.id),
                    swatch: self.swatch(of, lab),
                }),
                None => {
                    let other = KINDS.iter().find(|other| self.colour_of(of, other).is_some());
                    missing.push((
                        other.map_or_else(|| "not read yet".into(), |o| format!("read {o}")),
                        part.name.clone(),
                    ));
                }
            }
        }
        strip.unplaced = in_lines(missing);
        if strip.items.is_empty() {
            strip.empty = Some("Read the parts from photos and they stand here, lightest at the top.");
            strip.state = String::new();
        }
        strip
    }

    /// The state that most parts are read in; of those, the likest to the finished look.
    pub(crate) fn strip_state(&self) -> &'static str {
        let Some(piece) = self.piece() else { return KINDS[1] };
        let count = |kind: &str| {
            piece.parts.iter().filter(|part| self.colour_of(Surface::Part(part.id), kind).is_some()).count()
        };
        KINDS.into_iter().rev().max_by_key(|kind| count(kind)).unwrap_or(KINDS[1])
    }
}

/// `carcass not placed: read bare dry`, parts of one reason together.
fn in_lines(mut missing: Vec<(String, String)>) -> Vec<String> {
    missing.sort_by(|a, b| a.0.cmp(&b.0));
    missing
        .chunk_by(|a, b| a.0 == b.0)
        .map(|group| {
            let names: Vec<String> = group.iter().map(|(_, name)| name.clone()).collect();
            format!("{}: {}", words::shared_names(&names), group[0].0)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::{Workbench, sample::oak_chest};

    #[test]
    fn parts_stand_at_their_own_lightness_in_one_state() {
        let mut bench = Workbench::default();
        bench.put(oak_chest());
        let strip = bench.strip();
        assert_eq!(strip.state, "spirit-wet");
        assert_eq!(strip.items.len(), 7);
        let four = strip.items.iter().find(|item| item.name == "front four").unwrap();
        assert!((four.l - 39.0).abs() < 1e-9);
        assert_eq!(strip.match_l, Some(55.0));
    }

    #[test]
    fn a_part_read_in_another_state_is_listed_and_not_placed() {
        // The carcass was only read bare dry, the fronts only spirit-wet.
        let mut piece = oak_chest();
        let carcass = piece::Surface::Part(piece.parts[0].id);
        piece.readings.retain(|r| (r.of == carcass) == (r.state == piece::State::BareDry));
        let mut bench = Workbench::default();
        bench.put(piece);
        let strip = bench.strip();
        assert_eq!(strip.items.len(), 6);
        assert_eq!(strip.unplaced, ["carcass: read bare dry"]);
    }

    /// A state nearer to the finish is not taken where it would hide a part: the odd one is mostly the one not coated yet.
    #[test]
    fn a_more_finished_state_of_some_parts_does_not_hide_the_others() {
        let mut piece = oak_chest();
        let coated = piece::State::Topcoated { topcoat: "oil".into(), sheen: "satin".into() };
        for place in 0..4 {
            let mut reading = (*piece.readings[2 * place]).clone();
            reading.id = piece.ids.next();
            piece.ids.note(reading.id);
            reading.state = coated.clone();
            piece.readings.push(std::sync::Arc::new(reading));
        }
        let mut bench = Workbench::default();
        bench.put(piece);
        let strip = bench.strip();
        assert_eq!((strip.state.as_str(), strip.items.len(), strip.unplaced.len()), ("spirit-wet", 7, 0));
    }
}
