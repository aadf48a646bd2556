//! Which plans are shown: the best of each kind, so that the choice can be seen, then what nothing else beats.

use super::{MOST_ROUTES, WORTH_IT, judged::Judged};

/// A plan judged, with its name.
pub(super) struct Candidate {
    pub(super) judged: Judged,
    pub(super) name: String,
    /// Whether it changes the part that is the match sample.
    pub(super) leaves_match: bool,
}

impl Candidate {
    fn is_natural(&self) -> bool {
        self.judged.changed.is_empty()
    }

    /// What it does, by the first word of its name: lighten, darken, meet, tone, leave.
    fn kind(&self) -> &str {
        self.name.split(' ').next().unwrap_or_default()
    }

    /// Plans that keep the match sample stand before those that change it; leaving natural stands last unless it is likely
    /// enough to do.
    fn place(&self) -> u8 {
        match (self.is_natural(), self.leaves_match) {
            (true, _) if self.judged.chance_all_within < 0.5 => 2,
            (_, true) => 1,
            _ => 0,
        }
    }
}

/// A plan that is shown.
pub(super) struct Chosen {
    pub(super) candidate: Candidate,
    /// The name of a plan that is as good in everything and does something else.
    pub(super) beaten_by: Option<String>,
}

/// At most six plans. The best of each kind stands even where another beats it in everything: then its reason says so.
/// Work that hardly brings the worst pair nearer is no alternative to leaving natural.
pub(super) fn choose(mut candidates: Vec<Candidate>) -> Vec<Chosen> {
    candidates.sort_by(|a, b| a.place().cmp(&b.place()).then_with(|| Judged::order(&a.judged, &b.judged)));
    let left = candidates.iter().find(|one| one.is_natural()).map_or(f64::INFINITY, |one| one.judged.expected_worst);
    candidates.retain(|one| one.is_natural() || one.judged.expected_worst < WORTH_IT * left);
    let is_first = |at: usize, same: &dyn Fn(&Candidate) -> bool| candidates[..at].iter().all(|one| !same(one));
    // Two of one name do the same with other means: the better stays.
    let named: Vec<usize> =
        (0..candidates.len()).filter(|&at| is_first(at, &|one| one.name == candidates[at].name)).collect();
    let is_best_of_kind = |at: usize| is_first(at, &|one| one.kind() == candidates[at].kind());
    // A plan is beaten in all it counts for by one that does something else.
    let beaten_by = |at: usize| {
        let one = &candidates[at];
        let beats = |other: &&Candidate| other.name != one.name && other.judged.beats(&one.judged);
        (!one.is_natural()).then(|| candidates.iter().find(beats)).flatten().map(|other| other.name.clone())
    };
    let mut shown: Vec<usize> = named.iter().copied().filter(|&at| is_best_of_kind(at)).take(MOST_ROUTES).collect();
    let others = named.iter().copied().filter(|&at| !is_best_of_kind(at) && beaten_by(at).is_none());
    let room = MOST_ROUTES - shown.len();
    shown.extend(others.take(room));
    shown.sort_unstable();
    let beaten: Vec<Option<String>> = shown.iter().map(|at| beaten_by(*at)).collect();
    let is_shown = |(at, candidate): (usize, Candidate)| shown.contains(&at).then_some(candidate);
    let candidates = candidates.into_iter().enumerate().filter_map(is_shown);
    candidates.zip(beaten).map(|(candidate, beaten_by)| Chosen { candidate, beaten_by }).collect()
}
