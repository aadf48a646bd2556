//! Which plans are shown: the best of each kind, so that the choice can be seen, then what nothing else beats.

use super::{MOST_ROUTES, Route, WORTH_IT, field::Judged};

/// A plan judged, and as it would be shown.
pub(super) struct Candidate {
    pub(super) judged: Judged,
    pub(super) route: Route,
    /// Whether it changes the part that is the match sample, so that the parts are judged against each other alone.
    pub(super) leaves_match: bool,
}

impl Candidate {
    fn is_natural(&self) -> bool {
        self.judged.changed.is_empty()
    }

    /// What it does, by the first word of its name: lighten, darken, meet, tone, leave.
    fn kind(&self) -> &str {
        self.route.name.split(' ').next().unwrap_or_default()
    }

    /// Plans that reach the match sample stand before those that leave it, whose aim is easier; leaving natural stands
    /// last unless it is likely enough to do.
    fn place(&self) -> u8 {
        match (self.is_natural(), self.leaves_match) {
            (true, _) if self.route.chance_all_within < 0.5 => 2,
            (_, true) => 1,
            _ => 0,
        }
    }
}

/// At most six routes. The best plan of each kind stands even where another beats it in everything: then its reason says
/// so. Work that hardly brings the worst pair nearer is no alternative to leaving natural.
pub(super) fn choose(mut candidates: Vec<Candidate>) -> Vec<Route> {
    candidates.sort_by(|a, b| a.place().cmp(&b.place()).then_with(|| Judged::order(&a.judged, &b.judged)));
    let left = candidates.iter().find(|one| one.is_natural()).map_or(f64::INFINITY, |one| one.judged.expected_worst);
    candidates.retain(|one| one.is_natural() || one.judged.expected_worst < WORTH_IT * left);
    let beaten_by = |one: &Candidate| {
        let beats = |other: &&Candidate| other.leaves_match == one.leaves_match && other.judged.beats(&one.judged);
        candidates.iter().find(beats).map(|other| other.route.name.clone())
    };
    let beaten: Vec<Option<String>> = candidates.iter().map(beaten_by).collect();
    let is_first = |at: usize, same: &dyn Fn(&Candidate) -> bool| candidates[..at].iter().all(|one| !same(one));
    let is_best_of_kind = |at: usize| is_first(at, &|one| one.kind() == candidates[at].kind());
    // Two of one name do the same with other means: the better stays.
    let is_new = |at: usize| is_first(at, &|one| one.route.name == candidates[at].route.name);

    let mut shown: Vec<usize> = (0..candidates.len()).filter(|&at| is_best_of_kind(at)).take(MOST_ROUTES).collect();
    let others = (0..candidates.len()).filter(|&at| !is_best_of_kind(at) && is_new(at) && beaten[at].is_none());
    let room = MOST_ROUTES - shown.len();
    shown.extend(others.take(room));
    shown.sort_unstable();
    shown.into_iter().map(|at| with_reason(&candidates[at], beaten[at].as_deref())).collect()
}

fn with_reason(candidate: &Candidate, beaten_by: Option<&str>) -> Route {
    let mut route = candidate.route.clone();
    if candidate.leaves_match {
        route.why = format!("leaves the match sample, so the parts are judged against each other alone; {}", route.why);
    }
    // A plan is beaten in its worst pair, hours and what cannot be undone by one that does something else.
    if let Some(better) = beaten_by.filter(|better| *better != route.name && !candidate.is_natural()) {
        route.why = format!("{}; no better in anything than: {better}", route.why);
    }
    route
}
