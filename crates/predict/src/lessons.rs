//! What a piece's trials teach: the effect of each product and bleach.

use std::collections::BTreeMap;

use colour::Lab;
use nalgebra::Matrix3;
use piece::{Bleach, Id, PartId, Piece, ProductId, Step, Surface, Trial, TrialId};

use crate::{
    EvidenceKind,
    coats::Coats,
    conditions::{conditions, has_conditions, is_pigment, modifiers, prepared},
    draws::{COUNT, vector},
    estimate::Estimate,
    evidence::{Application, Belief, Effect, Expectation, Observation, learn},
    laws::Family,
    look::{Look, Moment, covariance, pooled_draws, pooled_lab},
    published,
};

/// What a board that is not quite like its part adds, per CIELAB axis and difference (common practice, no source).
const UNLIKE_SD: f64 = 1.5;
/// A trial that the others miss by more than this is pointed out, ΔE2000.
const ODD_DE00: f64 = 6.0;

/// What has an effect of its own: a product in one use, a bleach.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Key {
    Bleach(Bleach),
    Dye(ProductId),
    Stain(ProductId),
    Glaze(ProductId),
    Toner(ProductId),
}

impl Key {
    /// The key of a colour step and its strength; None for a step that is not one.
    ///
    /// Stain reduced 1:n has 1/(1 + n) of its strength, times coats; dye counts in g/L, times coats.
    pub(crate) fn of(step: &Step) -> Option<(Self, f64)> {
        Some(match step {
            Step::Bleach { kind, times } => (Self::Bleach(*kind), f64::from(*times)),
            Step::Dye { product, grams_per_litre, coats } => (Self::Dye(*product), grams_per_litre * f64::from(*coats)),
            Step::Stain { product, reducer_parts, coats } => {
                (Self::Stain(*product), f64::from(*coats) / (1.0 + reducer_parts.max(0.0)))
            }
            Step::Glaze { product, reducer_parts } => (Self::Glaze(*product), 1.0 / (1.0 + reducer_parts.max(0.0))),
            Step::Toner { product, passes } => (Self::Toner(*product), f64::from(*passes)),
            _ => return None,
        })
    }

    /// The look in which the step acts: glaze and toner go over the sealer.
    pub(crate) fn look(self) -> Look {
        if matches!(self, Self::Glaze(_) | Self::Toner(_)) { Look::Sealed } else { Look::Dry }
    }

    fn name(self) -> String {
        match self {
            Self::Bleach(kind) => format!("bleach {kind:?}"),
            Self::Dye(id) => format!("dye {id}"),
            Self::Stain(id) => format!("stain {id}"),
            Self::Glaze(id) => format!("glaze {id}"),
            Self::Toner(id) => format!("toner {id}"),
        }
    }
}

/// An effect and what stands behind it.
#[derive(Clone, Debug)]
pub(crate) struct Lesson {
    pub(crate) effect: Effect,
    pub(crate) kind: EvidenceKind,
    pub(crate) trials: Vec<TrialId>,
    pub(crate) tried: Vec<Step>,
    /// What was done to the wood just before it in trials, where something was.
    pub(crate) prepared: Vec<Vec<Step>>,
    /// The parts it was tried on, or on a board that stands for them.
    pub(crate) parts: Vec<PartId>,
    pub(crate) notes: Vec<String>,
}

/// Everything learned from a piece.
#[derive(Clone, Debug)]
pub(crate) struct Lessons {
    pub(crate) coats: Coats,
    pub(crate) effects: BTreeMap<Key, Lesson>,
    /// Trials that taught nothing, and why.
    pub(crate) notes: Vec<String>,
}

/// The part a surface is, or stands for.
pub(crate) fn part_of(piece: &Piece, surface: Surface) -> Option<PartId> {
    match surface {
        Surface::Part(id) => Some(id),
        Surface::Board(id) => piece.board(id).map(|board| board.stands_for),
    }
}

/// One use of a step in a trial.
struct Use {
    trial: TrialId,
    step: Step,
    prepared: Vec<Step>,
    /// In how many ways its board is unlike its part.
    unlike: u8,
    observation: Observation,
}

impl Lessons {
    /// Learns from all readings and trials of a piece.
    pub(crate) fn learn(piece: &Piece) -> Self {
        let mut moments: Vec<Moment<'_>> =
            piece.parts.iter().map(|part| untouched(piece, Surface::Part(part.id))).collect();
        moments.extend(piece.boards.iter().map(|board| untouched(piece, Surface::Board(board.id))));
        moments.extend(piece.trials.iter().flat_map(|trial| moments_of(piece, trial).into_iter().map(|(_, it)| it)));
        let coats = Coats::learn(piece, &moments);

        let mut notes = Vec::new();
        let mut uses: BTreeMap<Key, Vec<Use>> = BTreeMap::new();
        for trial in &piece.trials {
            uses_of(piece, &coats, trial, &mut uses, &mut notes);
        }
        let mut effects = BTreeMap::new();
        for (key, uses) in uses {
            if let Some(lesson) = lesson(piece, key, uses) {
                effects.insert(key, lesson);
            }
        }
        for (kind, effect, note) in published::bleaches() {
            effects.entry(Key::Bleach(kind)).or_insert_with(|| Lesson {
                effect,
                kind: EvidenceKind::PublishedOnly,
                trials: Vec::new(),
                tried: vec![Step::Bleach { kind, times: 1 }],
                prepared: Vec::new(),
                parts: Vec::new(),
                notes: vec![note],
            });
        }
        Self { coats, effects, notes }
    }
}

/// The readings of a surface outside the stages of any trial.
pub(crate) fn untouched(piece: &Piece, surface: Surface) -> Moment<'_> {
    let in_stage = |id| piece.trials.iter().any(|trial| trial.stages.iter().any(|stage| stage.readings.contains(&id)));
    Moment::new(piece, piece.readings.iter().filter(|one| one.of == surface && !in_stage(one.id)).map(|one| one.id))
}

/// The moments of a trial: before it, and after each of its steps that changes the colour. A clear coat is a look of the
/// moment before it, not a new one.
pub(crate) fn moments_of<'a>(piece: &'a Piece, trial: &Trial) -> Vec<(Option<usize>, Moment<'a>)> {
    let mut moments = vec![(None, trial.before.clone())];
    for (index, stage) in trial.stages.iter().enumerate() {
        let same = matches!(stage.step, Step::Seal | Step::Topcoat { .. } | Step::LeaveNatural);
        match moments.last_mut() {
            Some((_, readings)) if same => readings.extend(&stage.readings),
            _ => moments.push((Some(index), stage.readings.clone())),
        }
    }
    moments.into_iter().map(|(index, ids)| (index, Moment::new(piece, ids))).collect()
}

fn uses_of(piece: &Piece, coats: &Coats, trial: &Trial, uses: &mut BTreeMap<Key, Vec<Use>>, notes: &mut Vec<String>) {
    let part = part_of(piece, trial.on).and_then(|id| piece.part(id)).map(AsRef::as_ref);
    let unlike = match trial.on {
        Surface::Part(_) => 0,
        Surface::Board(id) => piece.board(id).map_or(0, |board| unlike(&board.fidelity)),
    };
    let wood = part.map_or("", |part| part.wood.as_str());
    let mut before = start_of(piece, trial);
    let mut pending: Vec<usize> = Vec::new();
    for (index, moment) in moments_of(piece, trial) {
        if let Some(index) = index
            && Key::of(&trial.stages[index].step).is_some_and(|(_, strength)| strength > 0.0)
        {
            pending.push(index);
        }
        if moment.is_empty() {
            continue;
        }
        // Steps without a reading after them: another trial that did the same up to there may have one.
        if let [.., second_last, last] = pending.as_slice()
            && let Some(same) = same_so_far(piece, trial, *second_last)
        {
            before = same;
            pending = vec![*last];
        }
        match pending.as_slice() {
            [index] => {
                let step = &trial.stages[*index].step;
                let steps: Vec<Step> = trial.stages[..*index].iter().map(|stage| stage.step.clone()).collect();
                if let Some((key, strength)) = Key::of(step) {
                    let conditions = if has_conditions(key) { conditions(part, &steps) } else { Vec::new() };
                    let name = format!("{} {}", trial.id, index);
                    match observation(coats, &before, &moment, key.look(), (&name, wood)) {
                        Some((before, after, reading)) => uses.entry(key).or_default().push(Use {
                            trial: trial.id,
                            step: step.clone(),
                            prepared: prepared(&steps),
                            unlike,
                            observation: Observation {
                                before,
                                after,
                                strength,
                                reading: reading + Matrix3::identity() * (UNLIKE_SD * f64::from(unlike)).powi(2),
                                conditions,
                            },
                        }),
                        None => notes.push(format!(
                            "trial {}: no reading before its first step, so it teaches nothing",
                            trial.id
                        )),
                    }
                }
            }
            [_, _, ..] => notes.push(format!(
                "trial {}: {} colour steps between two readings cannot be told apart; read the colour after each",
                trial.id,
                pending.len()
            )),
            [] => {}
        }
        pending.clear();
        before = moment;
    }
}

/// What a trial starts from: its own readings before; else those of its surface or of another trial on it; else those of
/// the part it stands for.
pub(crate) fn start_of<'a>(piece: &'a Piece, trial: &Trial) -> Moment<'a> {
    let before = |one: &Trial| Moment::new(piece, one.before.iter().copied());
    let on_it = piece.trials.iter().filter(|other| other.on == trial.on).map(|other| before(other));
    let of_part = part_of(piece, trial.on).map(|part| untouched(piece, Surface::Part(part)));
    std::iter::once(before(trial))
        .chain([untouched(piece, trial.on)])
        .chain(on_it)
        .chain(of_part)
        .find(|moment| !moment.is_empty())
        .unwrap_or_default()
}

/// The readings that another trial for the same part took after the very same steps up to `last`.
fn same_so_far<'a>(piece: &'a Piece, trial: &Trial, last: usize) -> Option<Moment<'a>> {
    let colour_steps = |one: &Trial, last: usize| -> Vec<Step> {
        one.stages[..=last].iter().map(|stage| stage.step.clone()).filter(|step| Key::of(step).is_some()).collect()
    };
    let wanted = colour_steps(trial, last);
    let others = piece.trials.iter().filter(|other| other.id != trial.id);
    // The same surface first, then any that stands for the same part.
    let same_surface = others.clone().filter(|other| other.on == trial.on);
    let same_part = others.filter(|other| part_of(piece, other.on) == part_of(piece, trial.on));
    same_surface.chain(same_part).find_map(|other| {
        let mut moments = moments_of(piece, other).into_iter();
        moments
            .find_map(|(index, moment)| (colour_steps(other, index?) == wanted && !moment.is_empty()).then_some(moment))
    })
}

pub(crate) fn unlike(fidelity: &piece::Fidelity) -> u8 {
    u8::from(!fidelity.same_exposure) + u8::from(!fidelity.same_grit) + u8::from(!fidelity.same_stripping)
}

/// The colours before and after, in the look in which the step acts; read in it where possible, else both in one other
/// look, else each carried. With the covariance of their difference.
fn observation(
    coats: &Coats,
    before: &Moment<'_>,
    after: &Moment<'_>,
    look: Look,
    (name, wood): (&str, &str),
) -> Option<(Lab, Lab, Matrix3<f64>)> {
    let side = |moment: &Moment<'_>, name: &str| -> Option<(Lab, Vec<Lab>)> {
        let order = [look, Look::Sealed, Look::Topcoated, Look::SpiritWet, Look::Dry];
        let from = order.into_iter().find(|look| !moment.in_look(*look).is_empty())?;
        let readings = moment.in_look(from);
        let draws = pooled_draws(&readings)?;
        if from == look {
            return Some((pooled_lab(&readings), draws));
        }
        let (carried, _) = coats.carry(&draws, from, look, (name, wood));
        Some((Estimate::from_draws(carried.clone()).mean, carried))
    };
    // Both sealed or both topcoated is as good as both sealed for what goes over the sealer.
    let both = |look: Look| !before.in_look(look).is_empty() && !after.in_look(look).is_empty();
    if look == Look::Sealed && !both(look) && both(Look::Topcoated) {
        return observation(coats, before, after, Look::Topcoated, (name, wood));
    }
    let (before, before_draws) = side(before, &format!("{name} before"))?;
    let (after, after_draws) = side(after, &format!("{name} after"))?;
    let differences = before_draws.iter().zip(&after_draws).map(|(before, after)| vector(*after) - vector(*before));
    Some((before, after, covariance(differences) + Matrix3::identity() * 0.01))
}

fn lesson(piece: &Piece, key: Key, mut uses: Vec<Use>) -> Option<Lesson> {
    let (laws, expectation) = match key {
        Key::Bleach(_) => (Family::Change.laws(), Expectation { dlab: [0.0; 3], sd: [20.0, 8.0, 10.0] }),
        _ => (Family::Colourant.laws(), Expectation::OPEN),
    };
    let modifiers = match key {
        Key::Dye(id) | Key::Stain(id) => modifiers(is_pigment(piece, id)).to_vec(),
        _ => Vec::new(),
    };
    let name = key.name();
    let fit = |uses: &[Use]| {
        let observations: Vec<Observation> = uses.iter().map(|one| one.observation.clone()).collect();
        learn(&name, &laws, &observations, &modifiers, expectation, &Belief::of_a_step())
    };
    let mut effect = fit(&uses)?;
    let mut notes = Vec::new();
    if uses.len() >= 3 {
        let misses: Vec<f64> = uses.iter().map(|one| miss(&effect, &one.observation)).collect();
        let worst = misses.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1));
        if let Some((index, miss)) = worst
            && *miss > ODD_DE00
        {
            let odd = uses.remove(index);
            notes.push(format!(
                "trial {} is {miss:.0} ΔE2000 off what the others say and was left out: still wet? wrong state? swapped?",
                odd.trial
            ));
            effect = fit(&uses)?;
        }
    }
    if uses.len() == 1 {
        notes.push("one trial only: the laws keep their prior weights".to_owned());
    }
    if uses.iter().any(|one| one.unlike > 0) {
        notes.push("tried on a board that is not quite like its part".to_owned());
    }
    let mut trials: Vec<TrialId> = uses.iter().map(|one| one.trial).collect();
    trials.sort_by_key(|id| id.number());
    trials.dedup();
    let mut tried: Vec<Step> = Vec::new();
    for one in &uses {
        if !tried.contains(&one.step) {
            tried.push(one.step.clone());
        }
    }
    let mut prepared: Vec<Vec<Step>> = Vec::new();
    for one in &uses {
        if !one.prepared.is_empty() && !prepared.contains(&one.prepared) {
            prepared.push(one.prepared.clone());
        }
    }
    let parts = trials.iter().filter_map(|id| piece.trial(*id)).filter_map(|trial| part_of(piece, trial.on)).collect();
    Some(Lesson { effect, kind: EvidenceKind::Tested, trials, tried, prepared, parts, notes })
}

/// ΔE2000 between what an observation saw and what the effect says.
fn miss(effect: &Effect, observation: &Observation) -> f64 {
    let application = Application {
        strength: observation.strength,
        conditions: &observation.conditions,
        used: None,
        mix: None,
        wood: None,
    };
    let predicted = Estimate::from_draws(effect.draws(&vec![observation.before; COUNT], &application));
    colour::de2000(predicted.mean, observation.after)
}
