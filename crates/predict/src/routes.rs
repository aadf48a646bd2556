//! Joint plans for the whole piece.

mod choose;
mod colours;
pub(crate) mod field;
pub(crate) mod judged;
pub(crate) mod naming;
mod pairs;
pub(crate) mod plans;
mod shown;

use piece::{PartId, Piece, Product, Step};
use rayon::prelude::*;

use crate::{Barred, Error, GoOn, Interval, NotCompared, Result, Row, lessons::Lessons, mixes, set_aside::sound};
use choose::{Candidate, Chosen, choose};
use field::{Field, Rest};
pub use naming::every_pair;

/// A small set of real alternatives.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Routes {
    /// At most six, the one that is expected to count for the fewest hours first; those that change the match sample stand
    /// after those that keep it.
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
    /// Liquid that is used up, ml.
    pub product_ml: f64,
    /// What cannot be undone, in words.
    pub irreversible_steps: Vec<String>,
    /// Parts that it says nothing of, and why ([`every_pair`]).
    pub left_out: Vec<NotCompared>,
    /// Mixes that its schedules name and that are not in the piece yet ([`crate::with_mixes`]).
    pub mixes: Vec<Product>,
}

/// What one part gets in a route.
#[derive(Clone, Debug, PartialEq)]
pub struct PartSchedule {
    /// The part.
    pub part: PartId,
    /// Its schedule, as ranked for it alone; ΔE and chance against the match sample, or the neighbours, in this route.
    pub row: Row,
}

/// How far apart the worst pair in sight is once done, and which pair that is expected to be.
#[derive(Clone, Debug, PartialEq)]
pub struct WorstPair {
    /// Name of the first part of the pair that is expected to be worst.
    pub a: String,
    /// Name of the second part, or 'match sample'.
    pub b: String,
    /// ΔE2000 of the worst pair of each joint draw, whichever that is: the median of all draws and their 90 % interval. A pair
    /// of another tolerance counts by its share of that, so the median is above the tolerance exactly where the odds that
    /// every pair is within are less than even.
    pub de00: Interval,
    /// ΔE2000 tolerated between the two that are named.
    pub tolerance_de00: f64,
}

/// What stands in place of a second part where a part is held against the match sample.
const MATCH_SAMPLE: &str = "match sample";

impl WorstPair {
    /// In words: 'expected to be door and rail, ΔE2000 1.9 (0.4–3.1) where 2.5 is a match'.
    pub fn words(&self) -> String {
        let the = if self.b == MATCH_SAMPLE { "the " } else { "" };
        format!(
            "expected to be {} and {the}{}, ΔE2000 {} where {:.1} is a match",
            self.a,
            self.b,
            self.de00.words(),
            self.tolerance_de00
        )
    }
}

/// Most routes that are shown.
const MOST_ROUTES: usize = 6;
/// Share of the worst pair left natural that a route must get below to be shown.
const WORTH_IT: f64 = 0.8;

/// Finds routes for the piece.
///
/// Alike parts get one schedule. For every choice of which groups to change, the exact least worst pairs on predicted
/// means are found, and the cheapest plan about as good; where all plans are few, each is taken. The plans are judged by
/// joint draws and ordered by the hours they are expected to count for ([`crate::trade::Worth`]). The best of each kind
/// (lighten, darken, meet between, leave natural) is shown, and what no other beats in everything. A match sample that is
/// a part of the piece may be changed too: the route is judged against how that part looks now. Schedules that rest on
/// published figures only are used where no trial was made.
///
/// # Errors
/// [`Error::NoParts`], [`Error::NoReading`] where no part can be predicted, [`Error::Cancelled`].
pub fn routes(piece: &Piece, go_on: GoOn<'_>) -> Result<Routes> {
    if !go_on(0.0) {
        return Err(Error::Cancelled);
    }
    let sound = sound(piece);
    let piece = sound.as_ref();
    let mut lessons = Lessons::learn(piece);
    let mixes = mixes::find(piece, &mut lessons);
    let with_mixes = mixes::with_mixes(piece, &mixes);
    let (field, chosen) = chosen(&with_mixes, &lessons, go_on)?;
    let mut routes: Vec<Route> = chosen.par_iter().map(|chosen| shown_route(&field, chosen, &mixes)).collect();
    naming::say_what_each_is_best_in(&mut routes);
    if !go_on(1.0) {
        return Err(Error::Cancelled);
    }
    Ok(Routes { routes, barred: field.barred, left_out: field.left_out })
}

/// The steps of each part with a reading, by place, of each route that is shown, in their order.
///
/// # Errors
/// As [`routes`].
pub(crate) fn shown_plans(piece: &Piece, lessons: &Lessons, go_on: GoOn<'_>) -> Result<Vec<Vec<Vec<Step>>>> {
    let (field, chosen) = chosen(piece, lessons, go_on)?;
    let steps =
        |choices: &Vec<usize>| choices.iter().enumerate().map(|(at, one)| field.steps(at, *one).to_vec()).collect();
    Ok(chosen.iter().map(|chosen| steps(&chosen.candidate.judged.choices)).collect())
}

/// The plans that are shown, on the field they were found on.
fn chosen<'a>(piece: &'a Piece, lessons: &'a Lessons, go_on: GoOn<'_>) -> Result<(Field<'a>, Vec<Chosen>)> {
    let field = Field::new(piece, lessons, Rest::OnTrials, go_on)?;
    field.work_out(go_on)?;
    let candidate = |choices: &Vec<usize>| {
        let judged = field.judge(choices);
        Candidate { name: naming::name(&field, &judged), leaves_match: field.leaves_match(&judged.changed), judged }
    };
    let candidates: Vec<Candidate> = field.plans().par_iter().map(candidate).collect();
    if !go_on(0.9) {
        return Err(Error::Cancelled);
    }
    let chosen = choose(candidates);
    Ok((field, chosen))
}

fn shown_route(field: &Field<'_>, Chosen { candidate, beaten_by }: &Chosen, mixes: &[Product]) -> Route {
    let mut route = field.route(&candidate.judged);
    route.mixes = mixes::named(mixes, route.schedules.iter().flat_map(|schedule| &schedule.row.steps));
    if candidate.leaves_match {
        route.why = format!("changes the match sample itself, and is judged against how it looks now; {}", route.why);
    }
    if let Some(better) = beaten_by {
        route.why = format!(
            "{}; shown because it does something else: '{better}' is as good or better in all of this",
            route.why
        );
    }
    route
}
