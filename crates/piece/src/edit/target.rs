//! Edits of the piece as a whole, and of what is to be reached.

use crate::{
    BoardId, Error, MatchSample, PartId, PhotoId, Piece, Plan, ReadingId, Surface, Tolerances, TrialId, valid,
};

/// A change to the piece as a whole.
#[derive(Clone, Debug, PartialEq)]
pub enum PieceEdit {
    /// Gives the piece another name.
    Rename(String),
    /// Writes the piece's note.
    Note(String),
    /// Says whether its data are invented, as a demo's are.
    Invented(bool),
}

impl PieceEdit {
    pub(super) fn label(&self) -> &str {
        match self {
            Self::Rename(_) => "rename piece",
            Self::Note(_) => "write note",
            Self::Invented(_) => "say whether data are invented",
        }
    }

    pub(super) fn change(&self, piece: &mut Piece) -> Result<(), Error> {
        match self {
            Self::Rename(name) => {
                valid::name("piece", name)?;
                piece.name = name.trim().into();
            }
            Self::Note(note) => piece.note.clone_from(note),
            Self::Invented(invented) => piece.invented = *invented,
        }
        Ok(())
    }
}

/// A change to what is to be reached.
#[derive(Clone, Debug, PartialEq)]
pub enum TargetEdit {
    /// Chooses the match sample.
    Match(MatchSample),
    /// Sets the tolerances.
    Tolerances(Tolerances),
    /// Names the topcoat and its sheen, or leaves it open.
    Topcoat(Option<(String, String)>),
    /// Settles on a plan, or on none.
    Plan(Option<Plan>),
}

impl TargetEdit {
    pub(super) fn label(&self) -> &str {
        match self {
            Self::Match(_) => "choose match sample",
            Self::Tolerances(_) => "set tolerances",
            Self::Topcoat(_) => "name topcoat",
            Self::Plan(Some(_)) => "settle on plan",
            Self::Plan(None) => "drop plan",
        }
    }

    pub(super) fn change(&self, piece: &mut Piece) -> Result<(), Error> {
        match self {
            Self::Match(sample) => {
                there(piece, sample)?;
                piece.match_sample = sample.clone();
            }
            Self::Tolerances(tolerances) => {
                valid::tolerances(piece, tolerances)?;
                piece.tolerances = tolerances.clone();
            }
            Self::Topcoat(topcoat) => {
                if let Some((name, _)) = topcoat {
                    valid::name("topcoat", name)?;
                }
                piece.topcoat.clone_from(topcoat);
            }
            Self::Plan(plan) => {
                if let Some(plan) = plan {
                    valid::plan(piece, plan)?;
                }
                piece.plan.clone_from(plan);
            }
        }
        Ok(())
    }
}

/// That the match sample is in the piece.
fn there(piece: &Piece, sample: &MatchSample) -> Result<(), Error> {
    let (there, kind, id) = match sample {
        MatchSample::AllAlike => return Ok(()),
        MatchSample::Part(id) => return part(piece, *id),
        MatchSample::Board(id) => return board(piece, *id),
        MatchSample::Reading(id) => (piece.reading(*id).is_some(), kind::<ReadingId>(), id.to_string()),
        MatchSample::Trial(id) => (piece.trial(*id).is_some(), kind::<TrialId>(), id.to_string()),
        MatchSample::Photo(id) => (piece.photo(*id).is_some(), kind::<PhotoId>(), id.to_string()),
    };
    if there { Ok(()) } else { Err(Error::NoSuch { kind, id }) }
}

fn part(piece: &Piece, id: PartId) -> Result<(), Error> {
    valid::surface(piece, Surface::Part(id))
}

fn board(piece: &Piece, id: BoardId) -> Result<(), Error> {
    valid::surface(piece, Surface::Board(id))
}

fn kind<I: crate::Id>() -> &'static str {
    I::KIND
}
