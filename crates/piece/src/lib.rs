//! What is being made: parts, boards, readings, trials, and how a piece is edited and kept.
//!
//! A [`Piece`] is plain data. It changes only through [`Edit`](edit::Edit)s; the folder on disk is read and written by
//! [`store`] alone. How a colour was measured or is predicted is not known here.

pub mod check;
pub mod edit;
pub mod error;
pub mod file;
pub mod history;
pub mod id;
pub mod part;
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

pub use check::{Problem, check};
pub use edit::{
    BoardEdit, Edit, JointEdit, PartEdit, PhotoEdit, PieceEdit, ProductEdit, ReadingEdit, TargetEdit, TrialEdit, apply,
};
pub use error::Error;
pub use history::History;
pub use id::{BoardId, Id, Ids, PartId, PhotoId, ProductId, ReadingId, TrialId};
pub use part::{Bar, Board, Construction, Fidelity, Glue, Joint, Meeting, Part, Surface};
pub use photo::Photo;
pub use piece::Piece;
pub use product::{Kind, Product, Share};
pub use reading::{Grain, Reading, Region, SharedError, Source, State};
pub use step::{Bleach, Step};
pub use target::{MatchSample, Plan, Tolerances};
pub use trial::{Stage, Trial};
