//! Joint plans for the whole piece.

mod choose;
mod field;
mod naming;

use piece::{Part, PartId, Piece, Step};
use rayon::prelude::*;

use crate::{
    Barred, Error, GoOn, Interval, NotCompared, Result, Row,
    lessons::Lessons,
    outcome::Start,
    target::{judged_look, match_target},
};
use choose::{Candidate, choose};
use field::Field;

/// A small set of real alternatives.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Routes {
    /// At most six, best odds first; those that leave the match sample stand after those that reach it.
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

/// Most routes that are shown.
const MOST_ROUTES: usize = 6;
/// A plan is not refined below this share of what is tolerated: the work would not be seen.
const GOOD_ENOUGH: f64 = 0.6;
/// Hours that a step which cannot be undone counts for, when plans of equal worth are weighed (common practice, no
/// source).
const IRREVERSIBLE_HOURS: f64 = 2.0;
/// Share of the worst pair left natural that a route must get below to be shown.
const WORTH_IT: f64 = 0.8;
/// Groups up to which every choice of groups to change is tried.
const MOST_GROUPS: usize = 6;

/// Finds routes for the piece.
///
/// Alike parts get one schedule. For every choice of which groups to change, the exact least worst pair on predicted
/// means is found, then the cheapest plan about as good; the plans are judged by joint draws. The best of each kind
/// (lighten, darken, meet between, leave natural) is shown, and what no other beats in everything. Schedules that rest on published figures only are used where no trial was made.
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
    let lessons = Lessons::learn(piece);
    let look = judged_look(piece);
    let target = match_target(piece, &lessons, look)?;
    let mut left_out = Vec::new();
    let mut parts: Vec<(&Part, Start)> = Vec::new();
    for part in &piece.parts {
        match Start::of(piece, &lessons, part, look) {
            Some(start) => parts.push((part, start)),
            None => left_out.push(NotCompared {
                parts: vec![part.id],
                reason: format!("{} has no reading, so no route can judge it; read its colour", part.name),
            }),
        }
    }
    if parts.is_empty() {
        return Err(Error::NoReading("no part of the piece".to_owned()));
    }
    if !go_on(0.1) {
        return Err(Error::Cancelled);
    }
    // A match sample that is a part of the piece may be left: then the parts are judged against each other alone.
    let part_to_match = target.as_ref().and_then(|target| target.part);
    let alike = match part_to_match {
        Some(_) => Some(Field::new(piece, &lessons, look, parts.clone(), None, go_on)?),
        None => None,
    };
    let field = Field::new(piece, &lessons, look, parts, target, go_on)?;
    let mut candidates = candidates(&field, false, &|_| true);
    if let Some(alike) = &alike {
        let changes_match = |plan: &[Vec<Step>]| {
            (alike.parts.iter().zip(plan)).any(|((part, _), steps)| Some(part.id) == part_to_match && !steps.is_empty())
        };
        candidates.extend(self::candidates(alike, true, &changes_match));
    }
    let routes = choose(candidates);
    if !go_on(1.0) {
        return Err(Error::Cancelled);
    }
    Ok(Routes { routes, barred: field.barred, left_out })
}

/// The plans of a field that are wanted, judged.
fn candidates(field: &Field<'_>, leaves_match: bool, wanted: &dyn Fn(&[Vec<Step>]) -> bool) -> Vec<Candidate> {
    let plans: Vec<_> = field.plans().into_iter().filter(|plan| wanted(plan)).collect();
    let candidate = |plan: &Vec<Vec<Step>>| {
        let judged = field.judge(plan);
        Candidate { route: field.route(&judged), judged, leaves_match }
    };
    plans.par_iter().map(candidate).collect()
}
