//! From a scene to pixels and their truth.

mod develop;
mod levels;
mod paint;

use crate::camera::Developed;
use crate::pose::Homography;
use crate::{Error, Observer, PanelTruth, Scene, Tables, Truth};

/// A rendered photo.
#[derive(Clone, Debug)]
pub struct Rendered {
    /// Width of the upright photo.
    pub width_px: u32,
    /// Height of the upright photo.
    pub height_px: u32,
    /// 8-bit pixels, row by row, in the profile of the scene's file options.
    pub rgb: Vec<u8>,
    /// What is true of it.
    pub truth: Truth,
}

/// What falls on a pixel, in red, green and blue as the sensor has them, balanced.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cast {
    /// Share of the light that a shadow leaves, 0–1.
    pub passes: [f64; 3],
    /// Light that a reflection adds, over that of a perfect white at the brightest corner.
    pub adds: [f64; 3],
}

impl Cast {
    /// Neither.
    pub const NONE: Self = Self { passes: [1.0; 3], adds: [0.0; 3] };
}

/// Renders a scene. The same scene gives the same pixels.
///
/// What is approximated: a wood's reflectance at a pixel is a linear mixture of precomputed ones (29 depths of its K/S
/// by 3 shares of ray); that mixture is what is photographed and what the truth is computed from, so the truth is exact.
/// Edges are mixed by their coverage of the pixel. All light is diffuse.
///
/// # Errors
/// For a frame that is too large, corners that make no quadrilateral, or a wood no reflectance has the colour of.
pub fn render(scene: &Scene) -> Result<Rendered, Error> {
    render_under(scene, &|_| Cast::NONE)
}

/// The same, where a shadow or a reflection falls: `cast` tells what of each pixel. The truth is that of [`render`].
///
/// # Errors
/// As [`render`].
pub fn render_under(scene: &Scene, cast: &(dyn Fn([f64; 2]) -> Cast + Sync)) -> Result<Rendered, Error> {
    let (mut sensed, developed, truth) = expose(scene, false)?;
    let level = scene.light.level;
    for_rows(&mut sensed, scene.width_px as usize, |y, row| {
        for (x, pixel) in row.iter_mut().enumerate() {
            let Cast { passes, adds } = cast([x as f64 + 0.5, y as f64 + 0.5]);
            for (i, value) in pixel.iter_mut().enumerate() {
                *value = *value * passes[i] as f32 + (adds[i] * level) as f32;
            }
        }
    });
    let rgb = develop::develop(scene, &developed, sensed);
    Ok(Rendered { width_px: scene.width_px, height_px: scene.height_px, rgb, truth })
}

/// The balanced sensor values of a scene before lens, noise, matrix and tone: a perfect white at level 1 gives 1 each
/// (times the balance error). For tests.
///
/// # Errors
/// As [`render`].
pub fn linear_frame(scene: &Scene) -> Result<Vec<[f32; 3]>, Error> {
    Ok(expose(scene, false)?.0)
}

/// The truth alone, without the pixels: exactly what [`render`] tells, sooner.
///
/// # Errors
/// As [`render`].
pub fn truth(scene: &Scene) -> Result<Truth, Error> {
    Ok(expose(scene, true)?.2)
}

fn expose(scene: &Scene, blind: bool) -> Result<(Vec<[f32; 3]>, Developed, Truth), Error> {
    let (width, height) = (scene.width_px as usize, scene.height_px as usize);
    if !(16..=8000).contains(&width) || !(16..=8000).contains(&height) {
        return Err(Error::Frame(scene.width_px, scene.height_px));
    }
    let tables = Tables::read()?;
    let observer = Observer::d50(&tables)?;
    let developed = scene.camera.developed(&tables, &scene.light.spectrum, scene.file.profile)?;
    let mut canvas = paint::Canvas::new(scene, &developed, &observer, blind);
    let mut panels = Vec::new();
    for (index, surface) in scene.surfaces.iter().enumerate() {
        let pose = Homography::of_rectangle(surface.size_mm, surface.corners_px)?;
        let polygon_px: Vec<[f64; 2]> = surface.region().into_iter().map(|point| pose.to_px(point)).collect();
        let lab = canvas.surface(surface, &pose, &polygon_px, index)?;
        if let (Some(name), Some(lab)) = (&surface.name, lab) {
            panels.push(PanelTruth { name: name.clone(), polygon_px, lab });
        }
    }
    if let (Some(card), false) = (&scene.card, blind) {
        canvas.card(card)?;
    }
    let truth = Truth {
        width_px: scene.width_px,
        height_px: scene.height_px,
        card_corners_px: scene.card.as_ref().map(|card| card.corners_px),
        mirrored: scene.card.as_ref().is_some_and(crate::Card::mirrored),
        patches_lab: scene.card.iter().flat_map(|card| &card.patches).map(|patch| observer.lab(patch)).collect(),
        panels,
    };
    Ok((canvas.sensed, developed, truth))
}

/// Works on rows in parallel: `work(y, row)` for each row of `buffer`.
fn for_rows<T: Send>(buffer: &mut [T], width: usize, work: impl Fn(usize, &mut [T]) + Sync) {
    let rows = buffer.len() / width.max(1);
    let workers = std::thread::available_parallelism().map_or(1, usize::from).min(4);
    let band = rows.div_ceil(workers).max(1);
    std::thread::scope(|scope| {
        for (i, part) in buffer.chunks_mut(band * width.max(1)).enumerate() {
            let work = &work;
            scope.spawn(move || {
                for (j, row) in part.chunks_mut(width.max(1)).enumerate() {
                    work(i * band + j, row);
                }
            });
        }
    });
}
