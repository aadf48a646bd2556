//! What can be done to one part, in order.

use std::sync::atomic::{AtomicUsize, Ordering};

use colour::Lab;
use piece::{Bleach, Kind, Meeting, Part, PartId, Piece, Product, ProductId, Step, TrialId};
use rayon::prelude::*;

use crate::{
    AgeingNote, Caution, Error, Estimate, GoOn, Interval, Patchiness, Result, ageing,
    anchor::Anchors,
    because::because,
    caution,
    draws::{COUNT, geometric_median},
    judge::nearness,
    lessons::{Key, Lessons, OddTrial},
    look::Look,
    mixes,
    outcome::{Outcome, Start, outcome},
    patchiness::Uneven,
    schedule::{Reach, offered},
    target::{judged_look, match_target},
    trade,
};

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
    /// Trials of the piece that the others miss, and why that may be.
    pub odd: Vec<OddTrial>,
    /// Mixes that the schedules name and that are not in the piece yet ([`crate::with_mixes`]).
    pub mixes: Vec<Product>,
}

/// One schedule for a part and what it is expected to give.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Stable within the piece: equal steps have equal ids.
    pub id: String,
    /// The steps in words.
    pub words: String,
    /// The steps in order, up to the clear coats.
    pub steps: Vec<Step>,
    /// The final colour, in the state in which the match is judged.
    pub predicted: Estimate,
    /// ΔE2000 to the colour to reach.
    pub de00: Interval,
    /// Chance to be within tolerance.
    pub chance_within: f64,
    /// Hours of work.
    pub hours: f64,
    /// Hours of waiting for it to dry.
    pub wait_hours: f64,
    /// Whether it can be taken back.
    pub reversible: WayBack,
    /// What cannot be undone, in words.
    pub irreversible: Vec<String>,
    /// What stands behind it.
    pub evidence: Evidence,
    /// The same in words: 'because of trials 2 and 5 on the same wood'. None where nothing is done.
    pub because: Option<String>,
    /// What it makes of an uneven part's patchiness. None for one that is even, or not known to be uneven.
    pub patchiness: Option<Patchiness>,
    /// What to know of the colour in a year.
    pub ageing: Vec<AgeingNote>,
    /// Cautions for its steps.
    pub cautions: Vec<Caution>,
}

/// Whether a schedule can be taken back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WayBack {
    /// All of it.
    Whole,
    /// Some of it.
    InPart,
    /// Nothing of it.
    None,
}

/// What stands behind a prediction.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    /// The trials it was learned from.
    pub trials: Vec<TrialId>,
    /// Its kind; the weakest step decides.
    pub kind: EvidenceKind,
    /// Weight of each law in the mixture of the step that moves the colour most.
    pub law_weights: Vec<(&'static str, f64)>,
    /// What to know about it: 'one trial only', 'board not aged like the part'.
    pub notes: Vec<String>,
}

/// How good the evidence is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum EvidenceKind {
    /// Trials of this piece.
    Tested,
    /// Trials of earlier pieces, from the shop book.
    EarlierPieces,
    /// Published figures only, or common practice.
    PublishedOnly,
    /// Nothing is done to the colour.
    NoEffect,
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
    let rows: Option<Vec<(Row, f64)>> = offered
        .schedules
        .par_iter()
        .map(|steps| {
            let share = done.fetch_add(1, Ordering::Relaxed) as f64 / count;
            go_on(0.2 + 0.8 * share).then(|| {
                let outcome = outcome(&chains, &anchors, part, &start, steps, look);
                let patchiness = uneven.and_then(|uneven| uneven.after(&lessons, part, steps, look));
                let mut ranked = row(piece, part, steps, outcome, &target, aim.tolerance_de00);
                ranked.0.patchiness = patchiness;
                ranked
            })
        })
        .collect();
    let mut rows = rows.ok_or(Error::Cancelled)?;
    rows.sort_by(|(a, expected_a), (b, expected_b)| {
        let published = |row: &Row| row.evidence.kind == EvidenceKind::PublishedOnly;
        let tenths = |row: &Row| (10.0 * row.chance_within).round();
        published(a)
            .cmp(&published(b))
            .then(tenths(b).total_cmp(&tenths(a)))
            .then(expected_a.total_cmp(expected_b))
            .then(a.irreversible.len().cmp(&b.irreversible.len()))
            .then(a.hours.total_cmp(&b.hours))
            .then(a.id.cmp(&b.id))
    });
    let mixes = mixes::named(&mixes, rows.iter().flat_map(|(row, _)| &row.steps));
    Ok(Ranking {
        part: part.id,
        match_sample: aim.words,
        target,
        tolerance_de00: aim.tolerance_de00,
        rows: rows.into_iter().map(|(row, _)| row).collect(),
        barred: offered.barred.into_iter().map(|(what, why)| Barred { part: part.id, what, why }).collect(),
        untried: untried(piece, &lessons),
        odd: lessons.odd(),
        mixes,
    })
}

/// What one part is to reach.
struct Aim {
    words: String,
    draws: Vec<Lab>,
    tolerance_de00: f64,
}

/// The match sample; for 'all alike', the middle of the parts it meets as they will look left natural, at the tightest
/// tolerance among them.
fn aim(piece: &Piece, lessons: &Lessons, part: &Part, look: Look) -> Result<Aim> {
    if let Some(target) = match_target(piece, lessons, look)? {
        let tolerance_de00 = piece.tolerances.match_sample_de00;
        return Ok(Aim { words: target.words, draws: target.draws, tolerance_de00 });
    }
    let others = |meeting_only: bool| -> Vec<(f64, Start)> {
        let others = piece.parts.iter().filter(|other| other.id != part.id);
        others
            .filter_map(|other| {
                let meeting = piece.meeting(part.id, other.id);
                let wanted = meeting.is_some() || !meeting_only;
                let tolerance = piece.tolerances.of(part.id, other.id, meeting.unwrap_or(Meeting::OtherPlanes));
                wanted.then(|| Start::of(piece, lessons, other, look)).flatten().map(|start| (tolerance, start))
            })
            .collect()
    };
    let mut met = others(true);
    if met.is_empty() {
        met = others(false);
    }
    if met.is_empty() {
        return Err(Error::NoMatchSample("no other part has a reading; read one, or choose a match sample".to_owned()));
    }
    let draws = (0..COUNT)
        .map(|draw| geometric_median(&met.iter().map(|(_, start)| start.natural()[draw]).collect::<Vec<_>>()))
        .collect();
    let tolerance_de00 = met.iter().map(|(tolerance, _)| *tolerance).fold(f64::INFINITY, f64::min);
    Ok(Aim { words: "all alike: the parts it meets, left natural".to_owned(), draws, tolerance_de00 })
}

/// A row, and its expected ΔE2000.
pub(crate) fn row(
    piece: &Piece,
    part: &Part,
    steps: &[Step],
    outcome: Outcome,
    target: &Estimate,
    tolerance_de00: f64,
) -> (Row, f64) {
    let predicted = Estimate::from_draws(outcome.draws);
    let near = nearness((target.mean, &target.draws), (predicted.mean, &predicted.draws), tolerance_de00);
    let mut all = if steps.is_empty() { vec![Step::LeaveNatural] } else { steps.to_vec() };
    if let Some((topcoat, sheen)) = &piece.topcoat {
        if !all.contains(&Step::Seal) {
            all.push(Step::Seal);
        }
        all.push(Step::Topcoat { topcoat: topcoat.clone(), sheen: sheen.clone() });
    }
    let row = Row {
        id: schedule_id(steps),
        words: trade::schedule_words(piece, steps),
        hours: hours(part, steps),
        wait_hours: wait_hours(piece, steps),
        reversible: trade::way_back(steps),
        irreversible: trade::irreversible(piece, steps),
        cautions: caution::for_steps(&all, piece),
        steps: all,
        predicted,
        de00: near.de00,
        chance_within: near.chance_within,
        because: because(piece, Some(part), &outcome.evidence.trials, outcome.evidence.kind),
        patchiness: None,
        ageing: ageing::notes(part, steps),
        evidence: outcome.evidence,
    };
    (row, near.expected)
}

/// Hours of the steps that colour the part; sealing is common to all schedules.
pub(crate) fn hours(part: &Part, steps: &[Step]) -> f64 {
    let area_m2 = part.area_m2.unwrap_or(trade::DEFAULT_AREA_M2);
    steps.iter().filter(|step| !matches!(step, Step::Seal)).fold(0.0, |sum, step| sum + trade::hours(step, area_m2))
}

/// Hours of drying of the steps that colour the part.
pub(crate) fn wait_hours(piece: &Piece, steps: &[Step]) -> f64 {
    // From a positive zero: an empty sum of floats is −0.
    steps.iter().fold(0.0, |sum, step| sum + trade::drying_hours(piece, step))
}

/// An id that equal steps share: 'chlorine-2+dye-c1-4'.
pub(crate) fn schedule_id(steps: &[Step]) -> String {
    let of_step = |step: &Step| match step {
        Step::LeaveNatural | Step::Seal | Step::Topcoat { .. } => None,
        Step::Sand { grit } => Some(format!("sand-{grit}")),
        Step::PreWet => Some("pre-wet".to_owned()),
        Step::DampDown => Some("damp-down".to_owned()),
        Step::Washcoat => Some("washcoat".to_owned()),
        Step::Fill { product } => Some(product.map_or_else(|| "fill".to_owned(), |id| format!("fill-{id}"))),
        Step::Bleach { kind, times } => {
            let kind = match kind {
                Bleach::TwoPart => "two-part",
                Bleach::Oxalic => "oxalic",
                Bleach::Chlorine => "chlorine",
                Bleach::CausticAlone => "caustic",
            };
            Some(format!("{kind}-{times}"))
        }
        Step::Dye { product, grams_per_litre, coats } => Some(format!("dye-{product}-{grams_per_litre}x{coats}")),
        Step::Stain { product, reducer_parts, coats, wipe_minutes } => {
            let wiped = wipe_minutes.map(|minutes| format!("w{minutes}")).unwrap_or_default();
            Some(format!("stain-{product}-{reducer_parts}x{coats}{wiped}"))
        }
        Step::Glaze { product, reducer_parts } => Some(format!("glaze-{product}-{reducer_parts}")),
        Step::Toner { product, passes } => Some(format!("toner-{product}-{passes}")),
    };
    let ids: Vec<String> = steps.iter().filter_map(of_step).collect();
    if ids.is_empty() { "leave-natural".to_owned() } else { ids.join("+") }
}

/// What is at hand but has no evidence, and trials that taught nothing.
fn untried(piece: &Piece, lessons: &Lessons) -> Vec<String> {
    let learned = |id: ProductId| {
        lessons.effects.keys().any(|key| match key {
            Key::Dye(of) | Key::Stain(of) | Key::Glaze(of) | Key::Toner(of) => *of == id,
            Key::Bleach(_) => false,
        })
    };
    let products = piece.products.iter().filter(|product| product.kind != Kind::Filler && !learned(product.id));
    let products = products.map(|product| format!("{}: not tried yet, so not predicted; make a trial", product.name));
    let bleached = |kind| lessons.effects.contains_key(&Key::Bleach(kind));
    let bleaches = [(Bleach::Oxalic, "oxalic acid"), (Bleach::Chlorine, "chlorine bleach")];
    let bleaches = bleaches.into_iter().filter(|(kind, _)| !bleached(*kind)).map(|(kind, name)| {
        let takes = if kind == Bleach::Oxalic { "iron stain and greying" } else { "dye" };
        format!("{name}: takes out {takes} only; not tried yet, so not predicted")
    });
    products.chain(bleaches).chain(lessons.notes.iter().cloned()).collect()
}
