//! What wetting, sealing and the clear coats do, learned from readings of one surface in two looks.

use colour::Lab;
use nalgebra::Matrix3;
use piece::{Piece, Reading, State};
use rayon::prelude::*;

use crate::{
    draws::vector,
    estimate::Estimate,
    evidence::{Application, Belief, Effect, Expectation, Observation, Scatter, Unlike, learn},
    laws::{Family, Law},
    look::{Look, Moment, covariance_of_difference, pooled_lab},
    published::clear_coat,
};

/// How one coated spot differs from the next before any was repeated; in strength little: a clear coat wets the wood
/// through or it does not (common practice, no source).
const SCATTER: Scatter = Scatter { strength_sd: 0.03, process_sd: 0.4 };

/// Shifts between looks.
#[derive(Clone, Debug)]
pub(crate) struct Coats {
    shifts: Vec<Shift>,
}

#[derive(Clone, Debug)]
struct Shift {
    from: Look,
    to: Look,
    effect: Effect,
    pairs: usize,
}

/// How a colour was carried from one look to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Carried {
    /// Fewest pairs of readings behind any shift on the way; 0 where only published directions stand behind it.
    pub(crate) pairs: usize,
}

impl Carried {
    /// In words, with what stands behind it.
    pub(crate) fn words(self, name: &str, from: Look, to: Look) -> String {
        let behind = match self.pairs {
            0 => "published directions only".to_owned(),
            1 => "learned from one pair of readings".to_owned(),
            pairs => format!("learned from {pairs} pairs of readings"),
        };
        format!("{name}, read {}, carried across to {} ({behind})", from.words(), to.words())
    }
}

impl Coats {
    /// Learns from every moment at which a surface was read in two looks.
    pub(crate) fn learn(piece: &Piece, moments: &[Moment<'_>]) -> Self {
        let ways = Look::ALL.into_iter().flat_map(|from| Look::ALL.map(|to| (from, to)));
        let ways: Vec<(Look, Look)> = ways.filter(|(from, to)| from != to).collect();
        let learned = |(from, to): &(Look, Look)| {
            let of_moment = |moment| observation(piece, moment, *from, *to);
            shift(*from, *to, &moments.iter().filter_map(of_moment).collect::<Vec<_>>())
        };
        Self { shifts: ways.par_iter().with_max_len(1).map(learned).collect() }
    }

    /// Carries joint draws of a colour from one look to another, on a surface and wood by name: directly where such a pair
    /// was read, else by way of a third look if that rests on more.
    pub(crate) fn carry(&self, draws: &[Lab], from: Look, to: Look, on: (&str, &str)) -> (Vec<Lab>, Option<Carried>) {
        if from == to {
            return (draws.to_vec(), None);
        }
        let direct = self.pairs(from, to);
        let by_way = Look::ALL
            .into_iter()
            .filter(|via| *via != from && *via != to)
            .map(|via| (self.pairs(from, via).min(self.pairs(via, to)), via))
            .max_by_key(|(pairs, via)| (*pairs, *via));
        match by_way {
            Some((pairs, via)) if direct == 0 && pairs > 0 => {
                let half = self.apply(draws, from, via, on);
                (self.apply(&half, via, to, on), Some(Carried { pairs }))
            }
            _ => (self.apply(draws, from, to, on), Some(Carried { pairs: direct })),
        }
    }

    fn find(&self, from: Look, to: Look) -> Option<&Shift> {
        self.shifts.iter().find(|shift| (shift.from, shift.to) == (from, to))
    }

    /// Pairs of readings behind the direct shift from one look to another.
    pub(crate) fn pairs(&self, from: Look, to: Look) -> usize {
        self.find(from, to).map_or(0, |shift| shift.pairs)
    }

    fn apply(&self, draws: &[Lab], from: Look, to: Look, (surface, wood): (&str, &str)) -> Vec<Lab> {
        let application = Application {
            strength: 1.0,
            conditions: &[],
            used: Some(surface),
            wood: Some(wood),
            mix: None,
            unlike: Unlike::NONE,
        };
        self.find(from, to).map_or_else(|| draws.to_vec(), |shift| shift.effect.draws(draws, &application))
    }
}

/// The published size of a shift as a factor on K/S ([`published`](crate::published)): wetting and varnish lower scattering,
/// so L* falls and a* rises. How far wet or sealed wood goes of the way to topcoated is common practice, no source.
fn published(from: Look, to: Look) -> Effect {
    let coat = clear_coat();
    let level = |look: Look| {
        let share = match look {
            Look::Dry => 0.0,
            Look::SpiritWet => 0.91,
            Look::Sealed => 0.95,
            Look::Topcoated => 1.0,
        };
        coat.log_factor.map(|factor| factor * share)
    };
    let sd = if from == Look::Dry || to == Look::Dry { coat.log_factor_sd } else { 0.12 };
    let (start, end) = (level(from), level(to));
    let e = std::array::from_fn(|channel| end[channel] - start[channel]);
    Effect::published(&name(from, to), Law::Factor { floor: 0.0 }, e, [sd; 3], belief())
}

/// What is believed of that scatter before any was repeated.
fn belief() -> Belief {
    Belief::about(SCATTER, 0.35, 0.6)
}

fn name(from: Look, to: Look) -> String {
    format!("coat from {} to {}", from.words(), to.words())
}

fn shift(from: Look, to: Look, observations: &[Observation]) -> Shift {
    let published = published(from, to);
    let first = observations.first().map(|one| one.before);
    let learned = first.and_then(|first| {
        let plain =
            Application { strength: 1.0, conditions: &[], used: None, mix: None, wood: None, unlike: Unlike::NONE };
        let expected = Estimate::from_draws(published.draws(&vec![first; crate::draws::COUNT], &plain)).mean;
        let change = vector(expected) - vector(first);
        let expectation = Expectation { dlab: change.into(), sd: [6.0, 3.0, 5.0], only_absorbs: false };
        learn(&name(from, to), &Family::Coat.laws(), observations, &[], expectation, &belief())
    });
    let pairs = if learned.is_some() { observations.len() } else { 0 };
    Shift { from, to, effect: learned.unwrap_or(published), pairs }
}

fn observation(piece: &Piece, moment: &Moment<'_>, from: Look, to: Look) -> Option<Observation> {
    let usable = |look: Look| -> Vec<&Reading> {
        moment.in_look(look).into_iter().filter(|reading| of_the_topcoat(piece, reading)).collect()
    };
    let (before, after) = (usable(from), usable(to));
    if before.is_empty() || after.is_empty() {
        return None;
    }
    Some(Observation {
        before: pooled_lab(&before),
        after: pooled_lab(&after),
        strength: 1.0,
        reading: covariance_of_difference(&before, &after) + Matrix3::identity() * 0.01,
        strength_sd: 0.0,
        conditions: Vec::new(),
    })
}

/// Whether a reading under a topcoat is under the one the piece will get; any other reading is.
pub(crate) fn of_the_topcoat(piece: &Piece, reading: &Reading) -> bool {
    match (&reading.state, &piece.topcoat) {
        (State::Topcoated { topcoat, .. }, Some((chosen, _))) => {
            topcoat.trim().is_empty() || topcoat.trim().to_lowercase() == chosen.trim().to_lowercase()
        }
        _ => true,
    }
}
