//! Edits of parts, and of how they meet.

use std::sync::Arc;

use super::{give, name_free, place, unused};
use crate::{Error, Joint, Part, PartId, Piece, Surface, uses, valid};

/// A change to the parts.
#[derive(Clone, Debug, PartialEq)]
pub enum PartEdit {
    /// Adds a part at the end; its id is given by the piece.
    Add(Part),
    /// Gives a part another name.
    Rename(PartId, String),
    /// Puts this in the place of the part with the same id.
    Change(Part),
    /// Moves a part to this place in the user's order.
    Move(PartId, usize),
    /// Removes a part that has no board, reading or trial; its joints, pair tolerances and plan go with it.
    Remove(PartId),
}

impl PartEdit {
    pub(super) fn label(&self) -> &str {
        match self {
            Self::Add(_) => "add part",
            Self::Rename(..) => "rename part",
            Self::Change(_) => "change part",
            Self::Move(..) => "move part",
            Self::Remove(_) => "remove part",
        }
    }

    pub(super) fn change(&self, piece: &mut Piece) -> Result<(), Error> {
        match self {
            Self::Add(part) => add(piece, part),
            Self::Rename(id, name) => {
                let at = place(&piece.parts, |part| part.id, *id)?;
                replace(piece, &Part { name: name.clone(), ..(*piece.parts[at]).clone() })
            }
            Self::Change(part) => replace(piece, part),
            Self::Move(id, to) => {
                let at = place(&piece.parts, |part| part.id, *id)?;
                let part = piece.parts.remove(at);
                piece.parts.insert((*to).min(piece.parts.len()), part);
                Ok(())
            }
            Self::Remove(id) => remove(piece, *id),
        }
    }
}

fn fits(piece: &Piece, part: &Part, own: Option<PartId>) -> Result<Arc<Part>, Error> {
    valid::part(part)?;
    let others = piece.parts.iter().filter(|other| Some(other.id) != own);
    name_free("part", &part.name, others.map(|other| other.name.as_str()))?;
    let mut part = Part { name: part.name.trim().into(), ..part.clone() };
    part.bars.sort_unstable();
    part.bars.dedup();
    Ok(Arc::new(part))
}

fn add(piece: &mut Piece, part: &Part) -> Result<(), Error> {
    let fitting = fits(piece, part, None)?;
    let id = give(piece)?;
    piece.parts.push(Arc::new(Part { id, ..(*fitting).clone() }));
    Ok(())
}

fn replace(piece: &mut Piece, part: &Part) -> Result<(), Error> {
    let at = place(&piece.parts, |part| part.id, part.id)?;
    piece.parts[at] = fits(piece, part, Some(part.id))?;
    Ok(())
}

fn remove(piece: &mut Piece, id: PartId) -> Result<(), Error> {
    let at = place(&piece.parts, |part| part.id, id)?;
    unused(|| format!("part '{}'", piece.parts[at].name), &uses::of_part(piece, id))?;
    piece.parts.remove(at);
    piece.joints.retain(|joint| joint.a != id && joint.b != id);
    piece.tolerances.pairs.retain(|pair| pair.a != id && pair.b != id);
    if let Some(plan) = &mut piece.plan {
        plan.schedules.retain(|(part, _)| *part != id);
    }
    Ok(())
}

/// A change to how parts meet.
#[derive(Clone, Debug, PartialEq)]
pub enum JointEdit {
    /// Two parts meet in this way: adds the joint, or changes it where they already meet.
    Set(Joint),
    /// They do not meet in sight.
    Remove(PartId, PartId),
}

impl JointEdit {
    pub(super) fn label(&self) -> &str {
        match self {
            Self::Set(_) => "set how parts meet",
            Self::Remove(..) => "remove joint",
        }
    }

    pub(super) fn change(&self, piece: &mut Piece) -> Result<(), Error> {
        match self {
            Self::Set(joint) => {
                for part in [joint.a, joint.b] {
                    valid::surface(piece, Surface::Part(part))?;
                }
                if joint.a == joint.b {
                    return Err(Error::invalid("joint", "a part does not meet itself: choose two parts"));
                }
                match piece.joints.iter_mut().find(|other| other.joins(joint.a, joint.b)) {
                    Some(other) => other.meeting = joint.meeting,
                    None => piece.joints.push(*joint),
                }
                Ok(())
            }
            Self::Remove(a, b) => {
                let before = piece.joints.len();
                piece.joints.retain(|joint| !joint.joins(*a, *b));
                if piece.joints.len() == before {
                    return Err(Error::NoSuch { kind: "joint of", id: format!("{a} and {b}") });
                }
                Ok(())
            }
        }
    }
}
