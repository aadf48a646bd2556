//! What is being made: parts, boards, readings, trials, and how a piece is edited and kept.
//!
//! A [`Piece`] is plain data. It changes only through [`Edit`]s, which [`apply`] turns into a new piece; [`History`]
//! keeps the old ones for undo. [`store::open`] reads the folder of a piece and gives a [`store::Folder`], which saves it
//! whole or not at all; nothing else here touches the disk. [`check()`] says what is wrong with a piece.
//!
//! Colours are CIELAB at D50; ids are given once and never again; units are in the names of fields and keys. How a
//! colour was measured or is predicted is not known here.

pub mod book;
pub mod check;
pub mod edit;
pub mod error;
pub mod file;
pub mod history;
pub mod id;
pub mod number;
pub mod part;
pub mod past;
pub mod photo;
pub mod piece;
pub mod product;
pub mod reading;
#[cfg(test)]
mod sample;
pub mod step;
pub mod store;
pub mod target;
pub mod trial;
mod uses;
mod valid;

pub use book::Book;
pub use check::{Problem, check};
pub use edit::{
    BoardEdit, Edit, JointEdit, PartEdit, PhotoEdit, PieceEdit, ProductEdit, ReadingEdit, TargetEdit, TrialEdit, apply,
};
pub use error::Error;
pub use history::History;
pub use id::{BoardId, Id, Ids, PartId, PhotoId, ProductId, ReadingId, TrialId};
pub use part::{Bar, Board, Construction, Fidelity, Glue, Joint, Meeting, Part, Surface};
pub use past::{PastSource, PastUse};
pub use photo::Photo;
pub use piece::Piece;
pub use product::{Kind, Product, Share};
pub use reading::{Grain, Reading, Region, SharedError, Source, State};
pub use step::{Bleach, Step};
pub use target::{MatchSample, Plan, Tolerances};
pub use trial::{Stage, Trial};
