//! Uses that the laws cannot explain together with the others.

use nalgebra::{Matrix3, Vector3};

use piece::{Piece, TrialId};

use super::{Lessons, lesson::Teacher, uses::Use};
use crate::{
    draws::vector,
    evidence::{Application, Effect, Observation, Unlike},
    look::covariance,
};

/// Least squared distance, in units of what is expected, of a use that is pointed out: χ²₃ passes it once in a thousand.
pub(super) const ODD_DISTANCE2: f64 = 16.27;
/// Least ΔE2000 of one.
pub(super) const ODD_DE00: f64 = 4.0;
/// Joint draws that tell whether a use fits.
const LOOK_DRAWS: usize = 64;
/// Of many uses, one is looked at where it is missed by so many times the median miss.
const TIMES_MEDIAN: f64 = 3.5;
/// Most uses that are each tried without; of more, those that are missed most.
const MOST_SUSPECTS: usize = 8;
/// A clear or wet coat darkens by this much at least, L*, and does not take away chroma (Ayata et al. 2024, Drewno 194848:
/// L* down, a* up on nine species).
const WET_DARKENS: f64 = 4.0;
/// Times the strength, either way, by which another strength or another number of coats shows.
const OTHER_STRENGTH: f64 = 1.45;

/// A trial that does not fit what the others say of one of its steps.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OddTrial {
    /// The trial.
    pub trial: TrialId,
    /// By how much, that it counts for little, and why it may not fit, in a sentence without a stop: 'trial t3 is 9 ΔE2000
    /// off …'.
    pub words: String,
}

/// The trials of a piece that the others miss, with a likely reason; none where too few stand beside each other to say.
pub fn odd_trials(piece: &Piece) -> Vec<OddTrial> {
    Lessons::learn(&crate::set_aside::sound(piece)).odd()
}

/// A use that does not fit the others, and why that may be.
#[derive(Clone, Debug)]
pub(super) struct Odd {
    index: usize,
    off_de00: f64,
    reason: Reason,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Reason {
    SwappedWith(usize),
    Wet,
    Dry,
    Stronger,
    Weaker,
    Unknown,
}

impl Odd {
    /// The trial, and why, in words.
    pub(super) fn trial(&self, uses: &[Use]) -> OddTrial {
        OddTrial { trial: uses[self.index].trial, words: self.words(uses) }
    }

    fn words(&self, uses: &[Use]) -> String {
        let reason = match self.reason {
            Reason::SwappedWith(other) => format!("it fits trial {}: were the two swapped?", uses[other].trial),
            Reason::Wet => "was it still wet, or under a coat?".to_owned(),
            Reason::Dry => "was it said to be wet or coated, and was dry?".to_owned(),
            Reason::Stronger => "did it get more, or another coat?".to_owned(),
            Reason::Weaker => "did it get less, or reduced more?".to_owned(),
            Reason::Unknown => "still wet? wrong state? swapped?".to_owned(),
        };
        format!(
            "trial {} is {:.0} ΔE2000 off what the others say and counts for little: {reason}",
            uses[self.index].trial, self.off_de00
        )
    }
}

/// The effect that the uses teach, those that do not fit the others counting little; and which these are.
///
/// With fewer than three nothing says which of them is odd.
pub(super) fn learned(teacher: &Teacher, uses: &[Use]) -> Option<(Effect, Vec<Odd>)> {
    let mut factors = vec![1.0; uses.len()];
    let mut effect = teacher.teach(uses, &factors)?;
    let mut found: Vec<Odd> = Vec::new();
    while uses.len() >= 3 + 2 * found.len() {
        let known = |index: usize| found.iter().any(|odd| odd.index == index);
        let mut suspects: Vec<(usize, f64)> = (0..uses.len())
            .filter(|index| !known(*index))
            .map(|index| (index, Miss::of(&effect, &uses[index].observation).off_de00))
            .collect();
        suspects.sort_by(|a, b| b.1.total_cmp(&a.1));
        // An effect that misses none by half of what is odd was not led astray by any; nor one of many uses, of which one
        // cannot lead it far.
        let median = suspects.get(suspects.len() / 2).map_or(0.0, |(_, off)| *off);
        let looked_at =
            if suspects.len() > MOST_SUSPECTS { ODD_DE00.max(TIMES_MEDIAN * median) } else { ODD_DE00 / 2.0 };
        if suspects.first().is_none_or(|(_, off)| *off < looked_at) {
            break;
        }
        suspects.truncate(MOST_SUSPECTS);
        let without = suspects.iter().filter_map(|(index, _)| {
            let mut without = factors.clone();
            without[*index] = f64::INFINITY;
            let rest = teacher.teach_some(uses, &without)?;
            let miss = Miss::of(&rest, &uses[*index].observation);
            Some((*index, rest, miss))
        });
        let worst = without.max_by(|a, b| a.2.distance2.total_cmp(&b.2.distance2));
        let Some((index, rest, miss)) =
            worst.filter(|(.., miss)| miss.distance2 > ODD_DISTANCE2 && miss.off_de00 > ODD_DE00)
        else {
            break;
        };
        factors[index] = miss.distance2;
        effect = teacher.teach(uses, &factors)?;
        found.push(Odd { index, off_de00: miss.off_de00, reason: reason(&rest, uses, index) });
    }
    Some((effect, found))
}

impl Teacher {
    /// As [`Teacher::teach`], without the uses whose factor is infinite.
    fn teach_some(&self, uses: &[Use], factors: &[f64]) -> Option<Effect> {
        let kept: Vec<(Use, f64)> =
            (uses.iter().cloned().zip(factors.iter().copied())).filter(|(_, factor)| factor.is_finite()).collect();
        let (uses, factors): (Vec<Use>, Vec<f64>) = kept.into_iter().unzip();
        self.teach(&uses, &factors)
    }
}

/// By how much an effect misses an observation.
pub(super) struct Miss {
    off: Vector3<f64>,
    pub(super) off_de00: f64,
    /// Squared, in units of what the effect and the reading leave open.
    pub(super) distance2: f64,
}

impl Miss {
    pub(super) fn of(effect: &Effect, observation: &Observation) -> Self {
        Self::if_it_gave(effect, observation, observation, 1.0)
    }

    /// If the step of one observation, so many times as strong, had given the colour after another.
    fn if_it_gave(effect: &Effect, step: &Observation, gave: &Observation, times: f64) -> Self {
        let application = Application {
            strength: step.strength * times,
            conditions: &step.conditions,
            used: Some("the trial itself"),
            mix: None,
            wood: Some("the trial's"),
            unlike: Unlike::NONE,
        };
        let draws = effect.draws(&[step.before; LOOK_DRAWS], &application);
        let open = covariance(draws.iter().map(|draw| vector(*draw))) + step.reading + Matrix3::identity() * 0.01;
        let mean = draws.iter().map(|draw| vector(*draw)).sum::<Vector3<f64>>() / draws.len() as f64;
        let off = vector(gave.after) - mean;
        let mean = colour::Lab::new(mean.x, mean.y, mean.z);
        let distance2 = open.cholesky().map_or(0.0, |factor| off.dot(&factor.solve(&off)));
        Self { off, off_de00: colour::de2000(mean, gave.after), distance2 }
    }

    fn fits(&self) -> bool {
        self.distance2 < ODD_DISTANCE2 / 2.0
    }
}

/// Why a use may not fit the others, by what would make it fit.
fn reason(rest: &Effect, uses: &[Use], index: usize) -> Reason {
    let odd = &uses[index].observation;
    let swapped = (0..uses.len()).filter(|other| *other != index).find(|other| {
        let other = &uses[*other].observation;
        let differ = colour::de2000(other.after, odd.after) > ODD_DE00;
        differ && Miss::if_it_gave(rest, odd, other, 1.0).fits() && Miss::if_it_gave(rest, other, odd, 1.0).fits()
    });
    if let Some(other) = swapped {
        return Reason::SwappedWith(other);
    }
    let (more, less) = (
        Miss::if_it_gave(rest, odd, odd, OTHER_STRENGTH * OTHER_STRENGTH),
        Miss::if_it_gave(rest, odd, odd, 1.0 / (OTHER_STRENGTH * OTHER_STRENGTH)),
    );
    let off = Miss::of(rest, odd).off;
    let chroma = |lab: colour::Lab| lab.a.hypot(lab.b);
    let gains_chroma = chroma(odd.after) - {
        let expected = vector(odd.after) - off;
        expected.y.hypot(expected.z)
    };
    if off.x < -WET_DARKENS && gains_chroma > 0.0 && !more.fits() {
        Reason::Wet
    } else if off.x > WET_DARKENS && gains_chroma < 0.0 && !less.fits() {
        Reason::Dry
    } else if more.off_de00 < less.off_de00 && more.fits() {
        Reason::Stronger
    } else if less.fits() {
        Reason::Weaker
    } else {
        Reason::Unknown
    }
}
