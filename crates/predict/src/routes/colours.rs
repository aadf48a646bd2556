//! How far apart the choices of groups are, in one colour for each choice.

use colour::{
    Lab,
    bulk::{Planes, de2000_of_pairs},
};

use super::{field::Field, pairs::Pair};

/// One colour for each choice of each part: the middle of what it gives, or what it gives in one joint draw.
pub(super) struct Colours<'a> {
    field: &'a Field<'a>,
    parts: Vec<Vec<Lab>>,
    planes: Vec<Planes>,
    target: Option<Lab>,
}

impl<'a> Colours<'a> {
    /// On means.
    pub(super) fn on_means(field: &'a Field<'a>) -> Self {
        Self::new(field, field.target_mean, |place, choice| field.mean(place, choice))
    }

    /// In one joint draw.
    pub(super) fn in_draw(field: &'a Field<'a>, draw: usize) -> Self {
        let target = field.target.as_ref().map(|target| target.draws[draw]);
        Self::new(field, target, |place, choice| field.outcome(place, choice).draws[draw])
    }

    fn new(field: &'a Field<'a>, target: Option<Lab>, of: impl Fn(usize, usize) -> Lab) -> Self {
        let choices = |place: usize| 0..field.schedules[field.group_of(place)].len();
        let parts: Vec<Vec<Lab>> =
            (0..field.parts.len()).map(|place| choices(place).map(|choice| of(place, choice)).collect()).collect();
        let planes = parts.iter().map(|colours| Planes::of_lab(colours)).collect();
        Self { field, parts, planes, target }
    }

    /// The groups of the parts of a pair; the match sample is of the group that is held against it.
    fn groups(&self, pair: &Pair) -> (usize, usize) {
        let a = self.field.group_of(pair.a);
        (a, pair.b.map_or(a, |b| self.field.group_of(b)))
    }

    /// Groups that meet, the lower one first.
    pub(super) fn meet(&self) -> Vec<(usize, usize)> {
        let mut meet: Vec<(usize, usize)> = Vec::new();
        for pair in &self.field.pairs {
            let (a, b) = self.groups(pair);
            if a != b && !meet.contains(&(a.min(b), a.max(b))) {
                meet.push((a.min(b), a.max(b)));
            }
        }
        meet
    }

    /// The worst ratio to what is tolerated inside a group, for each of its choices.
    pub(super) fn alone(&self, group: usize) -> Vec<f64> {
        let mut worst = vec![0.0; self.field.schedules[group].len()];
        for pair in self.field.pairs.iter().filter(|pair| self.groups(pair) == (group, group)) {
            let of_target;
            let b = match (pair.b, self.target) {
                (Some(b), _) => &self.planes[b],
                (None, Some(target)) => {
                    of_target = Planes::of_lab(&vec![target; worst.len()]);
                    &of_target
                }
                (None, None) => continue,
            };
            widen(&mut worst, &de2000_of_pairs(&self.planes[pair.a], b), pair.tolerance_de00);
        }
        worst
    }

    /// The worst ratio of one choice of a group to each choice of another.
    pub(super) fn apart(&self, a: usize, b: usize, choice: usize) -> Vec<f64> {
        let mut worst = vec![0.0; self.field.schedules[b].len()];
        for pair in &self.field.pairs {
            let Some(other) = pair.b else { continue };
            let (here, there) = match self.groups(pair) {
                groups if groups == (a, b) => (pair.a, other),
                groups if groups == (b, a) => (other, pair.a),
                _ => continue,
            };
            let here = Planes::of_lab(&vec![self.parts[here][choice]; worst.len()]);
            widen(&mut worst, &de2000_of_pairs(&here, &self.planes[there]), pair.tolerance_de00);
        }
        worst
    }
}

/// Takes over what is worse.
fn widen(worst: &mut [f64], de00: &[f64], tolerance_de00: f64) {
    worst.iter_mut().zip(de00).for_each(|(worst, de00)| *worst = worst.max(de00 / tolerance_de00));
}
