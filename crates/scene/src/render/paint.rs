//! Surfaces and the card, painted onto the sensor.

use super::levels::{self, COUNT};
use crate::camera::Developed;
use crate::figure::Grain;
use crate::noise::{rise, smooth};
use crate::pose::{Homography, bounds, depth_inside, sense};
use crate::scene::Shadow;
use crate::{Card, Error, Material, Observer, Scene, Shape, Spectrum, Surface};

/// What the sensor has received so far.
pub(super) struct Canvas<'a> {
    scene: &'a Scene,
    developed: &'a Developed,
    observer: &'a Observer,
    width: usize,
    height: usize,
    /// Only the truth is wanted: nothing is painted.
    blind: bool,
    /// Balanced sensor values, row by row.
    pub(super) sensed: Vec<[f32; 3]>,
}

/// The look of a surface at a pixel.
enum Look {
    Flat([f32; 3]),
    Mottled { rgb: [f32; 3], contrast: f32, weave_mm: f32, seed: u32 },
    Wood { levels: Vec<[f32; 3]>, grains: Vec<Grain>, area: [usize; 4] },
}

impl<'a> Canvas<'a> {
    pub(super) fn new(scene: &'a Scene, developed: &'a Developed, observer: &'a Observer, blind: bool) -> Self {
        let (width, height) = (scene.width_px as usize, scene.height_px as usize);
        let sensed = vec![[0.0; 3]; if blind { 0 } else { width * height }];
        Self { scene, developed, observer, width, height, blind, sensed }
    }

    /// Paints a surface; tells the mean Lab of its region if it is wood.
    pub(super) fn surface(
        &mut self,
        surface: &Surface,
        pose: &Homography,
        region_px: &[[f64; 2]],
        index: usize,
    ) -> Result<Option<[f64; 3]>, Error> {
        if let (Some(shadow), false) = (&surface.shadow, self.blind) {
            self.shadow(surface, shadow, pose);
        }
        let seen: &[[f64; 2]] = if self.blind { region_px } else { &surface.corners_px };
        let area = bounds(seen, 2.0, self.width, self.height);
        let [x0, y0, x1, y1] = area;
        if x1 <= x0 || y1 <= y0 {
            return Ok(None);
        }
        let middle = pose.to_px([surface.size_mm[0] / 2.0, surface.size_mm[1] / 2.0]);
        let px_mm = pose.px_size(middle);
        let (look, lab) = self.look(surface, pose, region_px, area, px_mm, index)?;
        if self.blind {
            return Ok(lab);
        }
        let light = Falloff::new(self.scene);
        let width = self.width;
        super::for_rows(&mut self.sensed[y0 * width..y1 * width], width, |row, pixels| {
            let y = y0 + row;
            for (x, pixel) in pixels.iter_mut().enumerate().take(x1).skip(x0) {
                let px = [x as f64 + 0.5, y as f64 + 0.5];
                let mm = pose.from_px(px);
                let (depth_mm, turn) = surface.depth(mm);
                let cover = (depth_mm / px_mm + 0.5).clamp(0.0, 1.0) as f32;
                if cover == 0.0 {
                    continue;
                }
                let lit = light.at(px) * surface.shade(mm, depth_mm, turn);
                let rgb = look.at(x, y, mm, px_mm);
                for (value, seen) in pixel.iter_mut().zip(rgb) {
                    *value += cover * (seen * lit - *value);
                }
            }
        });
        Ok(lab)
    }

    fn look(
        &self,
        surface: &Surface,
        pose: &Homography,
        region_px: &[[f64; 2]],
        area: [usize; 4],
        px_mm: f64,
        index: usize,
    ) -> Result<(Look, Option<[f64; 3]>), Error> {
        let seen = |spectrum: &Spectrum| self.developed.sense(spectrum).map(|v| v as f32);
        Ok(match &surface.material {
            Material::Flat(spectrum) => (Look::Flat(seen(spectrum)), None),
            Material::Mottled { spectrum, contrast, weave_mm } => {
                let seed = (self.scene.seed as u32).wrapping_mul(31).wrapping_add(index as u32);
                let (contrast, weave_mm) = (*contrast as f32, *weave_mm as f32);
                (Look::Mottled { rgb: seen(spectrum), contrast, weave_mm, seed }, None)
            }
            Material::Wood { base, wanted, figure } => {
                let [x0, y0, x1, y1] = area;
                let mut grains = vec![Grain::default(); (x1 - x0) * (y1 - y0)];
                super::for_rows(&mut grains, x1 - x0, |row, pixels| {
                    for (column, grain) in pixels.iter_mut().enumerate() {
                        let [x, y] = pose.from_px([(x0 + column) as f64 + 0.5, (y0 + row) as f64 + 0.5]);
                        *grain = figure.at(x as f32, y as f32, px_mm as f32);
                    }
                });
                let told = surface.name.is_some() || wanted.is_some();
                let amounts = if told { amounts(&grains, area, region_px) } else { [0.0; COUNT] };
                let known = amounts.iter().any(|amount| *amount > 0.0);
                let base = match wanted {
                    Some(lab) if known => levels::base_for(self.observer, base, &amounts, *lab)?,
                    _ => *base,
                };
                let lab = known.then(|| levels::mean_lab(self.observer, &base, &amounts));
                (Look::Wood { levels: levels::sensed(self.developed, &base), grains, area }, lab)
            }
        })
    }

    fn shadow(&mut self, surface: &Surface, shadow: &Shadow, pose: &Homography) {
        let [w, h] = surface.size_mm;
        let (b, [dx, dy]) = (shadow.blur_mm, shadow.offset_mm);
        let reach = [[dx - b, dy - b], [w + dx + b, dy - b], [w + dx + b, h + dy + b], [dx - b, h + dy + b]];
        let [x0, y0, x1, y1] = bounds(&reach.map(|point| pose.to_px(point)), 1.0, self.width, self.height);
        let width = self.width;
        let edge = |into: f64| rise(-b as f32, b as f32, into as f32);
        super::for_rows(&mut self.sensed[y0 * width..y1 * width], width, |row, pixels| {
            for (x, pixel) in pixels.iter_mut().enumerate().take(x1).skip(x0) {
                let [mx, my] = pose.from_px([x as f64 + 0.5, (y0 + row) as f64 + 0.5]);
                let covered = edge(mx - dx) * edge(w + dx - mx) * edge(my - dy) * edge(h + dy - my);
                let kept = 1.0 - shadow.depth as f32 * covered;
                pixel.iter_mut().for_each(|value| *value *= kept);
            }
        });
    }

    /// Paints the card, with a soft shadow of its own thickness.
    pub(super) fn card(&mut self, card: &Card) -> Result<(), Error> {
        let columns = card.columns.max(1);
        let rows = card.patches.len().div_ceil(columns);
        // The grid ends at the outer edges of its patches: one gap less than a whole number of pitches.
        let size = [columns as f64 - card.gap, rows as f64 - card.gap];
        let pose = Homography::of_rectangle(size, card.corners_px)?;
        let b = card.border;
        let outer = [[-b, -b], [size[0] + b, -b], [size[0] + b, size[1] + b], [-b, size[1] + b]];
        let outer_px = outer.map(|point| pose.to_px(point));
        let body = Surface {
            name: None,
            material: Material::Flat(card.frame),
            size_mm: [size[0] + 2.0 * b, size[1] + 2.0 * b],
            corners_px: outer_px,
            shape: Shape::Whole,
            region_mm: Vec::new(),
            bevel_mm: 0.0,
            shadow: Some(Shadow { offset_mm: [0.03, 0.05], blur_mm: 0.14, depth: 0.45 }),
            lit: 1.0,
        };
        let body_pose = Homography::of_rectangle(body.size_mm, outer_px)?;
        self.surface(&body, &body_pose, &[], 0)?;
        let patches: Vec<[f32; 3]> =
            card.patches.iter().map(|patch| self.developed.sense(patch).map(|v| v as f32)).collect();
        let light = Falloff::new(self.scene);
        let [x0, y0, x1, y1] = bounds(&card.corners_px, 2.0, self.width, self.height);
        let width = self.width;
        super::for_rows(&mut self.sensed[y0 * width..y1 * width], width, |row, pixels| {
            for (x, pixel) in pixels.iter_mut().enumerate().take(x1).skip(x0) {
                let px = [x as f64 + 0.5, (y0 + row) as f64 + 0.5];
                let [u, v] = pose.from_px(px);
                let half = 0.5 * (1.0 - card.gap);
                let (i, j) = ((u + card.gap / 2.0).floor(), (v + card.gap / 2.0).floor());
                if i < 0.0 || j < 0.0 || i >= columns as f64 {
                    continue;
                }
                let Some(patch) = patches.get(j as usize * columns + i as usize) else { continue };
                let depth = (half - (u - i - half).abs()).min(half - (v - j - half).abs());
                let cover = (depth / pose.px_size(px) + 0.5).clamp(0.0, 1.0) as f32;
                let lit = light.at(px);
                for (value, seen) in pixel.iter_mut().zip(patch) {
                    *value += cover * (seen * lit - *value);
                }
            }
        });
        Ok(())
    }
}

/// How much each precomputed reflectance is used within a region.
fn amounts(grains: &[Grain], [x0, y0, x1, _]: [usize; 4], region_px: &[[f64; 2]]) -> [f64; COUNT] {
    let mut amounts = [0.0; COUNT];
    let turn = sense(region_px);
    for (row, grains) in grains.chunks(x1 - x0).enumerate() {
        for (column, grain) in grains.iter().enumerate() {
            let px = [(x0 + column) as f64 + 0.5, (y0 + row) as f64 + 0.5];
            if !region_px.is_empty() && depth_inside(region_px, turn, px) > 0.0 {
                let mixture = levels::mixture(*grain);
                mixture.iter().for_each(|(level, share)| amounts[*level] += f64::from(*share));
            }
        }
    }
    amounts
}

impl Look {
    fn at(&self, x: usize, y: usize, mm: [f64; 2], px_mm: f64) -> [f32; 3] {
        match self {
            Self::Flat(rgb) => *rgb,
            Self::Mottled { rgb, contrast, weave_mm, seed } => {
                let [x, y] = mm.map(|v| v as f32);
                let cloud = 0.6 * smooth(x / 160.0, y / 160.0, seed ^ 1)
                    + 0.35 * smooth(x / 45.0, y / 45.0, seed ^ 2)
                    + 0.25 * smooth(x / 9.0, y / 9.0, seed ^ 3)
                    + 0.35 * smooth(x / 2.2, y / 2.2, seed ^ 4);
                let mut level = 1.0 + contrast * cloud;
                if *weave_mm > 0.0 {
                    let kept = rise(0.25, 0.6, weave_mm / (px_mm as f32 * 8.0));
                    let thread = std::f32::consts::TAU / weave_mm;
                    let slub = 1.0 + 0.6 * smooth(x / 14.0, y / weave_mm, seed ^ 5);
                    level *= 1.0 + 0.10 * kept * slub * (thread * x).sin() * (thread * y).sin();
                }
                rgb.map(|v| v * level.max(0.05))
            }
            Self::Wood { levels: seen, grains, area: [x0, y0, x1, _] } => {
                let mut rgb = [0.0; 3];
                if let Some(grain) = grains.get((y - y0) * (x1 - x0) + x - x0) {
                    for (level, share) in levels::mixture(*grain) {
                        (0..3).for_each(|i| rgb[i] += seen[level][i] * share);
                    }
                }
                rgb
            }
        }
    }
}

impl Surface {
    /// Where its colour is told.
    pub(super) fn region(&self) -> Vec<[f64; 2]> {
        if !self.region_mm.is_empty() {
            return self.region_mm.clone();
        }
        let [w, h] = self.size_mm;
        let (x, y) = (w / 9.0, h / 9.0);
        vec![[x, y], [w - x, y], [w - x, h - y], [x, h - y]]
    }

    /// How far a place lies within the outline, and the direction to its nearest edge (0 up, π/2 right …).
    fn depth(&self, [x, y]: [f64; 2]) -> (f64, [f64; 2]) {
        let [w, h] = self.size_mm;
        match &self.shape {
            Shape::Whole => {
                let sides = [(y, [0.0, -1.0]), (w - x, [1.0, 0.0]), (h - y, [0.0, 1.0]), (x, [-1.0, 0.0])];
                sides
                    .into_iter()
                    .fold((f64::INFINITY, [0.0; 2]), |least, side| if side.0 < least.0 { side } else { least })
            }
            Shape::Knob => {
                let (u, v) = (2.0 * x / w - 1.0, 2.0 * y / h - 1.0);
                ((1.0 - u.hypot(v)) * w.min(h) / 2.0, [u, v])
            }
            Shape::Polygon(outline) => {
                let turn = sense(outline);
                let depth = depth_inside(outline, turn, [x, y]);
                (depth, [0.0, if y < h / 2.0 { -1.0 } else { 1.0 }])
            }
        }
    }

    /// Light on the surface from its form: softened edges, or a turned knob lit from the top left.
    fn shade(&self, _mm: [f64; 2], depth_mm: f64, turn: [f64; 2]) -> f32 {
        let facing = -(turn[0] * 0.5 + turn[1] * 0.85);
        let form = match self.shape {
            Shape::Knob => {
                1.0 + 0.75 * facing + 1.1 * rise(0.75, 1.0, 1.0 - (turn[0] + 0.3).hypot(turn[1] + 0.4) as f32) as f64
            }
            _ if self.bevel_mm > 0.0 => {
                let edge = (1.0 - depth_mm / self.bevel_mm).clamp(0.0, 1.0);
                1.0 + 0.30 * facing * edge * edge
            }
            _ => 1.0,
        };
        (self.lit * form).max(0.05) as f32
    }
}

/// Light over the frame.
struct Falloff {
    level: f64,
    slope: f64,
    direction: [f64; 2],
    first: f64,
    reach: f64,
}

impl Falloff {
    fn new(scene: &Scene) -> Self {
        let (w, h) = (f64::from(scene.width_px), f64::from(scene.height_px));
        let direction = [scene.light.slope_rad.cos(), scene.light.slope_rad.sin()];
        let ends =
            [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]].map(|p: [f64; 2]| p[0] * direction[0] + p[1] * direction[1]);
        let first = ends.iter().copied().fold(f64::INFINITY, f64::min);
        let last = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        Self { level: scene.light.level, slope: scene.light.slope, direction, first, reach: last - first }
    }

    fn at(&self, [x, y]: [f64; 2]) -> f32 {
        let along = (x * self.direction[0] + y * self.direction[1] - self.first) / self.reach;
        (self.level * (1.0 - self.slope * along)) as f32
    }
}
