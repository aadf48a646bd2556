//! What jobs find, and how it is taken in.

use std::sync::Arc;

use card::{Board, PhotoReading};
use piece::{PartId, Photo, PhotoId, Piece, TrialId};
use predict::{Comparison, Curve, Learned, Next, Ranking, Routes};
use sheet::Document;

use super::{Mixed, Workbench, even_light::Evened, regions::RegionFor};
use crate::{
    job::{End, Key},
    photos::{Looked, Wanted},
    results::Tagged,
    status::Status,
};

/// What a job found.
#[derive(Debug)]
pub enum Found {
    /// A photo to show.
    Looked(PhotoId, Result<Looked, String>),
    /// A photo read against its card.
    Read(Wanted, Result<PhotoReading, String>),
    /// A region read.
    Region(Wanted, RegionFor, Result<PhotoReading, String>),
    /// The light over the frame that a photo is evened by, from the photo of a board.
    Board(PhotoId, PhotoId, Result<Arc<Board>, String>),
    /// A photo and its regions read again in another light.
    Evened(Arc<Photo>, Box<Evened>),
    /// Parts compared.
    Comparison(Arc<Piece>, Comparison),
    /// A part's schedules.
    Ranking(Arc<Piece>, PartId, Result<Ranking, String>),
    /// What a trial's last colour step does at each strength.
    Curve(Arc<Piece>, TrialId, Result<Curve, String>),
    /// Joint plans.
    Routes(Arc<Piece>, Result<Routes, String>),
    /// What to try next.
    Next(Arc<Piece>, Result<Next, String>),
    /// The work sheet.
    Sheet(Arc<Piece>, Result<Document, String>),
    /// Sticks mixed for a spot.
    Mixed(Mixed),
    /// What the trials and the shop book teach.
    Learned(Arc<Piece>, Vec<Learned>),
    /// The piece was autosaved, or why not.
    Autosaved(Result<(), String>),
}

impl Workbench {
    pub(super) fn found(&mut self, key: &Key, end: End<Found>) {
        let found = match end {
            End::Done(found) => found,
            End::Cancelled => return,
            End::Failed(line) => {
                log::error!("job {key}: {line}");
                self.status = Status::failed(line);
                return;
            }
        };
        match found {
            Found::Looked(id, Ok(looked)) => self.looked(id, looked),
            Found::Looked(id, Err(line)) => self.photo_failed(id, line),
            Found::Read(wanted, Ok(reading)) => self.was_read(wanted, reading),
            Found::Read(wanted, Err(line)) => self.photo_failed(wanted.photo.id, line),
            Found::Region(wanted, what, Ok(reading)) => self.region_read(&wanted, &what, &reading),
            Found::Region(_, _, Err(line)) => self.status = Status::failed(line),
            Found::Board(_, board, Ok(light)) => drop(self.photos.boards.insert(board, light)),
            Found::Board(photo, _, Err(line)) => self.photo_failed(photo, line),
            Found::Evened(photo, evened) => self.evened(&photo, *evened),
            Found::Comparison(of, comparison) => {
                self.results.comparison = Some(Tagged { of, value: Ok(Arc::new(comparison)) });
            }
            Found::Ranking(of, part, ranking) => {
                self.results.rankings.insert(part, Tagged { of, value: ranking.map(Arc::new) });
            }
            Found::Curve(of, trial, curve) => {
                self.results.curve = Some((trial, Tagged { of, value: curve.map(Arc::new) }));
            }
            Found::Routes(of, routes) => {
                self.results.routes = Some(Tagged { of, value: routes.map(Arc::new) });
                if self.chosen.is_empty()
                    && let Some(part) = self.busiest_part(self.routes.route)
                {
                    self.chosen = vec![part];
                }
            }
            Found::Next(of, next) => {
                self.results.next = Some(Tagged { of, value: next.map(Arc::new) });
            }
            Found::Sheet(of, document) => {
                self.results.sheet = Some(Tagged { of, value: document.map(Arc::new) });
            }
            Found::Mixed(mixed) => self.colouring_out.found = Some(mixed),
            Found::Learned(of, learned) => {
                self.book.learned = Some(Tagged { of, value: Ok(Arc::new(learned)) });
            }
            Found::Autosaved(Ok(())) => {}
            Found::Autosaved(Err(line)) => self.status = Status::failed(line),
        }
    }
}
