//! Cards drawn in perspective, with blur, noise and coloured light, by a routine that shares nothing with the finder.

// counts and seeds belong in the log of a run
#![allow(clippy::print_stdout)]

mod hard;
mod hues;
mod rules;

use super::{Homography, Located, Preview, locate};
use crate::layout::{Card, known};

/// A linear congruential generator (Knuth, MMIX), so that each picture is fixed by its printed seed.
struct Dice(u64);

impl Dice {
    fn new(seed: u64) -> Self {
        let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x1234_5678);
        for _ in 0..8 {
            dice.within(0.0, 1.0);
        }
        dice
    }

    fn within(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * ((self.0 >> 33) as f64 / (1u64 << 31) as f64)
    }

    fn order(&mut self, count: usize) -> Vec<usize> {
        let mut order: Vec<usize> = (0..count).collect();
        for k in (1..count).rev() {
            order.swap(k, (self.within(0.0, (k + 1) as f64) as usize).min(k));
        }
        order
    }
}

/// CIELAB (D50) to linear sRGB, by CIE 15 and the matrices of IEC 61966-2-1 and Bradford (D50 to D65: Lindbloom B.,
/// Chromatic Adaptation), one after the other.
fn linear(lab: [f64; 3]) -> [f64; 3] {
    let fy = (lab[0] + 16.0) / 116.0;
    let cube = |f: f64| if f > 6.0 / 29.0 { f.powi(3) } else { (f - 4.0 / 29.0) * 3.0 * (6.0f64 / 29.0).powi(2) };
    let xyz = [0.96422 * cube(fy + lab[1] / 500.0), cube(fy), 0.82521 * cube(fy - lab[2] / 200.0)];
    let times = |m: [[f64; 3]; 3], v: [f64; 3]| m.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2]);
    let d65 = times(
        [
            [0.955_576_6, -0.023_039_3, 0.063_163_6],
            [-0.028_289_5, 1.009_941_6, 0.021_007_7],
            [0.012_298_2, -0.020_483_0, 1.329_909_8],
        ],
        xyz,
    );
    times([[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]], d65).map(|v| v.max(0.0))
}

fn encoded(v: f64) -> f64 {
    let v = v.clamp(0.0, 1.0);
    if v <= 0.003_130_8 { 12.92 * v } else { 1.055 * v.powf(1.0 / 2.4) - 0.055 }
}

/// What is drawn: a grid of patches on a frame, on a ground.
struct Scene {
    columns: usize,
    colours: Vec<[f64; 3]>,
    gap: f64,
    frame: [f64; 3],
    ground: [f64; 3],
    texture: f64,
    light: [f64; 3],
    /// Light at the right edge of the picture over that at the left.
    falloff: f64,
    blur_px: usize,
    noise: f64,
}

impl Scene {
    fn of(columns: usize, colours: Vec<[f64; 3]>) -> Scene {
        Scene {
            columns,
            colours,
            gap: 0.15,
            frame: [0.01; 3],
            ground: [0.35, 0.30, 0.24],
            texture: 0.05,
            light: [0.9; 3],
            falloff: 1.0,
            blur_px: 1,
            noise: 0.006,
        }
    }

    /// Linear reflectance at a place on the card, in pitches from the first patch's outer corner.
    fn at(&self, [x, y]: [f64; 2]) -> Option<[f64; 3]> {
        let rows = self.colours.len() / self.columns;
        let (width, height) = (self.columns as f64 - self.gap, rows as f64 - self.gap);
        if !(-0.35..width + 0.35).contains(&x) || !(-0.35..height + 0.35).contains(&y) {
            return None;
        }
        let on = |v: f64, most: f64| (0.0..most).contains(&v) && v.fract() < 1.0 - self.gap;
        Some(if on(x, width) && on(y, height) {
            self.colours[y as usize * self.columns + x as usize]
        } else {
            self.frame
        })
    }

    /// Draws the scene where `map` takes places on the card to pixels.
    fn drawn(&self, width: usize, height: usize, map: &Homography, dice: &mut Dice) -> Preview {
        self.drawn_with(width, height, map, dice, &|_, light| light)
    }

    /// The same, with the light of each pixel changed by what lies over the scene.
    fn drawn_with(
        &self,
        width: usize,
        height: usize,
        map: &Homography,
        dice: &mut Dice,
        over: &dyn Fn([f64; 2], [f64; 3]) -> [f64; 3],
    ) -> Preview {
        let back = map.inverse().unwrap();
        let mut rgb: Vec<[f64; 3]> = Vec::with_capacity(width * height);
        for y in 0..height {
            for x in 0..width {
                let grain = 1.0 + self.texture * dice.within(-1.0, 1.0);
                let fall = 1.0 + (self.falloff - 1.0) * x as f64 / width as f64;
                let mut sum = [0.0; 3];
                for (dx, dy) in [(0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)] {
                    let here =
                        self.at(back.apply([x as f64 + dx, y as f64 + dy])).unwrap_or(self.ground.map(|v| v * grain));
                    (0..3).for_each(|c| sum[c] += 0.25 * here[c] * self.light[c] * fall);
                }
                rgb.push(over([x as f64 + 0.5, y as f64 + 0.5], sum));
            }
        }
        for _ in 0..2 {
            rgb = blurred(&rgb, width, self.blur_px, 1);
            rgb = blurred(&rgb, width, self.blur_px, width);
        }
        let noisy = |v: f64, dice: &mut Dice| {
            let noise: f64 = (0..3).map(|_| dice.within(-1.0, 1.0)).sum();
            ((encoded(v) + self.noise * noise).clamp(0.0, 1.0) * 255.0).round() as f32 / 255.0
        };
        let rgb = rgb.into_iter().map(|v| [noisy(v[0], dice), noisy(v[1], dice), noisy(v[2], dice)]).collect();
        Preview { width, height, scale: 1.0, rgb }
    }
}

fn blurred(rgb: &[[f64; 3]], width: usize, radius: usize, stride: usize) -> Vec<[f64; 3]> {
    let last = rgb.len() / width - 1;
    (0..rgb.len())
        .map(|k| {
            let (x, y) = (k % width, k / width);
            let mut sum = [0.0; 3];
            for d in 0..=2 * radius {
                let shift = |v: usize, most: usize| (v + d).saturating_sub(radius).min(most);
                let other = if stride == 1 { y * width + shift(x, width - 1) } else { shift(y, last) * width + x };
                (0..3).for_each(|c| sum[c] += rgb[other][c] / (2 * radius + 1) as f64);
            }
            sum
        })
        .collect()
}

/// A pinhole camera's view of a card `columns` × `rows` pitches large, tilted by `tilt` towards `towards`, turned by
/// `turn` (radians), `size` pixels wide, around the middle of the picture.
fn pose(
    columns: f64,
    rows: f64,
    [turn, tilt, towards]: [f64; 3],
    size: f64,
    middle: [f64; 2],
    mirrored: bool,
) -> Homography {
    let distance = 3.0 * columns;
    let zoom = size / columns * distance;
    let pairs: Vec<_> = [[0.0, 0.0], [columns, 0.0], [columns, rows], [0.0, rows]]
        .into_iter()
        .map(|corner: [f64; 2]| {
            let (x, y) = (corner[0] - columns / 2.0, corner[1] - rows / 2.0);
            let x = if mirrored { -x } else { x };
            let (x, y) = (x * turn.cos() - y * turn.sin(), x * turn.sin() + y * turn.cos());
            // tilt about an axis at right angles to `towards`
            let along = x * towards.cos() + y * towards.sin();
            let depth = distance + along * tilt.sin();
            let shrink = along * (tilt.cos() - 1.0);
            let (x, y) = (x + shrink * towards.cos(), y + shrink * towards.sin());
            (corner, [middle[0] + zoom * x / depth, middle[1] + zoom * y / depth])
        })
        .collect();
    Homography::fit(&pairs).unwrap()
}

fn chart() -> (Card, Vec<[f64; 3]>) {
    let card = known().into_iter().find(|card| card.id == "chart24").unwrap();
    let colours = card.editions[0].lab.iter().map(|lab| linear([lab.l, lab.a, lab.b])).collect();
    (card, colours)
}

fn random_pose(dice: &mut Dice, columns: f64, rows: f64, tilt: f64, mirrored: bool) -> Homography {
    let angles =
        [dice.within(0.0, std::f64::consts::TAU), dice.within(0.0, tilt), dice.within(0.0, std::f64::consts::TAU)];
    let size = dice.within(170.0, 420.0);
    let middle = [dice.within(280.0, 360.0), dice.within(220.0, 260.0)];
    pose(columns, rows, angles, size, middle, mirrored)
}

/// Largest distance of a corner from the truth over the pitch; `None` where the card lies the wrong way round.
fn off(found: &Located, map: &Homography, size: [f64; 2], pitch: f64) -> f64 {
    let truth = [[0.0, 0.0], [size[0], 0.0], size, [0.0, size[1]]].map(|corner| map.apply(corner));
    let far = |k: usize| (found.corners_px[k][0] - truth[k][0]).hypot(found.corners_px[k][1] - truth[k][1]);
    (0..4).map(far).fold(0.0, f64::max) / pitch
}

#[test]
fn finds_the_chart_in_any_pose_and_light() {
    let (card, colours) = chart();
    let (mut right, mut wrong, mut missed) = (0, Vec::new(), Vec::new());
    let seeds = 1..=60u64;
    for seed in seeds.clone() {
        let dice = &mut Dice::new(seed);
        let mut scene = Scene::of(6, colours.clone());
        scene.gap = dice.within(0.05, 0.28);
        let (exposure, warm) = (dice.within(0.25, 1.1), dice.within(0.7, 1.7));
        scene.light = [exposure * warm.sqrt(), exposure, exposure / warm.sqrt()];
        scene.falloff = dice.within(0.6, 1.4);
        scene.blur_px = if dice.within(0.0, 1.0) < 0.5 { 0 } else { 1 };
        scene.noise = dice.within(0.0, 0.012);
        let mirrored = seed.is_multiple_of(4);
        let size = [6.0 - scene.gap, 4.0 - scene.gap];
        let map = random_pose(dice, size[0], size[1], 50f64.to_radians(), mirrored);
        let picture = scene.drawn(640, 480, &map, dice);
        let pitch = map.unit_area([size[0] / 2.0, size[1] / 2.0]).sqrt();
        match locate(&picture, std::slice::from_ref(&card)).first() {
            Some(found) if found.mirrored == mirrored && off(found, &map, size, pitch) < 0.2 => right += 1,
            Some(_) => wrong.push(seed),
            None => missed.push(seed),
        }
    }
    println!("chart drawn: right {right} of {}, wrong {wrong:?}, missed {missed:?} (seeds)", seeds.count());
    assert!(wrong.is_empty(), "wrong way round or off: seeds {wrong:?}");
    assert!(right >= 57, "missed: seeds {missed:?}");
}

#[test]
fn corners_are_good_to_a_hundredth_of_a_pitch() {
    let (card, colours) = chart();
    let scene = Scene::of(6, colours);
    let size = [5.85, 3.85];
    for (seed, degrees) in [(101, 0.0), (102, 25.0), (103, 45.0)] {
        let dice = &mut Dice::new(seed);
        let map = pose(size[0], size[1], [0.3, f64::to_radians(degrees), 1.0], 400.0, [320.0, 240.0], false);
        let picture = scene.drawn(640, 480, &map, dice);
        let found = locate(&picture, std::slice::from_ref(&card));
        assert_eq!(found.len(), 1, "seed {seed}");
        let pitch = map.unit_area([size[0] / 2.0, size[1] / 2.0]).sqrt();
        let far = off(&found[0], &map, size, pitch);
        assert!(far < 0.01, "seed {seed}: {far} of a pitch");
        println!("seed {seed}: corners off {far:.3} of a pitch, gap {:.3} for 0.150", found[0].gap_fraction);
        assert!((found[0].gap_fraction - 0.15).abs() < 0.03, "gap {}", found[0].gap_fraction);
    }
}

/// Draws each scene and counts the finds.
fn finds(name: &str, seeds: std::ops::Range<u64>, scene: impl Fn(&mut Dice) -> Scene) -> Vec<u64> {
    let (card, _) = chart();
    let count = seeds.end - seeds.start;
    let found: Vec<u64> = seeds
        .filter(|&seed| {
            let dice = &mut Dice::new(seed);
            let scene = scene(dice);
            let rows = (scene.colours.len() / scene.columns) as f64;
            let map = random_pose(dice, scene.columns as f64, rows, 0.5, false);
            let picture = scene.drawn(640, 480, &map, dice);
            !locate(&picture, std::slice::from_ref(&card)).is_empty()
        })
        .collect();
    println!("{name}: {} false finds of {count}, seeds {found:?}", found.len());
    found
}

#[test]
fn grids_of_other_colours_are_no_chart() {
    let random = |dice: &mut Dice| {
        let count = 24;
        Scene::of(6, (0..count).map(|_| [0, 1, 2].map(|_| dice.within(0.0, 1.0).powi(2))).collect())
    };
    assert_eq!(finds("random colours", 200..240, random), [0u64; 0]);
}

#[test]
fn the_chart_in_another_order_is_no_chart() {
    let (_, colours) = chart();
    let shuffled = |dice: &mut Dice| Scene::of(6, dice.order(24).into_iter().map(|k| colours[k]).collect());
    assert_eq!(finds("shuffled chart", 300..340, shuffled), [0u64; 0]);
    // every second row turned round, as on a card laid out like a snake
    let snake = |_: &mut Dice| {
        let place = |k: usize| if (k / 6usize).is_multiple_of(2) { k / 6 * 6 + 5 - k % 6 } else { k };
        Scene::of(6, (0..24).map(|k| colours[place(k)]).collect())
    };
    assert_eq!(finds("snake", 360..364, snake), [0u64; 0]);
    // two rows exchanged
    let exchanged =
        |_: &mut Dice| Scene::of(6, (0..24).map(|k| colours[if k < 12 { (k + 6) % 12 } else { k }]).collect());
    assert_eq!(finds("rows exchanged", 370..374, exchanged), [0u64; 0]);
}

#[test]
fn parquet_and_chess_boards_are_no_chart() {
    let parquet = |dice: &mut Dice| {
        let mut scene = Scene::of(
            10,
            (0..80)
                .map(|_| {
                    let l = dice.within(0.05, 0.5);
                    [l, l * dice.within(0.5, 0.8), l * dice.within(0.2, 0.5)]
                })
                .collect(),
        );
        scene.gap = 0.04;
        scene
    };
    assert_eq!(finds("parquet", 400..420, parquet), [0u64; 0]);
    let chess = |_: &mut Dice| {
        let mut scene =
            Scene::of(8, (0..48).map(|k| if (k / 8 + k) % 2 == 1 { [0.8; 3] } else { [0.03; 3] }).collect());
        scene.gap = 0.0;
        scene.frame = [0.5; 3];
        scene
    };
    assert_eq!(finds("chess board", 430..434, chess), [0u64; 0]);
}

#[test]
fn a_larger_card_that_holds_the_chart_is_another_card() {
    let (_, colours) = chart();
    let larger = |dice: &mut Dice| {
        let inside = |k: usize| {
            ((2..8).contains(&(k % 10)) && (2..6).contains(&(k / 10))).then(|| (k / 10 - 2) * 6 + k % 10 - 2)
        };
        Scene::of(
            10,
            (0..80).map(|k| inside(k).map_or([0, 1, 2].map(|_| dice.within(0.0, 0.8)), |own| colours[own])).collect(),
        )
    };
    assert_eq!(finds("larger card", 500..506, larger), [0u64; 0]);
}

#[test]
fn empty_and_plain_pictures_hold_no_card() {
    let cards = known();
    for (width, height) in [(0, 0), (1, 1), (40, 2), (300, 200)] {
        let rgb = vec![[0.5; 3]; width * height];
        assert_eq!(locate(&Preview { width, height, scale: 1.0, rgb }, &cards), []);
    }
    let rgb = vec![[f32::NAN; 3]; 300 * 200];
    assert_eq!(locate(&Preview { width: 300, height: 200, scale: 1.0, rgb }, &cards), []);
}
