//! Edits of photos.

use std::sync::Arc;

use super::{give, name_free, place, unused};
use crate::{Error, Photo, PhotoId, Piece, uses, valid};

/// A change to the photos.
#[derive(Clone, Debug, PartialEq)]
pub enum PhotoEdit {
    /// Adds a photo that is in the folder; its id is given by the piece.
    Add(Photo),
    /// Puts this in the place of the photo with the same id.
    Change(Photo),
    /// Places the card's corners by hand, or leaves them to be found.
    PlaceCorners(PhotoId, Option<[[f64; 2]; 4]>),
    /// Takes a photo without readings out of the piece. The file stays in the folder, so that this can be undone.
    Remove(PhotoId),
}

impl PhotoEdit {
    pub(super) fn label(&self) -> &str {
        match self {
            Self::Add(_) => "add photo",
            Self::Change(_) => "change photo",
            Self::PlaceCorners(_, Some(_)) => "place corners",
            Self::PlaceCorners(_, None) => "find the card again",
            Self::Remove(_) => "remove photo",
        }
    }

    pub(super) fn change(&self, piece: &mut Piece) -> Result<(), Error> {
        match self {
            Self::Add(photo) => {
                fits(piece, photo, None)?;
                let id = give(piece)?;
                piece.photos.push(Arc::new(Photo { id, ..photo.clone() }));
                Ok(())
            }
            Self::Change(photo) => replace(piece, photo.clone()),
            Self::PlaceCorners(id, corners_px) => {
                let at = place(&piece.photos, |photo| photo.id, *id)?;
                replace(piece, Photo { corners_px: *corners_px, ..(*piece.photos[at]).clone() })
            }
            Self::Remove(id) => {
                let at = place(&piece.photos, |photo| photo.id, *id)?;
                unused(|| format!("photo '{}'", piece.photos[at].file), &uses::of_photo(piece, *id))?;
                piece.photos.remove(at);
                Ok(())
            }
        }
    }
}

fn replace(piece: &mut Piece, photo: Photo) -> Result<(), Error> {
    let at = place(&piece.photos, |photo| photo.id, photo.id)?;
    fits(piece, &photo, Some(photo.id))?;
    piece.photos[at] = Arc::new(photo);
    Ok(())
}

fn fits(piece: &Piece, photo: &Photo, own: Option<PhotoId>) -> Result<(), Error> {
    valid::photo(photo)?;
    let others = piece.photos.iter().filter(|other| Some(other.id) != own);
    name_free("photo", &photo.file, others.map(|other| other.file.as_str()))
}
