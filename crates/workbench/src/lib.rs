//! The whole app without a window: state, actions, jobs.
//!
//! A [`Workbench`] holds the open piece, what is chosen, and what has been computed. It changes only by
//! [`Workbench::apply`]; slow work runs as [`job`]s and arrives by [`Workbench::poll`]. What a screen shows is made by the
//! functions of [`view`] as plain data: words, numbers, swatches.
//!
//! Conventions: colours for the screen are sRGB bytes made by [`display`]; every estimated number comes with its interval;
//! a result computed for an older state of the piece says that it is being updated.
//!
//! This crate names no window toolkit and opens no dialog.

pub mod action;
pub mod bench;
pub mod crop;
pub mod demo;
pub mod display;
pub mod job;
pub mod log_line;
pub mod open;
pub mod photos;
pub mod picture;
pub mod product_line;
pub mod record;
pub mod results;
pub mod sample;
pub mod settings;
pub mod status;
pub mod task;
pub mod view;
pub mod words;

pub use action::{
    Action, Area, Beside, BookAction, ColouringOutAction, FrameAction, PartsAction, PhotosAction, RoutesAction,
    SamplesAction, SheetAction, SideAction, StartAction,
};
pub use bench::Workbench;
pub use piece::{self, BoardId, PartId, PhotoId, ReadingId, TrialId};
pub use settings::{Theme, Units};
