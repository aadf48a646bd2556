//! What is due: starts the jobs whose results are missing or old.

use std::sync::Arc;

use piece::Piece;

use super::{Found, Workbench, reading::PHOTO};
use crate::{action::Area, results::Tagged};

pub(super) const AUTOSAVE: &str = "autosave";
const COMPARE: &str = "compare";
const RANK: &str = "rank";
const CURVE: &str = "curve";
const ROUTES: &str = "routes";
const NEXT: &str = "next";
const SHEET: &str = "sheet";

impl Workbench {
    /// Starts what is due.
    pub(crate) fn refresh(&mut self) {
        let Some(piece) = self.piece().cloned() else { return };
        self.look_for_problems(&piece);
        self.drop_unseen();
        if !self.jobs.runs(PHOTO) {
            self.next_photo(&piece);
        }
        self.due_comparison(&piece);
        self.due_colouring_out(&piece);
        self.due_learned(&piece);
        if matches!(self.area, Area::Routes | Area::Samples) {
            self.due_ranking(&piece);
        }
        if self.area == Area::Samples {
            self.due_curve(&piece);
        }
        if self.area == Area::Routes {
            self.due_routes(&piece);
            self.due_next(&piece);
        }
        if self.area == Area::Sheet {
            self.due_sheet(&piece);
        }
        if self.area == Area::Photos && self.photos.corners.is_none() {
            self.offer_corners(&piece);
            self.due_study();
        }
    }

    fn due_comparison(&mut self, piece: &Arc<Piece>) {
        let current = self.results.comparison.as_ref().is_some_and(|tagged| tagged.is_current(piece));
        let key = format!("{COMPARE} {:p}", Arc::as_ptr(piece));
        if current || self.jobs.runs(&key) {
            return;
        }
        self.cancel_others(COMPARE);
        let piece = piece.clone();
        self.jobs.start(key, "Comparing", false, move |_| {
            let comparison = predict::compare(&piece);
            Ok(Found::Comparison(piece, comparison))
        });
    }

    fn due_ranking(&mut self, piece: &Arc<Piece>) {
        let Some(part) = self.part() else { return };
        let current = self.results.rankings.get(&part).is_some_and(|tagged| tagged.is_current(piece));
        let key = format!("{RANK} {part} {:p}", Arc::as_ptr(piece));
        if current || self.jobs.runs(&key) {
            return;
        }
        self.cancel_others(RANK);
        let name = piece.part(part).map_or_else(|| "Ranking".into(), |part| format!("Ranking for {}", part.name));
        let piece = piece.clone();
        self.jobs.start(key, name, false, move |progress| {
            let ranking = predict::rank(&piece, part, &|done| progress.go_on(done)).map_err(|error| error.to_string());
            Ok(Found::Ranking(piece, part, ranking))
        });
    }

    fn due_curve(&mut self, piece: &Arc<Piece>) {
        let Some(trial) = self.shown_trial() else { return };
        let current = self.results.curve.as_ref().is_some_and(|(of, tagged)| *of == trial && tagged.is_current(piece));
        let key = format!("{CURVE} {trial} {:p}", Arc::as_ptr(piece));
        if current || self.jobs.runs(&key) {
            return;
        }
        self.cancel_others(CURVE);
        let piece = piece.clone();
        self.jobs.start(key, "Learning", true, move |_| {
            let curve = predict::curve(&piece, trial).ok_or_else(|| "no colour step of it was read".to_owned());
            Ok(Found::Curve(piece, trial, curve))
        });
    }

    fn due_routes(&mut self, piece: &Arc<Piece>) {
        let current = self.results.routes.as_ref().is_some_and(|tagged| tagged.is_current(piece));
        let key = format!("{ROUTES} {:p}", Arc::as_ptr(piece));
        if current || self.jobs.runs(&key) {
            return;
        }
        self.cancel_others(ROUTES);
        let piece = piece.clone();
        self.jobs.start(key, "Looking for routes", false, move |progress| {
            let routes = predict::routes(&piece, &|done| progress.go_on(done)).map_err(|error| error.to_string());
            Ok(Found::Routes(piece, routes))
        });
    }

    /// What to try next is weighed once the routes are known.
    fn due_next(&mut self, piece: &Arc<Piece>) {
        let routes = self.results.routes.as_ref().is_some_and(|tagged| tagged.is_current(piece));
        let current = self.results.next.as_ref().is_some_and(|tagged| tagged.is_current(piece));
        let key = format!("{NEXT} {:p}", Arc::as_ptr(piece));
        if !routes || current || self.jobs.runs(&key) {
            return;
        }
        self.cancel_others(NEXT);
        let piece = piece.clone();
        self.jobs.start(key, "Weighing what to try next", false, move |progress| {
            let next = predict::next(&piece, &|done| progress.go_on(done)).map_err(|error| error.to_string());
            Ok(Found::Next(piece, next))
        });
    }

    fn due_sheet(&mut self, piece: &Arc<Piece>) {
        let current = self.results.sheet.as_ref().is_some_and(|tagged| tagged.is_current(piece));
        let units = self.settings.units;
        let key = format!("{SHEET} {} {:p}", units.name(), Arc::as_ptr(piece));
        if current || self.jobs.runs(&key) {
            return;
        }
        self.cancel_others(SHEET);
        let piece = piece.clone();
        self.jobs.start(key, "Writing the sheet", false, move |_| {
            let document = sheet::work_sheet(&piece, units).map_err(|error| error.to_string());
            Ok(Found::Sheet(piece, document))
        });
    }

    /// Cancels jobs of a kind for pieces that are no longer the present one.
    fn cancel_others(&mut self, kind: &str) {
        self.jobs.cancel_where(|key| key.starts_with(kind));
    }

    /// Stops what is shown in the top bar; what was asked for is not started again until the piece changes.
    pub(super) fn cancel_shown(&mut self) {
        let Some(piece) = self.piece().cloned() else { return };
        let stopped = "Stopped. Any change to the piece starts it again.";
        for key in self.jobs.keys() {
            if key.starts_with(ROUTES) {
                self.results.routes = Some(Tagged { of: piece.clone(), value: Err(stopped.into()) });
            } else if key.starts_with(NEXT) {
                self.results.next = Some(Tagged { of: piece.clone(), value: Err(stopped.into()) });
            } else if let Some(part) = key.starts_with(RANK).then(|| self.part()).flatten() {
                self.results.rankings.insert(part, Tagged { of: piece.clone(), value: Err(stopped.into()) });
            } else if key == PHOTO {
                let shown = self.photos.shown;
                for photo in &piece.photos {
                    let view = self.photos.views.entry(photo.id).or_default();
                    if view.thumb.is_none() || Some(photo.id) == shown && view.read.is_none() {
                        view.problem = Some("stopped: look again to read it".into());
                    }
                }
            }
        }
        self.jobs.cancel_all();
    }

    /// Writes the autosave file, on a thread of its own.
    pub(crate) fn autosave(&mut self) {
        let Some(open) = &self.open else { return };
        let Some(folder) = open.folder.clone() else { return };
        let piece = open.piece().clone();
        self.jobs.start(AUTOSAVE, "Keeping a copy", true, move |progress| {
            if progress.cancelled() {
                return Ok(Found::Autosaved(Ok(())));
            }
            Ok(Found::Autosaved(folder.autosave(&piece).map_err(|error| error.to_string())))
        });
    }
}
