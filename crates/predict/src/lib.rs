//! A piece to predicted colours: laws, effects, schedules, ranking, routes.
//!
//! Start with [`compare()`] (how far apart are the parts now), [`rank()`] (what can be done to one part), [`routes()`]
//! (what can be done to the whole piece), [`next()`] (which trial would tell most) and [`colouring_out()`] (which sticks to mix
//! for a spot). All take a [`piece::Piece`] and give plain data.
//!
//! What a step does is learned from readings before and after it ([`evidence`]) as a mixture of physical [`laws`], never
//! as a difference of Lab values added to another wood. Every odds, interval and worst pair comes from the same fixed
//! low-discrepancy joint draws, so the same piece gives the same bytes.
//!
//! This crate reads no clock, no file and no unseeded randomness. It does not measure colour, and it never invents what
//! an untried stain would do: such a step is listed as untried.

mod adrift;
pub mod ageing;
mod anchor;
pub mod asked;
mod because;
pub mod caution;
mod chain;
mod cloud;
mod coats;
pub mod colouring_out;
pub mod compare;
pub mod conditions;
pub mod draws;
pub mod error;
pub mod estimate;
pub mod evidence;
mod grouping;
mod judge;
pub mod laws;
mod lessons;
pub mod look;
mod mixes;
pub mod next;
pub mod odds;
mod outcome;
pub mod patchiness;
mod pool;
pub mod published;
pub mod rank;
pub mod routes;
mod schedule;
mod search;
pub mod set_aside;
pub mod sight;
mod target;
pub mod time;
pub mod trade;
pub mod verdict;

pub use adrift::adrift;
pub use ageing::AgeingNote;
pub use asked::asked;
pub use caution::Caution;
pub use colouring_out::{Mix, Stick, colouring_out};
pub use compare::{Compared, Comparison, MatchRow, NotCompared, PairRow, compare, compare_readings};
pub use error::{Error, Result};
pub use estimate::{Estimate, Interval};
pub use lessons::past_uses;
pub use lessons::{Curve, Learned, OddTrial, Strength, Takes, curve, learned, odd_trials};
pub use mixes::with_mixes;
pub use next::{Next, NextRow, next};
pub use patchiness::{KnownFrom, Patchiness};
pub use rank::{Barred, Evidence, EvidenceKind, Ranking, Row, WayBack, rank};
pub use routes::{PartSchedule, Route, Routes, WorstPair, routes};
pub use set_aside::{SetAside, set_aside};
pub use verdict::{Verdict, directions, hue_words};

/// Called with progress from 0 to 1; false stops the work with [`Error::Cancelled`].
pub type GoOn<'a> = &'a (dyn Fn(f64) -> bool + Sync);
