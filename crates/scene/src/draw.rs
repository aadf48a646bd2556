//! Scenes drawn at random over fixed ranges.

mod layout;
mod views;

use crate::{
    Camera, Card, Error, Figure, FigureKind, FileOptions, Light, LightKind, Material, Observer, Profile, Scene,
    Sensitivity, Shape, Spectrum, Surface, Tables, perturbed, wood_of,
};
use layout::{card_corners, free_boxes, jittered};
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;

pub use views::{Bench, Changes};

/// The ranges [`draw`] draws from: lowest and highest, uniform between unless said.
///
/// | what | range |
/// | --- | --- |
/// | light | one of D50, D65, A, LED-B3, FL11, alike likely; its power tilted by up to ±6 % at the ends of the spectrum |
/// | slope of the light over the frame | 0–20 %, any direction |
/// | card | grid of 24 patches in 4 rows of 6, 15–60 % of the frame's width along its row (less where it would not fit) |
/// | tilt of the card | 0–35°, about any axis; turned by any angle in a third of the scenes, else within ±25° of level |
/// | mirrored | in one scene of fourteen |
/// | gap between patches | 8–16 % of the pitch; dark frame 8–30 % of the pitch |
/// | each patch off its published value | N(0, 0.7) ΔE2000 along a random direction in Lab (its mean size is 0.56) |
/// | exposure: linear value of a perfect white at the brightest corner | 0.50–1.00 |
/// | white balance | each of red and blue off by N(0, 2 %) |
/// | veil | 0–3 % of a perfect white, the square of a uniform draw |
/// | contrast curve | strength 0–0.6, each channel's off by N(0, 0.03) |
/// | shot noise of a full pixel, read noise | 0.003–0.012, 0.0005–0.003 |
/// | lens blur | 0.5–1.2 px |
/// | JPEG quality | 80–97 |
/// | orientation, wide profile | EXIF 3, 6 or 8 in one scene of five; the wide profile in one of five |
/// | wood | L* 28–82, C* 10–34, hue 50–85°; grain strength 0.5–1.2 |
/// | panels | 1–4 |
/// | peaks of the sensitivities | red 600 ± 8, green 535 ± 8, blue 458 ± 7 nm, with smaller second humps |
#[derive(Clone, Copy, Debug)]
pub struct Ranges {
    /// Width and height of the frame.
    pub frame_px: [u32; 2],
    /// Share of light lost over the frame.
    pub slope: [f64; 2],
    /// Width of the card's grid over the frame's.
    pub card_share: [f64; 2],
    /// Tilt of the card.
    pub tilt_deg: [f64; 2],
    /// Standard deviation of a patch from its published value, ΔE2000.
    pub patch_sd_de00: f64,
    /// Linear value of a perfect white at the brightest corner.
    pub exposure: [f64; 2],
    /// Standard deviation of the white balance of red and blue.
    pub balance_sd: f64,
    /// Even light added, over a perfect white.
    pub veil: [f64; 2],
    /// Strength of the contrast curve.
    pub tone: [f64; 2],
    /// Shot noise of a full pixel.
    pub shot_noise: [f64; 2],
    /// Read noise.
    pub read_noise: [f64; 2],
    /// Lens blur.
    pub blur_px: [f64; 2],
    /// JPEG quality.
    pub quality: [u8; 2],
    /// Lightness of the wood.
    pub wood_l: [f64; 2],
    /// Chroma of the wood.
    pub wood_c: [f64; 2],
    /// Hue of the wood.
    pub wood_h_deg: [f64; 2],
    /// Grain strength.
    pub grain: [f64; 2],
}

impl Ranges {
    /// The fixed ranges.
    pub const FIXED: Self = Self {
        frame_px: [1600, 1200],
        slope: [0.0, 0.20],
        card_share: [0.15, 0.60],
        tilt_deg: [0.0, 35.0],
        patch_sd_de00: 0.7,
        exposure: [0.50, 1.00],
        balance_sd: 0.02,
        veil: [0.0, 0.03],
        tone: [0.0, 0.6],
        shot_noise: [0.003, 0.012],
        read_noise: [0.0005, 0.003],
        blur_px: [0.5, 1.2],
        quality: [80, 97],
        wood_l: [28.0, 82.0],
        wood_c: [10.0, 34.0],
        wood_h_deg: [50.0, 85.0],
        grain: [0.5, 1.2],
    };
}

/// A random scene: the same seed gives the same scene.
///
/// # Errors
/// Only if an embedded table was damaged.
pub fn draw(seed: u64) -> Result<Scene, Error> {
    let ranges = Ranges::FIXED;
    let mut rng = Pcg64::seed_from_u64(seed);
    let tables = Tables::read()?;
    let observer = Observer::d50(&tables)?;
    let light = draw_light(&mut rng, &tables, &ranges)?;
    let camera = draw_camera(&mut rng, &ranges);
    let card = draw_card(&mut rng, &tables, &observer, &ranges)?;
    let surfaces = draw_surfaces(&mut rng, &tables, &card, &ranges)?;
    let file = FileOptions {
        quality: rng.random_range(ranges.quality[0]..=ranges.quality[1]),
        orientation: if rng.random_bool(0.2) { [3, 6, 8][rng.random_range(0..3)] } else { 1 },
        profile: if rng.random_bool(0.2) { Profile::Wide } else { Profile::Plain },
    };
    let [width_px, height_px] = ranges.frame_px;
    Ok(Scene { seed, width_px, height_px, light, camera, surfaces, card: Some(card), file })
}

fn within(rng: &mut Pcg64, [low, high]: [f64; 2]) -> f64 {
    rng.random_range(low..=high)
}

/// A standard normal number (Box, Muller 1958).
pub(crate) fn normal(rng: &mut Pcg64) -> f64 {
    let (u, v): (f64, f64) = (rng.random_range(f64::EPSILON..1.0), rng.random());
    (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
}

fn draw_light(rng: &mut Pcg64, tables: &Tables, ranges: &Ranges) -> Result<Light, Error> {
    let kind = LightKind::ALL[rng.random_range(0..LightKind::ALL.len())];
    draw_light_of(rng, tables, ranges, kind)
}

fn draw_light_of(rng: &mut Pcg64, tables: &Tables, ranges: &Ranges, kind: LightKind) -> Result<Light, Error> {
    let lean = within(rng, [-0.06, 0.06]);
    let leaning = Spectrum::from_fn(|nm| 1.0 + lean * (nm - 580.0) / 200.0);
    let spectrum = kind.spectrum(tables)?.zip(&leaning, |power, lean| power * lean);
    let slope_rad = within(rng, [0.0, std::f64::consts::TAU]);
    Ok(Light { spectrum, level: 1.0, slope: within(rng, ranges.slope), slope_rad })
}

fn draw_camera(rng: &mut Pcg64, ranges: &Ranges) -> Camera {
    let sensitivities = draw_sensitivities(rng);
    let tone = within(rng, ranges.tone);
    Camera {
        sensitivities,
        balance: [1.0 + ranges.balance_sd * normal(rng), 1.0, 1.0 + ranges.balance_sd * normal(rng)],
        exposure: within(rng, ranges.exposure),
        shot_noise: within(rng, ranges.shot_noise),
        read_noise: within(rng, ranges.read_noise),
        veil: ranges.veil[0] + (ranges.veil[1] - ranges.veil[0]) * rng.random::<f64>().powi(2),
        blur_px: within(rng, ranges.blur_px),
        tone: std::array::from_fn(|_| (tone + 0.03 * normal(rng)).clamp(0.0, ranges.tone[1])),
    }
}

/// Camera-like sensitivities: one main hump each and smaller ones where the dyes leak. Invented.
pub(crate) fn draw_sensitivities(rng: &mut Pcg64) -> [Sensitivity; 3] {
    let mut hump = |at: f64, off: f64, width: f64, height: f64| {
        [at + within(rng, [-off, off]), width * within(rng, [0.9, 1.1]), height * within(rng, [0.8, 1.2])]
    };
    [
        Sensitivity(vec![hump(600.0, 8.0, 30.0, 1.0), hump(545.0, 6.0, 25.0, 0.10), hump(450.0, 10.0, 25.0, 0.04)]),
        Sensitivity(vec![hump(535.0, 8.0, 36.0, 1.0), hump(470.0, 8.0, 22.0, 0.10), hump(610.0, 8.0, 25.0, 0.06)]),
        Sensitivity(vec![hump(458.0, 7.0, 26.0, 1.0), hump(520.0, 8.0, 25.0, 0.09), hump(610.0, 10.0, 30.0, 0.02)]),
    ]
}

/// The patches of one card: each off its published value by N(0, sd) ΔE2000 along a random direction in Lab.
///
/// # Errors
/// [`Error::Colour`] when no smooth change of a patch gives it.
pub(crate) fn draw_patches(
    rng: &mut Pcg64,
    tables: &Tables,
    observer: &Observer,
    sd: f64,
) -> Result<Vec<Spectrum>, Error> {
    let mut patches = Vec::with_capacity(tables.chart.len());
    for (_, published) in &tables.chart {
        let direction: [f64; 3] = std::array::from_fn(|_| normal(rng));
        let length = direction.iter().map(|d| d * d).sum::<f64>().sqrt().max(1e-6);
        patches.push(perturbed(observer, published, direction.map(|d| d / length), (sd * normal(rng)).abs())?);
    }
    Ok(patches)
}

fn draw_card(rng: &mut Pcg64, tables: &Tables, observer: &Observer, ranges: &Ranges) -> Result<Card, Error> {
    let patches = draw_patches(rng, tables, observer, ranges.patch_sd_de00)?;
    let (gap, border) = (within(rng, [0.08, 0.16]), within(rng, [0.08, 0.30]));
    let mut corners_px = card_corners(rng, ranges, [6.0 - gap, 4.0 - gap], border);
    if rng.random_range(0..14) == 0 {
        corners_px = [corners_px[1], corners_px[0], corners_px[3], corners_px[2]];
    }
    Ok(Card { columns: 6, patches, frame: Spectrum::flat(within(rng, [0.03, 0.06])), gap, border, corners_px })
}

fn draw_surfaces(rng: &mut Pcg64, tables: &Tables, card: &Card, ranges: &Ranges) -> Result<Vec<Surface>, Error> {
    let frame = ranges.frame_px.map(f64::from);
    let px_mm = within(rng, [0.3, 1.0]);
    let mut surfaces = vec![draw_background(rng, tables, ranges, px_mm)?];
    let boxes = free_boxes(card, frame);
    let count = rng.random_range(1..=4usize);
    for i in 0..count {
        let (own, slot) = (boxes.len().min(count), i % boxes.len().max(1));
        let Some(&[x0, y0, x1, y1]) = boxes.get(slot) else { break };
        // Several panels in one box share it along its longer side.
        let (sharing, rank) = (count.div_ceil(own.max(1)) as f64, (i / boxes.len()) as f64);
        let part = if x1 - x0 > y1 - y0 {
            let step = (x1 - x0) / sharing;
            [x0 + step * rank, y0, x0 + step * (rank + 1.0), y1]
        } else {
            let step = (y1 - y0) / sharing;
            [x0, y0 + step * rank, x1, y0 + step * (rank + 1.0)]
        };
        let corners_px = jittered(rng, part);
        let size_mm = [(part[2] - part[0]) * px_mm, (part[3] - part[1]) * px_mm];
        surfaces.push(Surface {
            name: Some(format!("panel {}", i + 1)),
            material: draw_wood(rng, tables, ranges)?,
            size_mm,
            corners_px,
            shape: Shape::Whole,
            region_mm: Vec::new(),
            bevel_mm: within(rng, [0.0, 4.0]),
            shadow: Some(crate::scene::Shadow { offset_mm: [2.0, 3.0], blur_mm: 6.0, depth: 0.5 }),
            lit: 1.0,
        });
    }
    Ok(surfaces)
}

fn draw_wood(rng: &mut Pcg64, tables: &Tables, ranges: &Ranges) -> Result<Material, Error> {
    let figure = Figure {
        kind: FigureKind::ALL[rng.random_range(0..FigureKind::ALL.len())],
        seed: rng.random_range(1..100_000),
        upright: rng.random_bool(0.5),
        strength: within(rng, ranges.grain),
        blotch: 0.0,
        origin_mm: [0.0; 2],
    };
    let mut refused = Error::Colour([0.0; 3]);
    for _ in 0..20 {
        let (l, hue) = (within(rng, ranges.wood_l), within(rng, ranges.wood_h_deg).to_radians());
        // Deep woods are never as strongly coloured as middling ones.
        let c = within(rng, ranges.wood_c).min(8.0 + 0.55 * l);
        match wood_of(tables, [l, c * hue.cos(), c * hue.sin()]) {
            Ok(base) => return Ok(Material::Wood { base, wanted: None, figure }),
            Err(err) => refused = err,
        }
    }
    Err(refused)
}

fn draw_background(rng: &mut Pcg64, tables: &Tables, ranges: &Ranges, px_mm: f64) -> Result<Surface, Error> {
    let [w, h] = ranges.frame_px.map(f64::from);
    let grey = Spectrum::flat(within(rng, [0.12, 0.45]));
    let material = match rng.random_range(0..3) {
        0 => Material::Mottled { spectrum: grey, contrast: within(rng, [0.03, 0.12]), weave_mm: 0.0 },
        1 => Material::Mottled { spectrum: grey, contrast: 0.05, weave_mm: within(rng, [1.5, 4.0]) },
        _ => draw_wood(rng, tables, ranges)?,
    };
    Ok(Surface {
        name: None,
        material,
        size_mm: [w * px_mm, h * px_mm],
        corners_px: [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]],
        shape: Shape::Whole,
        region_mm: Vec::new(),
        bevel_mm: 0.0,
        shadow: None,
        lit: 1.0,
    })
}
