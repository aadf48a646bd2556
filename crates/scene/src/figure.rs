//! Grain: how dark a wood is at a place, and how much of a ray shows there.

use crate::noise::{rise, smooth};

/// The grain of one board.
#[derive(Clone, Debug)]
pub struct Figure {
    /// Which wood, how sawn.
    pub kind: FigureKind,
    /// The board.
    pub seed: u32,
    /// Grain runs along the height instead of the width.
    pub upright: bool,
    /// Strength: 1 as the wood usually is.
    pub strength: f64,
    /// Patchiness: how far the depth of colour wanders from place to place; 0 for none.
    pub blotch: f64,
    /// Where on the board the surface begins.
    pub origin_mm: [f64; 2],
}

/// Wood and how it was sawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FigureKind {
    /// Straight rings, pale ribbons of rays across them, open pores.
    QuarteredOak,
    /// Arched rings, open pores.
    FlatOak,
    /// Fine arched rings, small dark gum flecks.
    Cherry,
    /// Straight and fine: maple, birch.
    Plain,
    /// The end of a board: arcs of rings.
    EndGrain,
}

impl FigureKind {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::QuarteredOak, Self::FlatOak, Self::Cherry, Self::Plain, Self::EndGrain];
}

/// Where a place lies between the precomputed reflectances of a wood.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Grain {
    /// Natural logarithm of the factor on K/S: above 0 deeper.
    pub(crate) deep: f32,
    /// Share of ray, 0–1.
    pub(crate) ray: f32,
}

impl Figure {
    /// The grain at a place of the board, seen by pixels of the given size: what is finer than they are is left out.
    pub(crate) fn at(&self, x_mm: f32, y_mm: f32, px_mm: f32) -> Grain {
        let (x_mm, y_mm) = (x_mm + self.origin_mm[0] as f32, y_mm + self.origin_mm[1] as f32);
        let (along, across) = if self.upright { (y_mm, x_mm) } else { (x_mm, y_mm) };
        let jump = |i: u32| (self.seed.wrapping_mul(2_654_435_761).rotate_left(i * 8) & 0xFFF) as f32;
        let (s, c) = (along + jump(1), across + jump(2));
        let board = Board { s, c, across, seed: self.seed.wrapping_mul(97), px_mm };
        let grain = match self.kind {
            FigureKind::QuarteredOak => board.quartered_oak(),
            FigureKind::FlatOak => board.flat_oak(),
            FigureKind::Cherry => board.cherry(),
            FigureKind::Plain => board.plain(),
            FigureKind::EndGrain => board.end_grain(),
        };
        let strength = self.strength as f32;
        let patch = if self.blotch > 0.0 {
            smooth(s / 60.0, c / 26.0, self.seed ^ 71) + 0.6 * smooth(s / 24.0, c / 12.0, self.seed ^ 72)
        } else {
            0.0
        };
        Grain { deep: grain.deep * strength + self.blotch as f32 * patch, ray: grain.ray * strength.min(1.0) }
    }
}

/// A place on a board, `s` along and `c` across the grain.
struct Board {
    s: f32,
    c: f32,
    across: f32,
    seed: u32,
    px_mm: f32,
}

impl Board {
    /// Noise with features `along` by `across` mm; nothing when finer than the pixels.
    fn noise(&self, s: f32, c: f32, along: f32, across: f32, salt: u32) -> f32 {
        let kept = rise(0.7, 2.0, across / self.px_mm);
        if kept == 0.0 { 0.0 } else { kept * smooth(s / along, c / across, self.seed ^ salt) }
    }

    /// Slow wandering of the grain across the board.
    fn wander(&self, size: f32) -> f32 {
        let slow = smooth(self.s / 420.0, self.c / 110.0, self.seed ^ 11) * size;
        slow + 0.22 * size * smooth(self.s / 130.0, self.c / 34.0, self.seed ^ 12)
    }

    /// Fibres and pores: fine dark dashes along the grain.
    fn pores(&self, c: f32, length: f32, width: f32, share: f32) -> f32 {
        let coarse = self.noise(self.s, c, length, width, 21);
        let fine = self.noise(self.s, c, length * 0.6, width * 0.55, 22);
        rise(1.0 - 2.0 * share, 1.0, coarse) + 0.7 * rise(1.0 - 2.0 * share, 1.0, fine)
    }

    fn quartered_oak(&self) -> Grain {
        let c = self.c + self.wander(9.0);
        let rings = 0.45 * self.noise(self.s, c, 900.0, 2.6, 1)
            + 0.30 * self.noise(self.s, c, 500.0, 5.5, 2)
            + 0.32 * smooth(self.s / 700.0, c / 16.0, self.seed ^ 3)
            + 0.26 * smooth(self.s / 380.0, c / 55.0, self.seed ^ 4);
        let fibres = 0.46 * self.noise(self.s, c, 60.0, 1.1, 5)
            + 0.30 * self.noise(self.s, c, 26.0, 2.2, 6)
            + 0.22 * self.noise(self.s, c, 16.0, 0.7, 7);
        let pores = self.pores(c, 16.0, 0.8, 0.24) + 0.9 * self.pores(c + 50.0, 44.0, 1.9, 0.17);
        Grain { deep: 0.27 * (rings + fibres) + 0.24 * pores, ray: self.flecks() }
    }

    /// Ribbons of medullary ray: pale, curved, leaning across the grain, in swarms.
    fn flecks(&self) -> f32 {
        let swarm = rise(-0.45, 0.5, smooth(self.s / 130.0, self.c / 60.0, self.seed ^ 36));
        if swarm == 0.0 {
            return 0.0;
        }
        let bend = 15.0 * smooth(self.s / 85.0, self.c / 75.0, self.seed ^ 31)
            + 2.6 * smooth(self.s / 24.0, self.c / 22.0, self.seed ^ 32);
        let lean = if self.seed & 64 == 0 { 0.52 } else { -0.47 };
        let (p, q) = (self.s + lean * self.c, self.c - lean * self.s + bend);
        let broad = self.noise(p, q, 62.0, 7.5, 34);
        let thin = self.noise(p + 300.0, q, 38.0, 3.4, 35);
        let body = 0.72 + 0.28 * self.noise(self.s, self.c, 34.0, 1.3, 37);
        (swarm * body * (rise(0.22, 0.60, broad) + 0.45 * rise(0.38, 0.75, thin))).clamp(0.0, 1.0)
    }

    /// Distance from the pith as a flat-sawn face shows it: arches along the board.
    fn arches(&self, slope: f32, half_width: f32) -> f32 {
        let middle = self.across - 60.0 + 50.0 * smooth(self.seed as f32 * 0.37, 0.5, 91) + self.wander(9.0);
        let rise = (middle * middle + half_width * half_width).sqrt() - half_width;
        rise + slope * self.s + 1.6 * smooth(self.s / 60.0, self.c / 22.0, self.seed ^ 41)
    }

    fn flat_oak(&self) -> Grain {
        let r = self.arches(0.055, 38.0) / 6.5;
        let phase = r - r.floor();
        let early = rise(0.0, 0.12, phase) * (1.0 - rise(0.25, 0.65, phase));
        let kept = rise(1.0, 3.0, 6.5 / self.px_mm);
        let pores = self.pores(self.c, 9.0, 0.9, 0.30) + 0.8 * self.pores(self.c + 50.0, 20.0, 1.9, 0.2);
        let fibres =
            0.3 * self.noise(self.s, self.c, 50.0, 1.3, 5) + 0.3 * smooth(self.s / 400.0, self.c / 30.0, self.seed ^ 6);
        let deep = kept * early * (0.14 + 0.16 * pores) + 0.05 * pores + 0.17 * fibres;
        Grain { deep, ray: 0.12 * self.flecks() }
    }

    fn cherry(&self) -> Grain {
        let r = self.arches(0.045, 30.0) / 9.0;
        let phase = r - r.floor();
        let late = rise(0.35, 0.93, phase) * (1.0 - rise(0.93, 1.0, phase));
        let width = smooth(r.floor() * 1.7, 0.3, self.seed ^ 51);
        let fibres = 0.40 * self.noise(self.s, self.c + self.wander(7.0), 60.0, 1.1, 5)
            + 0.28 * self.noise(self.s, self.c, 18.0, 0.7, 10)
            + 0.35 * self.noise(self.s, self.c, 120.0, 4.0, 6)
            + 0.55 * smooth(self.s / 320.0, self.c / 38.0, self.seed ^ 7);
        let gum = rise(0.80, 0.97, self.noise(self.s, self.c, 5.0, 1.5, 8));
        let deep = rise(1.0, 3.0, 9.0 / self.px_mm) * late * (0.20 + 0.09 * width) + 0.21 * fibres + 0.34 * gum;
        let sheen = rise(0.2, 0.9, smooth(self.s / 40.0, self.c / 14.0, self.seed ^ 9));
        Grain { deep, ray: 0.16 * sheen }
    }

    fn plain(&self) -> Grain {
        let c = self.c + self.wander(8.0);
        let rings = 0.5 * self.noise(self.s, c, 800.0, 4.0, 1) + 0.4 * smooth(self.s / 500.0, c / 15.0, self.seed ^ 2);
        let fibres = 0.35 * self.noise(self.s, c, 35.0, 1.1, 3) + 0.4 * smooth(self.s / 240.0, c / 60.0, self.seed ^ 4);
        Grain { deep: 0.20 * (rings + fibres), ray: 0.2 * rise(0.5, 0.9, self.noise(self.s, c, 8.0, 1.6, 5)) }
    }

    fn end_grain(&self) -> Grain {
        let (x, y) = (self.s - 900.0, self.across + 60.0);
        let r = (0.1225 * x * x + y * y).sqrt() + 2.5 * smooth(self.s / 40.0, self.across / 18.0, self.seed ^ 61);
        let phase = (r / 3.4).rem_euclid(1.0);
        let ring = rise(0.3, 0.9, phase) * (1.0 - rise(0.9, 1.0, phase));
        let vessels = rise(0.35, 0.8, self.noise(self.s, self.c, 1.3, 1.3, 62));
        let rays = rise(0.55, 0.9, self.noise(self.s, self.c, 1.6, 9.0, 63));
        let broad = smooth(self.s / 90.0, self.c / 40.0, self.seed ^ 64);
        let kept = rise(1.0, 2.5, 3.4 / self.px_mm);
        Grain { deep: 0.26 * kept * ring + 0.14 * vessels + 0.10 * broad, ray: 0.3 * rays }
    }
}
