//! What an effect may be: a law with its numbers for each joint draw.

use colour::bulk::{LANES, Lanes};
use wide::f32x8;

use crate::laws::Law;

/// What an effect may be, in one joint draw.
#[derive(Clone, Debug)]
pub(super) struct Draw {
    pub(super) law: Law,
    pub(super) gamma: f64,
    pub(super) e: [f64; 3],
    pub(super) log_factors: Vec<f64>,
    /// Share of the predicted move by which the law may be off, per CIELAB axis.
    pub(super) law_error: f64,
}

/// All joint draws of an effect, and the same by law in groups of eight.
#[derive(Clone, Debug)]
pub(super) struct Draws {
    each: Vec<Draw>,
    groups: Vec<Group>,
    law_errors: Vec<f32>,
}

/// Up to eight draws under one law.
#[derive(Clone, Debug)]
pub(super) struct Group {
    /// The law, but for its constant.
    pub(super) law: Law,
    /// Places of the draws, rising.
    pub(super) places: Vec<usize>,
    pub(super) constant: f32x8,
    pub(super) e: Lanes,
}

impl Draws {
    pub(super) fn new(each: Vec<Draw>) -> Self {
        let mut kinds: Vec<(Law, Vec<usize>)> = Vec::new();
        let same = |a: &Law, b: &Law| std::mem::discriminant(a) == std::mem::discriminant(b);
        for (place, draw) in each.iter().enumerate() {
            match kinds.iter_mut().find(|(law, _)| same(law, &draw.law)) {
                Some((_, places)) => places.push(place),
                None => kinds.push((draw.law, vec![place])),
            }
        }
        let group = |law: Law, places: &[usize]| {
            let lanes = |of: &dyn Fn(&Draw) -> f64| {
                let mut lanes = [0f32; LANES];
                lanes.iter_mut().zip(places).for_each(|(lane, place)| *lane = of(&each[*place]) as f32);
                f32x8::from(lanes)
            };
            Group {
                law,
                places: places.to_vec(),
                constant: lanes(&|draw| draw.law.constant()),
                e: [0, 1, 2].map(|channel| lanes(&|draw| draw.e[channel])),
            }
        };
        let groups =
            kinds.iter().flat_map(|(law, places)| places.chunks(LANES).map(|some| group(*law, some))).collect();
        let law_errors = each.iter().map(|draw| draw.law_error as f32).collect();
        Self { each, groups, law_errors }
    }

    /// Draw by draw.
    pub(super) fn each(&self) -> &[Draw] {
        &self.each
    }

    /// The law errors of eight draws in a row.
    pub(super) fn law_errors(&self, at: usize) -> f32x8 {
        f32x8::from(&self.law_errors[at * LANES..(at + 1) * LANES])
    }

    /// By law, eight at a time.
    pub(super) fn groups(&self) -> &[Group] {
        &self.groups
    }
}
