//! What the screens show, as plain data: words, numbers and swatches made from the workbench.

pub mod between;
pub mod boards;
pub mod book;
pub mod colouring_out;
pub mod curve;
pub mod evenness;
pub mod mixing;
pub mod next;
pub mod photos;
pub mod plot;
pub mod problems;
pub mod quality;
pub mod ranking;
pub mod routes;
pub mod schedule;
pub mod sheet;
pub mod side;
pub mod strip;
mod tolerance;
pub mod trial;
pub mod typed;

use std::sync::Arc;

use colour::Lab;
use piece::{MatchSample, PartId, Piece, Reading, Surface};

use crate::{
    Workbench,
    crop::{Crop, Grain},
    display::{self, Shown},
    words,
};

/// A colour to draw: flat bytes, and the wood's own grain about that colour where a photo has shown it.
#[derive(Clone, Debug)]
pub struct Swatch {
    /// The flat colour.
    pub flat: Shown,
    /// The grain about it.
    pub crop: Option<Arc<Crop>>,
}

impl Swatch {
    /// A colour without grain.
    pub fn flat(lab: Lab) -> Self {
        Self { flat: display::shown(lab), crop: None }
    }
}

/// A number with its interval, in words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Amount {
    /// The number.
    pub number: String,
    /// Its interval.
    pub range: String,
}

impl Amount {
    /// ΔE2000 with its interval.
    pub fn de00(interval: predict::Interval) -> Self {
        Self { number: words::number(interval.mean), range: words::range(interval) }
    }
}

impl Workbench {
    /// A colour on the wood of a part or board.
    pub fn swatch(&self, of: Surface, lab: Lab) -> Swatch {
        let crop = self.grain_of(of).map(|(id, grain)| {
            let tenths = |v: f64| (v * 10.0).round() as i32;
            let key = (id, [tenths(lab.l), tenths(lab.a), tenths(lab.b)]);
            self.crops.borrow_mut().entry(key).or_insert_with(|| Arc::new(grain.about(lab))).clone()
        });
        Swatch { flat: display::shown(lab), crop }
    }

    /// The grain of a part or board: from its own newest region, or that of the part it stands for.
    fn grain_of(&self, of: Surface) -> Option<(piece::ReadingId, Arc<Grain>)> {
        let piece = self.piece()?;
        let own = |of: Surface| {
            let with_grain = |reading: &&Arc<Reading>| reading.of == of && self.photos.grains.contains_key(&reading.id);
            let id = piece.readings.iter().rfind(with_grain)?.id;
            Some((id, self.photos.grains.get(&id)?.clone()))
        };
        own(of).or_else(|| match of {
            Surface::Board(board) => own(Surface::Part(piece.board(board)?.stands_for)),
            Surface::Part(_) => None,
        })
    }

    /// Readings of a surface in a kind of state, in the light on show.
    pub(crate) fn readings(&self, of: Surface, kind: &str) -> Vec<Arc<Reading>> {
        let Some(piece) = self.piece() else { return Vec::new() };
        let light = |reading: &Reading| self.light.as_ref().is_none_or(|light| *light == reading.light);
        let held = |reading: &Reading| matches!(of, Surface::Part(_)) && after_step(piece, reading.id);
        let fits = |r: &&Arc<Reading>| r.of == of && words::state_kind(&r.state) == kind && light(r) && !held(r);
        piece.readings.iter().filter(fits).cloned().collect()
    }

    /// The mean colour of a surface in a kind of state.
    pub(crate) fn colour_of(&self, of: Surface, kind: &str) -> Option<Lab> {
        mean(&self.readings(of, kind))
    }

    /// The match sample's colour in a kind of state, and what to call it.
    pub(crate) fn match_colour(&self, kind: &str) -> Option<(Lab, String, Surface)> {
        let piece = self.piece()?;
        let reading = |id| piece.reading(id).filter(|r| words::state_kind(&r.state) == kind).cloned();
        match piece.match_sample {
            MatchSample::AllAlike | MatchSample::Photo(_) => None,
            MatchSample::Part(id) => {
                Some((self.colour_of(Surface::Part(id), kind)?, piece.part(id)?.name.clone(), Surface::Part(id)))
            }
            MatchSample::Board(id) => {
                Some((self.colour_of(Surface::Board(id), kind)?, piece.board(id)?.name.clone(), Surface::Board(id)))
            }
            MatchSample::Reading(id) => {
                let reading = reading(id)?;
                Some((reading.lab, words::surface(piece, reading.of), reading.of))
            }
            MatchSample::Trial(id) => {
                let trial = piece.trial(id)?;
                let found: Vec<_> = trial.readings().filter_map(reading).collect();
                Some((mean(&found[found.len().saturating_sub(1)..])?, words::surface(piece, trial.on), trial.on))
            }
        }
    }

    /// What the match sample is, in words.
    pub fn match_words(&self) -> String {
        let Some(piece) = self.piece() else { return String::new() };
        match piece.match_sample {
            MatchSample::AllAlike => "all alike, wherever they meet".into(),
            MatchSample::Part(id) => part_name(piece, id),
            MatchSample::Board(id) => words::surface(piece, Surface::Board(id)),
            MatchSample::Reading(id) => piece.reading(id).map_or_else(String::new, |r| words::surface(piece, r.of)),
            MatchSample::Trial(id) => {
                piece.trial(id).map_or_else(String::new, |t| format!("a trial on {}", words::surface(piece, t.on)))
            }
            MatchSample::Photo(_) => "an earlier photo".into(),
        }
    }

    /// The lights readings were taken in.
    pub fn lights(&self) -> Vec<String> {
        let Some(piece) = self.piece() else { return Vec::new() };
        let mut lights: Vec<String> = piece.readings.iter().map(|reading| reading.light.clone()).collect();
        lights.retain(|light| !light.is_empty());
        lights.sort();
        lights.dedup();
        lights
    }
}

/// Whether a reading was taken after a step of a trial.
fn after_step(piece: &Piece, id: piece::ReadingId) -> bool {
    piece.trials.iter().any(|trial| trial.stages.iter().any(|stage| stage.readings.contains(&id)))
}

/// The mean of some readings.
pub(crate) fn mean(readings: &[Arc<Reading>]) -> Option<Lab> {
    let count = readings.len() as f64;
    let sum = readings.iter().fold([0.0; 3], |s, r| [s[0] + r.lab.l, s[1] + r.lab.a, s[2] + r.lab.b]);
    (count > 0.0).then(|| Lab::new(sum[0] / count, sum[1] / count, sum[2] / count))
}

/// A part's name.
pub(crate) fn part_name(piece: &Piece, id: PartId) -> String {
    piece.part(id).map_or_else(|| "a part taken away".into(), |part| part.name.clone())
}
