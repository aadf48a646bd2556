//! One bench photographed many times: the same light, camera, card and wood, seen from elsewhere each time.

use super::layout::tilted;
use super::{Ranges, draw_background, draw_camera, draw_light_of, draw_patches, draw_wood, within};
use crate::scene::Shadow;
use crate::{
    Camera, Card, Error, FileOptions, Light, LightKind, Observer, Profile, Scene, Shape, Spectrum, Surface, Tables,
};
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;

/// Width and height of what lies on the bench.
const BENCH_MM: [f64; 2] = [420.0, 300.0];
/// Patch pitch of the card.
const PITCH_MM: f64 = 32.0;
/// Where the card's grid begins.
const CARD_MM: [f64; 2] = [20.0, 24.0];
/// Left, top, right and bottom of the panels.
const PANELS_MM: [[f64; 4]; 3] =
    [[232.0, 14.0, 404.0, 146.0], [14.0, 162.0, 204.0, 288.0], [232.0, 162.0, 404.0, 288.0]];
/// Width of the bench over the frame's: from afar to close by.
const SHARE: [f64; 2] = [0.55, 0.92];
/// Turn of the camera about its axis.
const TURN_DEG: [f64; 2] = [-25.0, 25.0];
/// Exposure of a view: linear value of a perfect white in the middle of the frame.
const EXPOSURE: [f64; 2] = [0.5, 0.95];
/// JPEG quality of all views.
const QUALITY: u8 = 92;

/// What differs from one view to the next; the rest is as in view 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Changes {
    /// Distance, angle and turn of the camera.
    pub place: bool,
    /// Exposure.
    pub exposure: bool,
    /// The sensor's noise: its size and its draw.
    pub noise: bool,
}

impl Changes {
    /// All of it.
    pub const ALL: Self = Self { place: true, exposure: true, noise: true };
    /// The place alone.
    pub const PLACE: Self = Self { place: true, exposure: false, noise: false };
    /// The exposure alone.
    pub const EXPOSURE: Self = Self { place: false, exposure: true, noise: false };
    /// The noise alone.
    pub const NOISE: Self = Self { place: false, exposure: false, noise: true };
}

/// Where the camera stands.
#[derive(Clone, Copy, Debug)]
struct Place {
    /// Width of the bench over the frame's.
    share: f64,
    tilt: f64,
    /// Axis of the tilt.
    axis: f64,
    turn: f64,
}

/// A bench with a card and three panels of wood on it, under one light.
#[derive(Clone, Debug)]
pub struct Bench {
    seed: u64,
    light: Light,
    camera: Camera,
    patches: Vec<Spectrum>,
    frame: Spectrum,
    gap: f64,
    border: f64,
    /// In millimetres of the bench, the corners not yet seen.
    panels: Vec<Surface>,
    background: Surface,
}

impl Bench {
    /// A random bench under a light of this kind: the same seed gives the same card, wood and camera under each light. The
    /// ranges are those of [`draw`](super::draw); the light falls off by the same share over the bench in every view.
    ///
    /// # Errors
    /// Only if an embedded table was damaged.
    pub fn new(seed: u64, kind: LightKind) -> Result<Self, Error> {
        let ranges = Ranges::FIXED;
        let mut rng = Pcg64::seed_from_u64(seed);
        let tables = Tables::read()?;
        let observer = Observer::d50(&tables)?;
        let light = draw_light_of(&mut rng, &tables, &ranges, kind)?;
        let camera = draw_camera(&mut rng, &ranges);
        let patches = draw_patches(&mut rng, &tables, &observer, ranges.patch_sd_de00)?;
        let (gap, border) = (within(&mut rng, [0.08, 0.16]), within(&mut rng, [0.08, 0.30]));
        let frame = Spectrum::flat(within(&mut rng, [0.03, 0.06]));
        let panels = PANELS_MM.iter().enumerate().map(|(k, &[left, top, right, bottom])| {
            Ok(Surface {
                name: Some(format!("panel {}", k + 1)),
                material: draw_wood(&mut rng, &tables, &ranges)?,
                size_mm: [right - left, bottom - top],
                corners_px: [[left, top], [right, top], [right, bottom], [left, bottom]],
                shape: Shape::Whole,
                region_mm: Vec::new(),
                bevel_mm: 0.0,
                shadow: Some(Shadow { offset_mm: [1.0, 1.5], blur_mm: 3.0, depth: 0.5 }),
                lit: 1.0,
            })
        });
        let panels = panels.collect::<Result<Vec<Surface>, Error>>()?;
        let background = draw_background(&mut rng, &tables, &ranges, 0.4)?;
        Ok(Self { seed, light, camera, patches, frame, gap, border, panels, background })
    }

    /// The bench from a random distance, angle and side, at a random exposure and noise: the same number gives the same
    /// view.
    pub fn view(&self, number: u64, changes: Changes) -> Scene {
        let ranges = Ranges::FIXED;
        let drawn = |changes: bool, salt: u64| {
            let number = if changes { number } else { 0 };
            Pcg64::seed_from_u64(self.seed.wrapping_mul(1_000_003).wrapping_add(4 * number + salt))
        };
        let (mut rng, mut exposure, mut noise) =
            (drawn(changes.place, 0), drawn(changes.exposure, 1), drawn(changes.noise, 2));
        let place = Place {
            share: within(&mut rng, SHARE),
            tilt: within(&mut rng, ranges.tilt_deg).to_radians(),
            axis: within(&mut rng, [0.0, std::f64::consts::TAU]),
            turn: within(&mut rng, TURN_DEG).to_radians(),
        };
        let camera = Camera {
            exposure: within(&mut exposure, EXPOSURE),
            shot_noise: within(&mut noise, ranges.shot_noise),
            read_noise: within(&mut noise, ranges.read_noise),
            ..self.camera.clone()
        };
        self.seen(place, camera, noise.random())
    }

    /// The bench seen from straight above, as wide as this share of the frame, well exposed and with little noise.
    pub fn straight(&self, share: f64) -> Scene {
        let camera = Camera { exposure: 0.8, shot_noise: 0.004, read_noise: 0.001, ..self.camera.clone() };
        self.seen(Place { share, tilt: 0.0, axis: 0.0, turn: 0.0 }, camera, self.seed)
    }

    fn seen(&self, place: Place, camera: Camera, seed: u64) -> Scene {
        let frame_px = Ranges::FIXED.frame_px;
        let frame = frame_px.map(f64::from);
        let px_per_mm = place.share * frame[0] / BENCH_MM[0];
        let seen = |point: [f64; 2]| {
            let [x, y] = tilted(point, BENCH_MM, px_per_mm, place.tilt, place.axis, place.turn, 2.2 * frame[0]);
            [x + frame[0] / 2.0, y + frame[1] / 2.0]
        };
        let panels = self.panels.iter().cloned();
        let mut surfaces = vec![self.background.clone()];
        surfaces.extend(panels.map(|panel| Surface { corners_px: panel.corners_px.map(seen), ..panel }));
        let size = [6.0 - self.gap, 4.0 - self.gap].map(|pitches| pitches * PITCH_MM);
        let [x, y] = CARD_MM;
        let corners_px = [[x, y], [x + size[0], y], [x + size[0], y + size[1]], [x, y + size[1]]].map(seen);
        Scene {
            seed,
            width_px: frame_px[0],
            height_px: frame_px[1],
            light: self.light_in(frame, px_per_mm, place.turn),
            camera,
            surfaces,
            card: Some(Card {
                columns: 6,
                patches: self.patches.clone(),
                frame: self.frame,
                gap: self.gap,
                border: self.border,
                corners_px,
            }),
            file: FileOptions { quality: QUALITY, orientation: 1, profile: Profile::Plain },
        }
    }

    /// The bench's own fall-off as the frame sees it: as steep per millimetre, 1 in the middle.
    fn light_in(&self, frame: [f64; 2], px_per_mm: f64, turn: f64) -> Light {
        let slope_rad = self.light.slope_rad + turn;
        let reach_mm = (frame[0] * slope_rad.cos().abs() + frame[1] * slope_rad.sin().abs()) / px_per_mm;
        let slope = self.light.slope * reach_mm / BENCH_MM[0];
        // From the brightest corner to the darkest the level falls to 1 − slope of itself, straight, and is 1 half way.
        let slope = slope / (1.0 + slope / 2.0);
        Light { spectrum: self.light.spectrum, level: 1.0 / (1.0 - slope / 2.0), slope, slope_rad }
    }
}
