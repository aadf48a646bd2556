//! The schedules that the evidence supports for a part.

use piece::{Bleach, Construction, Part, Piece, Step};

use crate::{
    EvidenceKind,
    lessons::{Key, Lesson, Lessons},
    trade,
};

/// Most colour steps in one schedule.
pub(crate) const MOST_COLOUR_STEPS: usize = 3;
/// Parts of reducer to one of stain that are offered: neat, 2:1, 1:1, 1:2, 1:4, 1:8.
const REDUCER_PARTS: [f64; 6] = [0.0, 0.5, 1.0, 2.0, 4.0, 8.0];
/// Dye powder, g/L, that is offered.
const GRAMS_PER_LITRE: [f64; 4] = [4.0, 8.0, 15.0, 30.0];
/// Strengths are offered within this factor of those tried.
const BEYOND_TRIED: f64 = 2.0;
/// Most passes of toner that are offered.
const MOST_PASSES: u32 = 3;

/// Schedules of a part with what may not be done to it.
#[derive(Clone, Debug, Default)]
pub(crate) struct Offered {
    /// Colour steps with the preparations they need; the empty one is 'leave natural'.
    pub(crate) schedules: Vec<Vec<Step>>,
    /// Steps that were barred, with the reason.
    pub(crate) barred: Vec<(String, String)>,
}

/// Which strengths are offered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Reach {
    /// Those on the stated grid near what was tried.
    NearTried,
    /// All on the stated grid.
    WholeGrid,
}

/// All allowed schedules: at most one bleach, dye, stain, glaze and toner, in the order of the trade, three colour steps
/// in all, at strengths on the stated grid. 'Leave natural' is always the first.
pub(crate) fn offered(piece: &Piece, part: &Part, lessons: &Lessons, reach: Reach) -> Offered {
    let mut slots: [Vec<Vec<Step>>; 5] = Default::default();
    let mut offered = Offered::default();
    for (key, lesson) in &lessons.effects {
        let slot = match key {
            Key::Bleach(_) => 0,
            Key::Dye(_) => 1,
            Key::Stain(_) => 2,
            Key::Glaze(_) => 3,
            Key::Toner(_) => 4,
        };
        if let Some(why) = for_another_cause(piece, part, *key, lesson) {
            lesson.tried.iter().take(1).for_each(|step| bar(&mut offered.barred, piece, step, why.clone()));
            continue;
        }
        for step in strengths(*key, lesson, reach) {
            for prepared in preparations(part, &step, &lesson.prepared) {
                let mut alone = prepared.clone();
                if slot >= 3 {
                    alone.insert(0, Step::Seal);
                }
                match trade::objection(piece, part, &alone) {
                    None => slots[slot].push(prepared),
                    Some(why) => bar(&mut offered.barred, piece, &step, why),
                }
            }
        }
    }
    let mut schedules: Vec<Vec<Step>> = vec![Vec::new()];
    for (slot, choices) in slots.iter().enumerate() {
        let mut longer = Vec::new();
        for schedule in &schedules {
            let colour_steps = schedule.iter().filter(|step| Key::of(step).is_some()).count();
            if colour_steps == MOST_COLOUR_STEPS {
                continue;
            }
            for choice in choices {
                let mut steps = schedule.clone();
                if slot >= 3 && !steps.contains(&Step::Seal) {
                    steps.push(Step::Seal);
                }
                steps.extend(choice.iter().cloned());
                longer.push(steps);
            }
        }
        schedules.extend(longer);
    }
    schedules.retain(|steps| trade::objection(piece, part, steps).is_none());
    offered.schedules = schedules;
    offered
}

/// Chlorine takes out dye and oxalic acid iron and greying: what they did on one part says nothing of another.
fn for_another_cause(piece: &Piece, part: &Part, key: Key, lesson: &Lesson) -> Option<String> {
    let takes_out = match key {
        Key::Bleach(Bleach::Chlorine) => "dye",
        Key::Bleach(Bleach::Oxalic) => "iron stain and greying",
        _ => return None,
    };
    if lesson.parts.contains(&part.id) {
        return None;
    }
    let tried: Vec<&str> =
        piece.parts.iter().filter(|other| lesson.parts.contains(&other.id)).map(|other| other.name.as_str()).collect();
    Some(if tried.is_empty() {
        format!("it takes out {takes_out} only, and was not tried for this part")
    } else {
        format!("it takes out {takes_out} only, and was tried for {} but not for this part", tried.join(", "))
    })
}

fn bar(barred: &mut Vec<(String, String)>, piece: &Piece, step: &Step, why: String) {
    // One line says it for all strengths.
    let what = trade::step_name(piece, step);
    let why = why.strip_prefix(&format!("{}: ", trade::step_words(piece, step))).unwrap_or(&why).to_owned();
    if !barred.iter().any(|(other, _)| *other == what) {
        barred.push((what, why));
    }
}

/// Whether a strength is near those tried.
pub(crate) fn is_near(lesson: &Lesson, strength: f64) -> bool {
    is_near_range(lesson.effect.range(), strength)
}

/// Whether a strength is near the weakest and strongest that were tried.
pub(crate) fn is_near_range((weakest, strongest): (f64, f64), strength: f64) -> bool {
    strength >= weakest && strength <= strongest
        || is_within_reach(strength, weakest)
        || is_within_reach(strength, strongest)
}

/// Whether a strength is near another: within a factor of it.
pub(crate) fn is_within_reach(strength: f64, of: f64) -> bool {
    strength >= of / BEYOND_TRIED * 0.999 && strength <= of * BEYOND_TRIED * 1.001
}

/// The step at each strength on the stated grid; a bleach by how often it was tried.
fn grid(key: Key, lesson: &Lesson) -> Vec<Step> {
    let Key::Bleach(kind) = key else { return colour_grid(key) };
    let (_, strongest) = lesson.effect.range();
    let most = if lesson.kind != EvidenceKind::PublishedOnly { strongest as u32 } else { 1 };
    let most = most.min(if kind == Bleach::TwoPart { 2 } else { 3 });
    (1..=most).map(|times| Step::Bleach { kind, times }).collect()
}

/// The step with a product at each strength on the stated grid; none for a bleach.
pub(crate) fn colour_grid(key: Key) -> Vec<Step> {
    match key {
        Key::Bleach(_) => Vec::new(),
        Key::Dye(product) => {
            GRAMS_PER_LITRE.map(|grams_per_litre| Step::Dye { product, grams_per_litre, coats: 1 }).to_vec()
        }
        Key::Stain(product) => REDUCER_PARTS
            .map(|reducer_parts| Step::Stain { product, reducer_parts, coats: 1, wipe_minutes: None })
            .to_vec(),
        Key::Glaze(product) => REDUCER_PARTS.map(|reducer_parts| Step::Glaze { product, reducer_parts }).to_vec(),
        Key::Toner(product) => (1..=MOST_PASSES).map(|passes| Step::Toner { product, passes }).collect(),
    }
}

/// The step at each strength that is offered: the grid, and the tried strengths themselves; of a mix that was looked for,
/// those at which it was found.
pub(crate) fn strengths(key: Key, lesson: &Lesson, reach: Reach) -> Vec<Step> {
    if let Some(found) = &lesson.found {
        return found.clone();
    }
    let mut steps = grid(key, lesson);
    wiped_as_tried(&mut steps, lesson);
    if reach == Reach::NearTried {
        steps.retain(|step| Key::of(step).is_some_and(|(_, strength)| is_near(lesson, strength)));
    }
    for tried in &lesson.tried {
        if !steps.contains(tried) {
            steps.push(tried.clone());
        }
    }
    let strength = |step: &Step| Key::of(step).map_or(0.0, |(_, strength)| strength);
    steps.sort_by(|a, b| strength(a).total_cmp(&strength(b)));
    steps
}

/// States the wipe time with which a stain was tried, where one was stated: the first of those tried.
fn wiped_as_tried(steps: &mut [Step], lesson: &Lesson) {
    let tried = lesson.tried.iter().find_map(|step| match step {
        Step::Stain { wipe_minutes, .. } => Some(*wipe_minutes),
        _ => None,
    });
    for step in steps {
        if let Step::Stain { wipe_minutes, .. } = step {
            *wipe_minutes = tried.flatten();
        }
    }
}

/// A step with the preparations it is offered with: none, and those it was tried with. End grain is washcoated before
/// dye and stain, or it goes dark.
pub(crate) fn preparations(part: &Part, step: &Step, tried_with: &[Vec<Step>]) -> Vec<Vec<Step>> {
    let takes = matches!(step, Step::Dye { .. } | Step::Stain { .. });
    if takes && part.construction == Construction::EndGrain {
        return vec![vec![Step::Washcoat, step.clone()]];
    }
    let with = |prepared: &Vec<Step>| prepared.iter().chain([step]).cloned().collect();
    std::iter::once(vec![step.clone()]).chain(tried_with.iter().map(with)).collect()
}
