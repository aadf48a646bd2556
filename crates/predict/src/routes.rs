//! Joint plans for the whole piece.

use piece::{PartId, Piece};

use crate::{Barred, Error, GoOn, Interval, NotCompared, Result, Row};

/// A small set of real alternatives.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Routes {
    /// At most six, best odds first.
    pub routes: Vec<Route>,
    /// What may not be done, and why.
    pub barred: Vec<Barred>,
    /// Parts no route could be made for, and why.
    pub left_out: Vec<NotCompared>,
}

/// One schedule per part that together make the piece match.
#[derive(Clone, Debug, PartialEq)]
pub struct Route {
    /// What it does: 'Lighten front four'.
    pub name: String,
    /// Why one would take it, in a sentence.
    pub why: String,
    /// The schedule of every part.
    pub schedules: Vec<PartSchedule>,
    /// The worst pair in sight, weighted by how the parts meet.
    pub worst_pair: Option<WorstPair>,
    /// Chance that every pair in sight, and the match sample, is within tolerance at once.
    pub chance_all_within: f64,
    /// Hours of work.
    pub hours: f64,
    /// Hours of waiting; parts dry side by side.
    pub wait_hours: f64,
    /// What cannot be undone, in words.
    pub irreversible_steps: Vec<String>,
}

/// What one part gets in a route.
#[derive(Clone, Debug, PartialEq)]
pub struct PartSchedule {
    /// The part.
    pub part: PartId,
    /// Its schedule, as ranked for it alone; ΔE and chance against the match sample, or the neighbours, in this route.
    pub row: Row,
}

/// The pair that limits a route.
#[derive(Clone, Debug, PartialEq)]
pub struct WorstPair {
    /// Name of the first part.
    pub a: String,
    /// Name of the second part, or 'match sample'.
    pub b: String,
    /// ΔE2000 between them once done.
    pub de00: Interval,
    /// ΔE2000 tolerated between them.
    pub tolerance_de00: f64,
}

/// Finds routes for the piece.
///
/// # Errors
/// [`Error::NoParts`], [`Error::NoReading`] where no part can be predicted, [`Error::Cancelled`].
pub fn routes(piece: &Piece, go_on: GoOn<'_>) -> Result<Routes> {
    if !go_on(0.0) {
        return Err(Error::Cancelled);
    }
    if piece.parts.is_empty() {
        return Err(Error::NoParts);
    }
    Ok(Routes::default())
}
