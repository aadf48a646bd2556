//! Chains of colour steps on one surface; what chains begin with alike is worked out once.

use std::{
    collections::{BTreeSet, HashMap},
    sync::{Arc, Mutex, OnceLock, PoisonError},
};

use colour::Lab;
use piece::{Part, Step, TrialId};

use crate::{
    Evidence, EvidenceKind,
    conditions::{conditions, has_conditions},
    draws::vector,
    evidence::{Application, Unlike},
    lessons::{Key, Lesson, Lessons, mix_of},
    look::Look,
    rank::schedule_id,
    schedule::MOST_COLOUR_STEPS,
};

/// Where steps are done.
#[derive(Clone, Debug)]
pub(crate) struct Place<'a> {
    /// Names this use.
    pub(crate) name: String,
    /// The part, or the one a board stands for.
    pub(crate) part: Option<&'a Part>,
    /// The wood.
    pub(crate) wood: &'a str,
    /// How the surface is unlike the part it stands for.
    pub(crate) unlike: Unlike,
}

impl<'a> Place<'a> {
    /// A part itself.
    pub(crate) fn of(part: &'a Part) -> Self {
        Self { name: part.id.to_string(), part: Some(part), wood: &part.wood, unlike: Unlike::NONE }
    }

    fn named(&self) -> (&str, &str) {
        (&self.name, self.wood)
    }
}

/// What the laws say of chains of steps on one surface.
#[derive(Debug)]
pub(crate) struct Chains<'a> {
    lessons: &'a Lessons,
    place: Place<'a>,
    bare: Arc<Link>,
    /// By the steps up to the last one that colours.
    kept: Mutex<HashMap<String, Arc<Link>>>,
}

/// The colour after a step, with the step that moved it most so far.
#[derive(Debug)]
struct Link {
    draws: Vec<Lab>,
    /// The look in which the step acts.
    look: Look,
    sealed: OnceLock<Vec<Lab>>,
    leading: Option<(Key, f64)>,
}

impl<'a> Chains<'a> {
    /// On wood of this colour, dry.
    pub(crate) fn new(lessons: &'a Lessons, place: Place<'a>, dry: &[Lab]) -> Self {
        let bare = Link { draws: dry.to_vec(), look: Look::Dry, sealed: OnceLock::new(), leading: None };
        Self { lessons, place, bare: Arc::new(bare), kept: Mutex::default() }
    }

    /// Joint draws of the colour after all of the steps, as it is seen in a look.
    pub(crate) fn seen(&self, steps: &[Step], look: Look) -> Vec<Lab> {
        let last = self.link(steps);
        self.lessons.coats.carry(&last.draws, last.look, look, self.place.named()).0
    }

    /// The same, and what stands behind it.
    pub(crate) fn seen_because(&self, steps: &[Step], look: Look) -> (Vec<Lab>, Evidence) {
        let last = self.link(steps);
        let (draws, _) = self.lessons.coats.carry(&last.draws, last.look, look, self.place.named());
        (draws, self.evidence(&last, steps, look))
    }

    fn evidence(&self, last: &Link, steps: &[Step], look: Look) -> Evidence {
        let effects = &self.lessons.effects;
        let lessons = || steps.iter().filter_map(Key::of).filter_map(|(key, _)| effects.get(&key));
        let mut notes: Vec<String> = Vec::new();
        for note in lessons().flat_map(Lesson::all_notes) {
            if !notes.contains(note) {
                notes.push(note.clone());
            }
        }
        let (_, how) = self.lessons.coats.carry(&[], last.look, look, self.place.named());
        if how.is_some_and(|how| how.pairs == 0) {
            notes.push(format!("{} carried to {} by published directions only", last.look.words(), look.words()));
        }
        let trials: BTreeSet<TrialId> = lessons().flat_map(|lesson| lesson.trials.iter().copied()).collect();
        let leading = last.leading.and_then(|(key, _)| effects.get(&key));
        Evidence {
            trials: trials.into_iter().collect(),
            kind: lessons().map(|lesson| lesson.kind).max().unwrap_or(EvidenceKind::NoEffect),
            law_weights: leading.map(|lesson| lesson.effect.law_weights()).unwrap_or_default(),
            notes,
        }
    }

    /// The link of the last step that colours.
    fn link(&self, steps: &[Step]) -> Arc<Link> {
        let colours = |step: &Step| Key::of(step).is_some_and(|(key, _)| self.lessons.effects.contains_key(&key));
        let Some(last) = steps.iter().rposition(colours) else { return Arc::clone(&self.bare) };
        let id = schedule_id(&steps[..=last]);
        let kept = || self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(found) = kept().get(&id) {
            return Arc::clone(found);
        }
        let link = Arc::new(self.next(&self.link(&steps[..last]), &steps[..=last]));
        // The longest chains begin no other.
        if steps.iter().filter(|step| colours(step)).count() < MOST_COLOUR_STEPS {
            kept().insert(id, Arc::clone(&link));
        }
        link
    }

    /// On from a link by the last of these steps.
    fn next(&self, from: &Link, steps: &[Step]) -> Link {
        let step = steps.last().and_then(|step| Key::of(step).map(|(key, strength)| (step, key, strength)));
        let found = step.and_then(|(step, key, strength)| Some((step, key, strength, self.lessons.effects.get(&key)?)));
        let Some((step, key, strength, lesson)) = found else {
            return Link { draws: from.draws.clone(), sealed: OnceLock::new(), ..*from };
        };
        let on = self.place.named();
        let (draws, look) = if from.look == Look::Dry && key.look() == Look::Sealed {
            let sealed = || self.lessons.coats.carry(&from.draws, Look::Dry, Look::Sealed, on).0;
            (from.sealed.get_or_init(sealed), Look::Sealed)
        } else {
            (&from.draws, from.look)
        };
        let conditions = if has_conditions(key) { conditions(self.place.part, steps) } else { Vec::new() };
        let application = Application {
            strength,
            conditions: &conditions,
            used: Some(on.0),
            wood: Some(on.1),
            mix: Some(&mix_of(step)),
            unlike: lesson.unlike.beyond(self.place.unlike),
        };
        let after = lesson.effect.draws(draws, &application);
        let moved: f64 = draws.iter().zip(&after).map(|(a, b)| (vector(*a) - vector(*b)).norm()).sum();
        let leads = from.leading.is_none_or(|(_, most)| moved > most);
        let leading = if leads { Some((key, moved)) } else { from.leading };
        Link { draws: after, look, sealed: OnceLock::new(), leading }
    }
}
