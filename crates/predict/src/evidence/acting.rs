//! An effect acting on joint draws of a colour.

use std::sync::Arc;

use colour::{
    Lab,
    bulk::{LANES, Lanes, Planes},
};
use wide::f32x8;

use super::{Effect, effect::Application, problem::STRENGTH_RANGE};
use crate::{
    draws::{COUNT, Source},
    laws::lanes::{channels_from_lab, lab_from_channels},
};

/// Share of the variance in strength that the surfaces coloured with one mix have in common: what was weighed out, not how
/// it was wiped (common practice, no source).
const MIX_SHARE: f64 = 0.7;

/// One component of up to 512 colours.
type Plane = [f32; COUNT];

/// Normals of each axis, draw by draw.
type Normals = [Arc<[f64; COUNT]>; 3];

impl Effect {
    /// Joint draws of the colour after the step, from joint draws of the colour before it.
    ///
    /// In single precision: within 0.02 of what the laws say in `f64`, where the draws themselves lie further apart.
    pub fn draws(&self, before: &[Lab], application: &Application<'_>) -> Vec<Lab> {
        let count = before.len().min(COUNT);
        let strengths = self.strengths(count, application);
        let before = Planes::of_lab(&before[..count]);
        let mut r = [[0f32; COUNT]; 3];
        for (at, lab) in before.groups().iter().enumerate() {
            store(&mut r, at, channels_from_lab(*lab));
        }
        let after = self.after(&r, &strengths, count);

        let named = |words: String| Source::named(&words).normals3(0);
        let used = application.used.map(|used| named(use_name(&self.name, used)));
        let wood = application.wood.map(|wood| named(format!("laws of {} on {wood}", self.name)));
        let board = (application.unlike.colour_sd > 0.0).then(|| named(self.boards_name()));
        let mut labs = Vec::with_capacity(count);
        for (at, before) in before.groups().iter().enumerate() {
            let mut lab = self.off(at, *before, lab_from_channels(load(&after, at)), used.as_ref(), wood.as_ref());
            if let Some(board) = &board {
                let sd = f32x8::splat(application.unlike.colour_sd as f32);
                lab.iter_mut().zip(board).for_each(|(lab, normals)| *lab += eight(normals, at) * sd);
            }
            let [l, a, b] = lab.map(f32x8::to_array);
            let lanes = LANES.min(count - at * LANES);
            labs.extend((0..lanes).map(|lane| Lab::new(f64::from(l[lane]), f64::from(a[lane]), f64::from(b[lane]))));
        }
        labs
    }

    /// How strongly it acts in each draw: its γth power times what else changes how much takes, within a wide range of the
    /// full strength.
    fn strengths(&self, count: usize, application: &Application<'_>) -> Plane {
        let own = application.used.map(|used| Source::named(&use_name(&self.name, used)).normals(3));
        let mix = application.mix.map(|mix| Source::named(&format!("mix of {}: {mix}", self.name)).normals(0));
        let (of_mix, of_own) = if mix.is_some() { (MIX_SHARE.sqrt(), (1.0 - MIX_SHARE).sqrt()) } else { (0.0, 1.0) };
        let relative = application.strength / self.scale.unit;
        let mut strengths = [0f32; COUNT];
        if relative <= 0.0 {
            return strengths;
        }
        let log = relative.ln();
        let unlike_sd = application.unlike.strength_sd;
        let board = (unlike_sd > 0.0).then(|| Source::named(&self.boards_name()).normals(3));
        let some_condition = application.conditions.iter().any(|x| *x != 0.0);
        for (index, draw) in self.draws.each().iter().take(count).enumerate() {
            let mut log_strength = draw.gamma * log;
            if some_condition {
                log_strength += draw.log_factors.iter().zip(application.conditions).map(|(b, x)| b * x).sum::<f64>();
            }
            if let Some(board) = &board {
                log_strength += unlike_sd * board[index];
            }
            if let Some(own) = &own {
                let off = of_own * own[index] + mix.as_ref().map_or(0.0, |mix| of_mix * mix[index]);
                log_strength += self.scatter[index].strength_sd * off;
            }
            strengths[index] = log_strength as f32;
        }
        let most = f32x8::splat(STRENGTH_RANGE.ln() as f32);
        for eight in strengths.chunks_mut(LANES).take(count.div_ceil(LANES)) {
            let log = f32x8::from(&*eight).fast_min(most).fast_max(f32x8::splat(-60.0));
            eight.copy_from_slice(&log.exp().to_array());
        }
        strengths
    }

    /// Names the chance of what the boards of its trials have unlike what they stand for.
    fn boards_name(&self) -> String {
        format!("boards of {}", self.name)
    }

    /// The reflectances after the step, by the law of each draw.
    fn after(&self, before: &[Plane; 3], strengths: &Plane, count: usize) -> [Plane; 3] {
        let mut after = [[0f32; COUNT]; 3];
        for group in self.draws.groups() {
            let places = &group.places[..group.places.partition_point(|place| *place < count)];
            if places.is_empty() {
                continue;
            }
            let gathered = |plane: &Plane| {
                let mut lanes = [0.5f32; LANES];
                lanes.iter_mut().zip(places).for_each(|(lane, place)| *lane = plane[*place]);
                f32x8::from(lanes)
            };
            let s = gathered(strengths);
            for channel in 0..3 {
                let given = [gathered(&before[channel]), group.e[channel], s];
                let lanes = group.law.channel_lanes(group.constant, given).to_array();
                places.iter().zip(lanes).for_each(|(place, lane)| after[channel][*place] = lane);
            }
        }
        after
    }

    /// Eight colours after the step, off by what differs from one use to the next, and by what the laws miss on this wood.
    fn off(&self, at: usize, before: Lanes, after: Lanes, used: Option<&Normals>, wood: Option<&Normals>) -> Lanes {
        let mut by = [f32x8::ZERO; 3];
        if let Some(used) = used {
            let sd = f32x8::from(std::array::from_fn(|lane| self.scatter[at * LANES + lane].process_sd as f32));
            by.iter_mut().zip(used).for_each(|(by, normals)| *by += eight(normals, at) * sd);
        }
        if let Some(wood) = wood {
            let moved = [0, 1, 2].map(|axis| after[axis] - before[axis]);
            let size = (moved[0] * moved[0] + moved[1] * moved[1] + moved[2] * moved[2]).sqrt();
            let error = size * self.draws.law_errors(at);
            by.iter_mut().zip(wood).for_each(|(by, normals)| *by += eight(normals, at) * error);
        }
        [0, 1, 2].map(|axis| after[axis] + by[axis])
    }
}

/// The normals of eight draws.
fn eight(normals: &[f64; COUNT], at: usize) -> f32x8 {
    f32x8::from(std::array::from_fn(|lane| normals[at * LANES + lane] as f32))
}

fn use_name(effect: &str, used: &str) -> String {
    format!("use of {effect} on {used}")
}

fn store(planes: &mut [Plane; 3], at: usize, lanes: Lanes) {
    for (plane, lanes) in planes.iter_mut().zip(lanes) {
        plane[at * LANES..(at + 1) * LANES].copy_from_slice(&lanes.to_array());
    }
}

fn load(planes: &[Plane; 3], at: usize) -> Lanes {
    [0, 1, 2].map(|axis| f32x8::from(&planes[axis][at * LANES..(at + 1) * LANES]))
}

#[cfg(test)]
mod tests {
    use nalgebra::Matrix3;

    use super::*;
    use crate::{
        draws::vector,
        evidence::{Belief, Expectation, Observation, learn},
        laws::Law,
    };

    /// Root of the mean square of what a law may miss on one wood, as a share of the move, per axis.
    fn missed(law: Law, expectation: Expectation) -> f64 {
        let (before, after) = (Lab::new(70.0, 8.0, 24.0), Lab::new(52.0, 12.0, 26.0));
        let observation = Observation {
            before,
            after,
            strength: 1.0,
            reading: Matrix3::identity() * 0.01,
            strength_sd: 0.0,
            conditions: Vec::new(),
        };
        let effect = learn("one", &[(law, 1.0)], &[observation], &[], expectation, &Belief::of_a_step());
        let effect = effect.expect("any law explains one trial");
        let on = |wood| Application {
            strength: 1.0,
            conditions: &[],
            used: None,
            wood,
            mix: None,
            unlike: crate::evidence::Unlike::NONE,
        };
        let bare = [before; COUNT];
        let pairs = effect.draws(&bare, &on(None)).into_iter().zip(effect.draws(&bare, &on(Some("another"))));
        let shares = pairs.map(|(exact, off)| {
            let moved = (vector(exact) - vector(before)).norm_squared();
            (vector(off) - vector(exact)).norm_squared() / moved / 3.0
        });
        (shares.sum::<f64>() / COUNT as f64).sqrt()
    }

    /// Which laws miss more, as `measure-transfer` shows it on its building seeds: a film that hides covered least of its
    /// truths, a colourant in the wood nearly all. Nothing of the kind was measured of clear coats and bleaches.
    #[test]
    fn a_film_that_hides_is_less_sure_than_a_colourant_in_the_wood() {
        let film = missed(Law::Film { hiding: 0.15 }, Expectation::OPEN);
        let (clear, in_wood) = (missed(Law::Log, Expectation::OPEN), missed(Law::Ks, Expectation::OPEN));
        assert!(in_wood < clear && clear < film, "in the wood {in_wood}, clear film {clear}, hiding film {film}");
        let coat = Expectation { only_absorbs: false, ..Expectation::OPEN };
        let (clear_coat, wetted) = (missed(Law::Log, coat), missed(Law::Ks, coat));
        assert!((clear_coat / wetted - 1.0).abs() < 0.05, "clear coat {clear_coat}, wetted {wetted}");
        assert!(wetted > in_wood, "{wetted} is no more than {in_wood}");
    }
}
