//! A rendered photo with something wrong with it.

use card::{Limits, PhotoReading, Request};
use image::codecs::jpeg::JpegEncoder;
use image::{ImageBuffer, Rgb, RgbImage, imageops};
use scene::{Bench, LightKind, Profile, Rendered, Scene, Truth};

/// Seed of the bench that all these photos show.
const SEED: u64 = 3;

/// What is done to a rendered picture before it becomes a file.
type Paint = Box<dyn Fn(&mut Rendered)>;

/// A photo of the bench from straight above, evenly lit and well exposed, to which something is done.
pub(crate) struct Shot {
    scene: Scene,
    paint: Vec<Paint>,
    by_hand: bool,
    regions: Option<Vec<[f64; 2]>>,
    enlarged: f64,
}

/// What the reading said.
pub(crate) struct Said {
    pub(crate) reading: PhotoReading,
    pub(crate) truth: Truth,
}

impl Said {
    pub(crate) fn codes(&self) -> Vec<&'static str> {
        self.reading.warnings.iter().map(|warning| warning.code).collect()
    }
}

impl Shot {
    /// The bench this wide in the frame.
    pub(crate) fn of_bench(share: f64) -> Self {
        let mut scene = Bench::new(SEED, LightKind::D50).expect("a bench").straight(share);
        (scene.light.slope, scene.light.level) = (0.02, 1.0);
        scene.camera.tone = [0.2; 3];
        scene.camera.veil = 0.003;
        scene.camera.blur_px = 0.7;
        scene.file.profile = Profile::Wide;
        Self { scene, paint: Vec::new(), by_hand: false, regions: None, enlarged: 1.0 }
    }

    /// Nothing is wrong with it.
    pub(crate) fn plain() -> Self {
        Self::of_bench(0.85)
    }

    /// What is photographed, as far as it is changed by now.
    pub(crate) fn scene(&self) -> &Scene {
        &self.scene
    }

    /// Width and height of the frame, pixels.
    pub(crate) fn frame(&self) -> [f64; 2] {
        [self.scene.width_px, self.scene.height_px].map(f64::from)
    }

    /// With this done to the scene.
    pub(crate) fn with(mut self, change: impl FnOnce(&mut Scene)) -> Self {
        change(&mut self.scene);
        self
    }

    /// With the linear light of every pixel changed by its place in the frame, 0–1 each way.
    pub(crate) fn lit(self, light: impl Fn([f64; 2]) -> [f64; 3] + 'static) -> Self {
        self.relit(move |light_there, at| {
            let factors = light(at);
            [0, 1, 2].map(|channel| light_there[channel] * factors[channel])
        })
    }

    /// With linear light added to every pixel by its place in the frame, 0–1 each way, as the surface mirrors it.
    pub(crate) fn mirroring(self, light: impl Fn([f64; 2]) -> f64 + 'static) -> Self {
        self.relit(move |light_there, at| light_there.map(|channel| channel + light(at)))
    }

    fn relit(self, light: impl Fn([f64; 3], [f64; 2]) -> [f64; 3] + 'static) -> Self {
        self.painted(move |rendered| {
            let (width, height) = (rendered.width_px as usize, f64::from(rendered.height_px));
            for (k, pixel) in rendered.rgb.chunks_exact_mut(3).enumerate() {
                let at = [(k % width) as f64 / width as f64, (k / width) as f64 / height];
                let relit = light([pixel[0], pixel[1], pixel[2]].map(linear), at);
                pixel.copy_from_slice(&relit.map(stored));
            }
        })
    }

    /// With this done to the stored pixels.
    pub(crate) fn painted(mut self, paint: impl Fn(&mut Rendered) + 'static) -> Self {
        self.paint.push(Box::new(paint));
        self
    }

    /// Saved as a JPEG of that quality before it was saved as it is, when it still had so many columns and rows more at the left and top.
    pub(crate) fn saved_before(self, quality: u8, more: [u32; 2]) -> Self {
        self.painted(move |rendered| {
            let (width, height) = (rendered.width_px, rendered.height_px);
            let whole = RgbImage::from_fn(width + more[0], height + more[1], |x, y| {
                let at = 3 * (y.saturating_sub(more[1]) * width + x.saturating_sub(more[0])) as usize;
                Rgb([rendered.rgb[at], rendered.rgb[at + 1], rendered.rgb[at + 2]])
            });
            let mut bytes = Vec::new();
            JpegEncoder::new_with_quality(&mut bytes, quality).encode_image(&whole).expect("a JPEG");
            let saved = image::load_from_memory(&bytes).expect("a photo").to_rgb8();
            rendered.rgb = imageops::crop_imm(&saved, more[0], more[1], width, height).to_image().into_raw();
        })
    }

    /// The card's corners are given.
    pub(crate) fn by_hand(mut self) -> Self {
        self.by_hand = true;
        self
    }

    /// One region, in pixels, in place of the panels.
    pub(crate) fn region(mut self, polygon: Vec<[f64; 2]>) -> Self {
        self.regions = Some(polygon);
        self
    }

    /// Enlarged after it was taken.
    pub(crate) fn enlarged(mut self, factor: f64) -> Self {
        self.enlarged = factor;
        self
    }

    /// Renders, stores and reads it.
    pub(crate) fn read(self) -> Said {
        let mut rendered = scene::render(&self.scene).expect("a picture");
        for paint in &self.paint {
            paint(&mut rendered);
        }
        let truth = rendered.truth.clone();
        let bytes = if self.enlarged == 1.0 {
            scene::jpeg(&rendered, &self.scene.file).expect("a JPEG")
        } else {
            enlarged(rendered, self.enlarged, self.scene.file.quality)
        };
        let photo = card::decode(&bytes, &Limits::default()).expect("a photo");
        let panels = || truth.panels.iter().map(|panel| (panel.name.clone(), panel.polygon_px.clone())).collect();
        let scaled = |corners: [[f64; 2]; 4]| corners.map(|corner| corner.map(|at| at * self.enlarged));
        let request = Request {
            corners_px: truth.card_corners_px.filter(|_| self.by_hand).map(scaled),
            regions: self.regions.map_or_else(panels, |polygon| vec![("region".into(), polygon)]),
            ..Request::default()
        };
        let reading = card::read(&photo, &request, &|_| true).expect("a reading");
        Said { reading, truth }
    }
}

/// Enlarged with straight interpolation, as picture programs do, and stored.
fn enlarged(rendered: Rendered, factor: f64, quality: u8) -> Vec<u8> {
    let size = [rendered.width_px, rendered.height_px].map(|side| (f64::from(side) * factor).round() as u32);
    let picture =
        ImageBuffer::<Rgb<u8>, _>::from_raw(rendered.width_px, rendered.height_px, rendered.rgb).expect("pixels");
    let larger = imageops::resize(&picture, size[0], size[1], imageops::FilterType::Triangle);
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, quality).encode_image(&larger).expect("a JPEG");
    bytes
}

/// Linear light of an sRGB code (IEC 61966-2-1:1999).
fn linear(code: u8) -> f64 {
    let encoded = f64::from(code) / 255.0;
    if encoded <= 0.04045 { encoded / 12.92 } else { ((encoded + 0.055) / 1.055).powf(2.4) }
}

/// The sRGB code of linear light.
fn stored(light: f64) -> u8 {
    let light = light.clamp(0.0, 1.0);
    let encoded = if light <= 0.003_130_8 { 12.92 * light } else { 1.055 * light.powf(1.0 / 2.4) - 0.055 };
    (255.0 * encoded).round() as u8
}

/// Brightens shadows as picture programs do: each pixel over the root of the light around it, within this many pixels.
pub(crate) fn local_tone(rendered: &mut Rendered, radius: usize) {
    let (width, height) = (rendered.width_px as usize, rendered.height_px as usize);
    let light: Vec<f64> = rendered.rgb.chunks_exact(3).map(|pixel| linear(pixel[1])).collect();
    let around = |x: usize, y: usize| {
        // Every fourth pixel of the square is near enough.
        let columns = (x.saturating_sub(radius)..(x + radius).min(width)).step_by(4);
        let rows = (y.saturating_sub(radius)..(y + radius).min(height)).step_by(4);
        let (mut sum, mut count) = (0.0, 0.0);
        for row in rows {
            for column in columns.clone() {
                sum += light[row * width + column];
                count += 1.0;
            }
        }
        sum / f64::max(count, 1.0)
    };
    // One factor for each block of 4 × 4 pixels.
    let blocks = width.div_ceil(4);
    let factors: Vec<f64> = (0..blocks * height.div_ceil(4))
        .map(|k| (0.35 / (around(4 * (k % blocks), 4 * (k / blocks)) + 0.05)).powf(0.4))
        .collect();
    for (k, pixel) in rendered.rgb.chunks_exact_mut(3).enumerate() {
        let factor = factors[k / width / 4 * blocks + k % width / 4];
        pixel.iter_mut().for_each(|code| *code = stored(linear(*code) * factor));
    }
}
