//! Photos: thumbnails, the card and its patches, quality in plain words, the chosen region.

use std::sync::Arc;

use piece::{PhotoId, Reading, ReadingId, Source, State, Surface};

use crate::{
    Workbench,
    action::ReadOn,
    crop::Crop,
    display::{self, Shown},
    photos::{PhotoView, Read},
    words,
};

/// What the user's own check tile is called.
const TILE: &str = "check tile";

/// The states offered for a new region, in the order of the work.
pub const STATES: [&str; 5] = ["bare dry", "spirit-wet", "colour dry", "sealed", "topcoated"];

/// A thumbnail.
#[derive(Clone, Debug)]
pub struct Thumb {
    /// The photo.
    pub photo: PhotoId,
    /// `3 good`.
    pub name: String,
    /// Its small picture.
    pub picture: Option<Arc<Crop>>,
    /// Whether it is on show.
    pub shown: bool,
}

/// One patch as it was measured, above as it is published.
#[derive(Clone, Debug)]
pub struct Patch {
    /// Its id on the card.
    pub id: String,
    /// Measured without itself.
    pub measured: Shown,
    /// Published.
    pub published: Shown,
    /// Its centre in the photo.
    pub centre_px: [f64; 2],
    /// Whether it has the largest left-out error.
    pub worst: bool,
}

/// A region on a photo.
#[derive(Clone, Debug)]
pub struct Region {
    /// Its reading.
    pub reading: ReadingId,
    /// Corners, upright photo pixels.
    pub points_px: Vec<[f64; 2]>,
    /// `front four · spirit-wet`.
    pub name: String,
    /// Whether it is chosen.
    pub chosen: bool,
}

/// What the panel says of the photo on show.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Quality {
    /// Two words: `Good photo`.
    pub verdict: String,
    /// Mean left-out error.
    pub error: Option<String>,
    /// `worst 1.6, patch C4`.
    pub worst: String,
    /// What is right or wrong, line by line.
    pub lines: Vec<String>,
}

/// The chosen region as the panel tells of it.
#[derive(Clone, Debug)]
pub struct Told {
    /// Whose it is.
    pub name: String,
    /// Lines: what, and its words.
    pub lines: Vec<(&'static str, String)>,
    /// Its colour.
    pub flat: Shown,
}

impl Workbench {
    /// The thumbnails.
    pub fn thumbs(&self) -> Vec<Thumb> {
        let Some(piece) = self.piece() else { return Vec::new() };
        let thumb = |(place, photo): (usize, &Arc<piece::Photo>)| {
            let view = self.photos.views.get(&photo.id);
            let is_board = self.photos.is_board(piece, photo.id);
            Thumb {
                photo: photo.id,
                name: format!("{} {}", place + 1, if is_board { "board" } else { short_verdict(view) }),
                picture: view.and_then(|view| view.thumb.clone()),
                shown: self.photos.shown == Some(photo.id),
            }
        };
        piece.photos.iter().enumerate().map(thumb).collect()
    }

    /// What is known of the photo on show.
    pub fn photo_view(&self) -> Option<(PhotoId, &PhotoView)> {
        let id = self.photos.shown?;
        Some((id, self.photos.views.get(&id)?))
    }

    /// The patches of the photo on show, in the card's order.
    pub fn patches(&self) -> Vec<Patch> {
        let Some(card) = self.photo_view().and_then(|(_, view)| view.card()) else { return Vec::new() };
        let worst = card.patches.iter().filter_map(|p| p.left_out_de00).fold(0.0, f64::max);
        card.patches
            .iter()
            .map(|patch| Patch {
                id: patch.id.clone(),
                measured: display::shown(patch.lab_left_out.unwrap_or(patch.lab_measured)),
                published: display::shown(patch.lab_reference),
                centre_px: patch.centre_px,
                worst: worst > 0.0 && patch.left_out_de00 == Some(worst),
            })
            .collect()
    }

    /// The regions of the photo on show.
    pub fn regions(&self) -> Vec<Region> {
        let (Some(piece), Some(photo)) = (self.piece(), self.photos.shown) else { return Vec::new() };
        let region = |reading: &Arc<Reading>| match &reading.source {
            Source::Photo { photo: of, region, .. } if *of == photo => Some(Region {
                reading: reading.id,
                points_px: region.points_px.clone(),
                name: format!("{} · {}", words::surface(piece, reading.of), words::state_kind(&reading.state)),
                chosen: self.photos.region == Some(reading.id),
            }),
            _ => None,
        };
        piece.readings.iter().filter_map(region).collect()
    }

    /// What the panel says of the photo on show.
    pub fn quality(&self) -> Quality {
        let (Some((id, view)), Some(piece)) = (self.photo_view(), self.piece()) else { return Quality::default() };
        let simple = |verdict: &str, line: &str| Quality {
            verdict: verdict.into(),
            lines: vec![line.into()],
            ..Quality::default()
        };
        if let Some(problem) = &view.problem {
            return simple("Cannot be read", &words::capital(problem));
        }
        if self.photos.is_board(piece, id) {
            return simple("A plain board", "It evens the light of another photo. No colour is read from it.");
        }
        let Some(Read { reading, .. }) = &view.read else {
            return simple("Not read yet", "It is opened, then its card is looked for.");
        };
        // What is wrong comes before what is only to be known.
        let (quiet, loud): (Vec<_>, Vec<_>) = reading.warnings.iter().partition(|warning| is_quiet(warning.code));
        let mut lines: Vec<String> =
            loud.into_iter().chain(quiet).map(|warning| words::capital(&warning.text)).collect();
        let Some(card) = &reading.card else {
            return Quality { verdict: "No card found".into(), lines, ..Quality::default() };
        };
        let quiet = |codes: &[&str]| !reading.warnings.iter().any(|w| codes.iter().any(|code| w.code.contains(code)));
        if quiet(&["glare", "clip"]) {
            lines.insert(0, "No glare, nothing clipped".into());
        }
        if quiet(&["small", "frame"]) {
            let share = area(&card.corners_px) / (f64::from(reading.width_px) * f64::from(reading.height_px)) * 100.0;
            lines.push(format!(
                "Card fills {} % of the frame",
                if share < 1.5 { words::number(share) } else { format!("{share:.0}") }
            ));
        }
        if quiet(&["profile"]) {
            lines.push(format!("Profile: {}", reading.profile.name));
        }
        let worst = card
            .patches
            .iter()
            .filter_map(|p| p.left_out_de00.map(|de00| (de00, &p.id)))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let mean = reading.fit.as_ref().map(|fit| fit.mean);
        Quality {
            verdict: verdict(mean, reading.warnings.iter().filter(|w| !is_quiet(w.code)).count()).into(),
            error: mean.map(words::number),
            worst: worst.map_or_else(String::new, |(de00, id)| format!("worst {}, patch {id}", words::number(de00))),
            lines,
        }
    }

    /// The chosen region as the panel tells of it.
    pub fn told(&self) -> Option<Told> {
        let piece = self.piece()?;
        let reading = piece.reading(self.photos.region?)?;
        let mut lines = vec![
            ("State", words::state(&reading.state)),
            ("Light", reading.light.clone()),
            ("Colour", words::lab(reading.lab)),
            ("", format!("{} in L*", words::sureness(reading))),
            ("Difference", self.to_neighbour(reading)),
        ];
        if let Some(sd) = reading.grain_sd {
            lines.push(("Grain spread", format!("{} L*", words::number(sd[0]))));
        }
        lines.retain(|(_, text)| !text.is_empty());
        Some(Told {
            name: words::capital(&words::surface(piece, reading.of)),
            lines,
            flat: display::shown(reading.lab),
        })
    }

    /// `to front two ± 0.4 ΔE`: how sure the difference to another region of the same photo is.
    fn to_neighbour(&self, reading: &Reading) -> String {
        let Source::Photo { photo, .. } = &reading.source else { return String::new() };
        let Some(piece) = self.piece() else { return String::new() };
        let same = |r: &&Arc<Reading>| {
            matches!(&r.source, Source::Photo { photo: p, .. } if p == photo)
                && r.of != reading.of
                && r.state == reading.state
        };
        let Some(other) = piece.readings.iter().find(same) else { return String::new() };
        let between = super::between::de00(reading, other);
        format!("to {} {} ΔE", words::surface(piece, other.of), words::plus_minus(between))
    }

    /// What the next region is read on, and in which state, in words; the check tile has none.
    pub fn next_region(&self) -> (String, Option<&'static str>) {
        match self.next_on() {
            Some(ReadOn::Tile) => (TILE.into(), None),
            Some(ReadOn::Surface(on)) => {
                let name = self.piece().map_or_else(String::new, |piece| words::surface(piece, on));
                (name, Some(words::state_kind(&self.photos.next_state)))
            }
            None => ("no part yet".into(), Some(words::state_kind(&self.photos.next_state))),
        }
    }

    /// What regions can be read on: parts, then boards, then the check tile.
    pub fn surfaces(&self) -> Vec<(ReadOn, String)> {
        let Some(piece) = self.piece() else { return Vec::new() };
        let parts = piece.parts.iter().map(|part| (Surface::Part(part.id), part.name.clone()));
        let boards = piece.boards.iter().map(|board| (Surface::Board(board.id), board.name.clone()));
        let wood = parts.chain(boards).map(|(on, name)| (ReadOn::Surface(on), name));
        wood.chain([(ReadOn::Tile, TILE.to_owned())]).collect()
    }

    /// The photos that could even the light of the one on show, by name, and whether one does.
    pub fn boards_offered(&self) -> Vec<(PhotoId, String, bool)> {
        let (Some(piece), Some(shown)) = (self.piece(), self.photos.shown) else { return Vec::new() };
        let now = self.photos.board_of(piece, shown);
        let others = (1..).zip(&piece.photos).filter(|(_, photo)| photo.id != shown);
        others.map(|(place, photo)| (photo.id, format!("photo {place}"), now == Some(photo.id))).collect()
    }

    /// The cards known, by id and name, and whether the photo on show is said to have it.
    pub fn cards_offered(&self) -> Vec<(String, String, bool)> {
        let named = self.photos.shown.and_then(|id| self.piece()?.photo(id)?.card.clone());
        let card = |card: card::Card| (card.id.clone(), card.name, named.as_ref() == Some(&card.id));
        card::layout::known().into_iter().map(card).collect()
    }

    /// Rows and columns of the card whose corners are placed: the named one, or the first known.
    pub fn card_grid(&self) -> [usize; 2] {
        let named = self.photos.shown.and_then(|id| self.piece()?.photo(id)?.card.clone());
        let known = card::layout::known();
        let card = known.iter().find(|card| named.as_ref() == Some(&card.id)).or(known.first());
        card.map_or([1, 1], |card| [card.rows, card.columns])
    }

    /// The state with this name, as it would be read now.
    pub fn state_named(&self, kind: &str) -> State {
        let topcoat = || self.piece().and_then(|piece| piece.topcoat.clone()).unwrap_or_default();
        match kind {
            "spirit-wet" => State::SpiritWet { liquid: "white spirit".into(), seconds: 30.0 },
            "colour dry" => State::ColourDry,
            "sealed" => State::Sealed,
            "topcoated" => {
                let (topcoat, sheen) = topcoat();
                State::Topcoated { topcoat, sheen }
            }
            _ => State::BareDry,
        }
    }
}

/// Under these mean left-out errors a photo is good, and fair: own judgement of the 90 photos measured in building this.
const GOOD_DE00: f64 = 2.5;
const FAIR_DE00: f64 = 4.0;

fn verdict(mean: Option<f64>, warnings: usize) -> &'static str {
    match mean {
        Some(mean) if mean < GOOD_DE00 && warnings == 0 => "Good photo",
        Some(mean) if mean < GOOD_DE00 => "Good, with care",
        Some(mean) if mean < FAIR_DE00 => "Fair photo",
        Some(_) => "Poor photo",
        None => "Exposure and white only",
    }
}

/// What is told of a photo without making it worse: its profile, and that its light was evened.
fn is_quiet(code: &str) -> bool {
    code.contains("profile") || code == "light-evened"
}

fn short_verdict(view: Option<&PhotoView>) -> &'static str {
    match view {
        None => "waiting",
        Some(view) if view.problem.is_some() => "not read",
        Some(PhotoView { read: None, .. }) => "reading",
        Some(PhotoView { read: Some(Read { reading, .. }), .. }) => match (&reading.card, &reading.fit) {
            (None, _) => "no card",
            (_, Some(fit)) if fit.mean < GOOD_DE00 => "good",
            (_, Some(fit)) if fit.mean < FAIR_DE00 => "fair",
            (_, Some(_)) => "poor",
            (Some(_), None) => "white only",
        },
    }
}

fn area(corners: &[[f64; 2]; 4]) -> f64 {
    let twice: f64 =
        (0..4).map(|i| corners[i][0] * corners[(i + 1) % 4][1] - corners[(i + 1) % 4][0] * corners[i][1]).sum();
    twice.abs() / 2.0
}
