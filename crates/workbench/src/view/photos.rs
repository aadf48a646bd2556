//! Photos: thumbnails, the card and its patches, the chosen region.

use std::sync::Arc;

use piece::{PhotoId, Reading, ReadingId, Source, State, Surface};

use super::quality::short_verdict;
use crate::{
    Workbench,
    action::ReadOn,
    crop::Crop,
    display::{self, Shown},
    photos::PhotoView,
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
    /// Places left out of it by hand.
    pub left_out_px: Vec<Vec<[f64; 2]>>,
    /// `front four · spirit-wet`.
    pub name: String,
    /// Whether it is chosen.
    pub chosen: bool,
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

/// Lights that a photo is often taken in.
const USUAL_LIGHTS: [&str; 4] = ["daylight", "warm lamp", "cool lamp", "shop lights"];

impl Workbench {
    /// The lights that the photo on show may have been taken in, those of the piece and the usual ones; and which it was.
    pub fn photo_lights(&self) -> Vec<(String, bool)> {
        let (Some(piece), Some(shown)) = (self.piece(), self.shown_photo()) else { return Vec::new() };
        let now = piece.photo(shown).map_or("", |photo| photo.light.as_str());
        let mut lights: Vec<String> = USUAL_LIGHTS.map(str::to_owned).into();
        let own = piece.photos.iter().map(|photo| photo.light.clone()).chain(self.lights());
        for light in own.filter(|light| !light.is_empty()) {
            if !lights.contains(&light) {
                lights.push(light);
            }
        }
        lights.into_iter().map(|light| (light == now, light)).map(|(chosen, light)| (light, chosen)).collect()
    }

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
        let in_fit = card.patches.iter().filter(|patch| patch.in_fit);
        let worst = in_fit.filter_map(|patch| patch.left_out_de00).fold(0.0, f64::max);
        card.patches
            .iter()
            .map(|patch| Patch {
                id: patch.id.clone(),
                measured: display::shown(patch.lab_left_out.unwrap_or(patch.lab_measured)),
                published: display::shown(patch.lab_reference),
                centre_px: patch.centre_px,
                worst: worst > 0.0 && patch.in_fit && patch.left_out_de00 == Some(worst),
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
                left_out_px: region.left_out_px.clone(),
                name: format!("{} · {}", words::surface(piece, reading.of), words::state_kind(&reading.state)),
                chosen: self.photos.region == Some(reading.id),
            }),
            _ => None,
        };
        piece.readings.iter().filter_map(region).collect()
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
            ("ΔE2000", self.to_neighbour(reading)),
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

    /// `1.9 ± 0.4 to front two`: the difference to another region of the same photo, and how sure it is.
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
        let (name, mean) = (words::surface(piece, other.of), words::number(between.mean));
        format!("{mean} {} to {name}", words::plus_minus(between))
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
