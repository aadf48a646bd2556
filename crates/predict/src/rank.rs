//! What can be done to one part, in order.

mod aim;
mod id;
mod row;

use std::sync::atomic::{AtomicUsize, Ordering};

use piece::{Bleach, Kind, Part, PartId, Piece, Product, ProductId, Step};
use rayon::prelude::*;

use crate::{
    Error, Estimate, GoOn, Result,
    anchor::Anchors,
    lessons::{Key, Lessons, OddTrial},
    mixes,
    outcome::{Start, outcome},
    patchiness::Uneven,
    schedule::{Reach, offered},
    set_aside::sound,
    target::judged_look,
    trade,
};
use aim::aim;
pub(crate) use id::schedule_id;
pub use row::{Evidence, EvidenceKind, Row, WayBack};
pub(crate) use row::{hours, row, wait_hours};

/// Every schedule for a part that the evidence supports, best first.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranking {
    /// The part.
    pub part: PartId,
    /// The colour to reach, in words.
    pub match_sample: String,
    /// The colour to reach.
    pub target: Estimate,
    /// ΔE2000 that counts as a match.
    pub tolerance_de00: f64,
    /// The schedules; 'leave natural' is always among them.
    pub rows: Vec<Row>,
    /// What may not be done, and why.
    pub barred: Vec<Barred>,
    /// Steps with no evidence: not predicted.
    pub untried: Vec<String>,
    /// Of the piece's trials: what stands in where a reading is missing, and what teaches nothing.
    pub notes: Vec<String>,
    /// Trials of the piece that the others miss, and why that may be.
    pub odd: Vec<OddTrial>,
    /// Mixes that the schedules name and that are not in the piece yet ([`crate::with_mixes`]).
    pub mixes: Vec<Product>,
}

/// Something that may not be done.
#[derive(Clone, Debug, PartialEq)]
pub struct Barred {
    /// The part.
    pub part: PartId,
    /// The step in words.
    pub what: String,
    /// Why not.
    pub why: String,
}

/// Ranks all schedules for a part.
///
/// Order: tested before published only; then chance to be within tolerance, in tenths, for smaller differences are no
/// reason; then expected ΔE2000, steps that cannot be undone, hours, id. Hours are those of the colour steps; the clear coats are the same for every schedule.
///
/// # Errors
/// [`Error::UnknownPart`], [`Error::NoReading`], [`Error::NoMatchSample`], [`Error::Cancelled`].
pub fn rank(piece: &Piece, part: PartId, go_on: GoOn<'_>) -> Result<Ranking> {
    if !go_on(0.0) {
        return Err(Error::Cancelled);
    }
    let sound = sound(piece);
    let piece = sound.as_ref();
    let part = piece.part(part).ok_or_else(|| Error::UnknownPart(part.to_string()))?;
    let mut lessons = Lessons::learn(piece);
    let mixes = mixes::find(piece, &mut lessons);
    let with_mixes = mixes::with_mixes(piece, &mixes);
    let piece = with_mixes.as_ref();
    let look = judged_look(piece);
    let start = Start::of(piece, &lessons, part, look).ok_or_else(|| Error::NoReading(part.name.clone()))?;
    let anchors = Anchors::of(piece, &lessons, look);
    let aim = aim(piece, &lessons, part, look)?;
    let target = Estimate::from_draws(aim.draws);
    if !go_on(0.2) {
        return Err(Error::Cancelled);
    }
    let offered = offered(piece, part, &lessons, Reach::NearTried);
    let uneven = Uneven::of(piece, part);
    let chains = start.chains(&lessons, part);
    let done = AtomicUsize::new(0);
    let count = offered.schedules.len().max(1) as f64;
    let rows: Option<Vec<Row>> = offered
        .schedules
        .par_iter()
        .map(|steps| {
            let share = done.fetch_add(1, Ordering::Relaxed) as f64 / count;
            go_on(0.2 + 0.8 * share).then(|| {
                let outcome = outcome(&chains, &anchors, part, &start, steps, look);
                let patchiness = uneven.and_then(|uneven| uneven.after(&lessons, part, steps, look));
                let mut ranked = row(piece, part, steps, outcome, &target, aim.tolerance_de00);
                ranked.patchiness = patchiness;
                ranked
            })
        })
        .collect();
    let mut rows = rows.ok_or(Error::Cancelled)?;
    rows.sort_by(|a, b| {
        let published = |row: &Row| row.evidence.kind == EvidenceKind::PublishedOnly;
        let tenths = |row: &Row| (10.0 * row.chance_within).round();
        published(a)
            .cmp(&published(b))
            .then(tenths(b).total_cmp(&tenths(a)))
            .then(a.expected_de00.total_cmp(&b.expected_de00))
            .then(a.irreversible.len().cmp(&b.irreversible.len()))
            .then(a.hours.total_cmp(&b.hours))
            .then(a.id.cmp(&b.id))
    });
    let mixes = mixes::named(&mixes, rows.iter().flat_map(|row| &row.steps));
    Ok(Ranking {
        part: part.id,
        match_sample: aim.words,
        target,
        tolerance_de00: aim.tolerance_de00,
        rows,
        barred: offered.barred.into_iter().map(|(what, why)| Barred { part: part.id, what, why }).collect(),
        untried: untried(piece, part, &lessons),
        notes: lessons.notes.clone(),
        odd: lessons.odd(),
        mixes,
    })
}

/// What is at hand but has no evidence.
fn untried(piece: &Piece, part: &Part, lessons: &Lessons) -> Vec<String> {
    let learned = |id: ProductId| {
        lessons.effects.keys().any(|key| match key {
            Key::Dye(of) | Key::Stain(of) | Key::Glaze(of) | Key::Toner(of) => *of == id,
            Key::Bleach(_) => false,
        })
    };
    let products = piece.products.iter().filter(|product| product.kind != Kind::Filler && !learned(product.id));
    let products = products.map(|product| format!("{}: predicted once a trial is made", product.name));
    let bleached = |kind| lessons.effects.contains_key(&Key::Bleach(kind));
    let bleaches = [(Bleach::Oxalic, "oxalic acid"), (Bleach::Chlorine, "chlorine bleach")];
    let bleaches = bleaches.into_iter().filter(|(kind, _)| !bleached(*kind)).map(|(kind, name)| {
        if let Some(why) = trade::objection(piece, part, &[Step::Bleach { kind, times: 1 }]) {
            return format!("{name}: not to be tried: {}", why.split_once(": ").map_or(&*why, |(_, why)| why));
        }
        let takes = if kind == Bleach::Oxalic { "iron stain and greying" } else { "dye" };
        format!("{name}: takes out {takes} only; predicted once a trial is made")
    });
    products.chain(bleaches).collect()
}
