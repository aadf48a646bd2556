//! A stage in mm on which furniture and boards are put together.

use super::{CardPlace, Panel, Photo, View};
use crate::noise::Normals;
use crate::pose::Homography;
use crate::scene::Shadow;
use crate::{Error, Figure, FigureKind, Material, Shape, Spectrum, Surface, Tables, wood_of};

/// What is being put together.
pub(super) struct Stage<'a> {
    tables: &'a Tables,
    photo: &'a Photo,
    pose: Homography,
    pub(super) surfaces: Vec<Surface>,
}

/// A flat thing on the stage before it is seen.
pub(super) struct Thing {
    surface: Surface,
    corners_mm: [[f64; 2]; 4],
}

impl<'a> Stage<'a> {
    /// An empty stage behind a hand-held camera: a little turned and leaning, by the photo's seed.
    pub(super) fn new(tables: &'a Tables, photo: &'a Photo, frame_px: [u32; 2]) -> Result<Self, Error> {
        let [w, h] = frame_px.map(f64::from);
        let mm_per_px = match photo.view {
            View::Chest => 1.02,
            View::Bureau => 1.0,
            View::Boards => 0.46,
        };
        let mut normals = Normals::new(photo.seed);
        let mut off = || f64::from(normals.draw().clamp(-1.5, 1.5)) * 0.004 * w;
        let corners = [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]].map(|[x, y]: [f64; 2]| [x + off(), y + off()]);
        let size = [w * mm_per_px, h * mm_per_px];
        let mut stage = Self { tables, photo, pose: Homography::of_rectangle(size, corners)?, surfaces: Vec::new() };
        stage.ground(size, matches!(photo.view, View::Boards));
        Ok(stage)
    }

    /// A neutral wall, or a bench under grey cloth.
    fn ground(&mut self, [w, h]: [f64; 2], cloth: bool) {
        let spectrum = Spectrum::from_knots(&[(380.0, 0.27), (500.0, 0.292), (780.0, 0.30)]);
        let weave_mm = if cloth { 3.2 } else { 0.0 };
        let material = Material::Mottled { spectrum, contrast: if cloth { 0.035 } else { 0.075 }, weave_mm };
        let e = 0.03 * w;
        self.put(Thing::new(material, [-e, -e, w + 2.0 * e, h + 2.0 * e]));
    }

    /// The panel of that name.
    pub(super) fn panel(&self, name: &str) -> Result<&'a Panel, Error> {
        let found = self.photo.panels.iter().find(|panel| panel.name == name);
        found.ok_or_else(|| Error::Description(format!("{}: the view needs a panel '{name}'", self.photo.file)))
    }

    /// The wood of a panel: a board of its own by its seed.
    pub(super) fn wood(&self, panel: &Panel, board: u32, upright: bool) -> Result<Material, Error> {
        self.wood_as(panel, panel.figure, board, upright, [0.0; 2])
    }

    /// The wood of a panel with another figure, and an origin on the board.
    pub(super) fn wood_as(
        &self,
        panel: &Panel,
        kind: FigureKind,
        board: u32,
        upright: bool,
        origin_mm: [f64; 2],
    ) -> Result<Material, Error> {
        let figure = Figure { kind, seed: board, upright, strength: panel.grain, blotch: panel.blotch, origin_mm };
        Ok(Material::Wood { base: wood_of(self.tables, panel.lab)?, wanted: Some(panel.lab), figure })
    }

    /// Puts a thing on the stage, over what is there.
    pub(super) fn put(&mut self, thing: Thing) {
        let mut surface = thing.surface;
        surface.corners_px = thing.corners_mm.map(|point| self.pose.to_px(point));
        self.surfaces.push(surface);
    }

    /// A turned knob with its shadow.
    pub(super) fn knob(&mut self, [x, y]: [f64; 2], size: f64, spectrum: Spectrum) {
        let box_mm = [x - size / 2.0, y - size / 2.0, size, size];
        self.put(Thing::new(Material::Flat(spectrum), box_mm).shape(Shape::Knob).shadow([5.0, 8.0], 7.0, 0.55));
    }

    /// The boards of a bench photo: one shadow for each board, score lines between its swatches.
    pub(super) fn boards(&mut self) -> Result<(), Error> {
        let photo = self.photo;
        let placed = || photo.panels.iter().filter_map(|panel| panel.place_mm.map(|place| (panel, place)));
        let mut done: Vec<u32> = Vec::new();
        for (panel, first) in placed() {
            if !done.contains(&panel.board) {
                done.push(panel.board);
                let [x0, y0, x1, y1] = placed().filter(|(other, _)| other.board == panel.board).fold(
                    [first[0], first[1], first[0] + first[2], first[1] + first[3]],
                    |[x0, y0, x1, y1], (_, [x, y, w, h])| [x0.min(x), y0.min(y), x1.max(x + w), y1.max(y + h)],
                );
                let body = Thing::new(Material::Flat(Spectrum::flat(0.03)), [x0, y0, x1 - x0, y1 - y0]);
                self.put(body.shadow([3.5, 5.5], 8.0, 0.62));
            }
            let [x, y, w, h] = first;
            let origin = [x + f64::from(panel.board % 7) * 310.0, y];
            let wood = self.wood_as(panel, panel.figure, panel.board, false, origin)?;
            self.put(Thing::new(wood, [x, y, w, h]).named(&panel.name).bevel(0.9));
        }
        Ok(())
    }

    /// Where the corners of the card's grid are seen.
    pub(super) fn card_corners(&self, place: CardPlace, size: [f64; 2]) -> [[f64; 2]; 4] {
        let (w, h) = (place.width_mm / 2.0, place.width_mm / 2.0 * size[1] / size[0]);
        let (sin, cos) = place.turn_deg.to_radians().sin_cos();
        [[-w, -h], [w, -h], [w, h], [-w, h]].map(|[x, y]| {
            self.pose.to_px([place.centre_mm[0] + x * cos - y * sin, place.centre_mm[1] + x * sin + y * cos])
        })
    }
}

impl Thing {
    /// A rectangle: x, y, width, height in mm.
    pub(super) fn new(material: Material, [x, y, w, h]: [f64; 4]) -> Self {
        Self::seen(material, [w, h], [[x, y], [x + w, y], [x + w, y + h], [x, y + h]])
    }

    /// A rectangle of a size, seen as a quadrilateral on the stage.
    pub(super) fn seen(material: Material, size_mm: [f64; 2], corners_mm: [[f64; 2]; 4]) -> Self {
        let surface = Surface {
            name: None,
            material,
            size_mm,
            corners_px: [[0.0; 2]; 4],
            shape: Shape::Whole,
            region_mm: Vec::new(),
            bevel_mm: 0.0,
            shadow: None,
            lit: 1.0,
        };
        Self { surface, corners_mm }
    }

    /// Its truth is told under this name.
    pub(super) fn named(mut self, name: &str) -> Self {
        self.surface.name = Some(name.to_string());
        self
    }

    pub(super) fn bevel(mut self, mm: f64) -> Self {
        self.surface.bevel_mm = mm;
        self
    }

    pub(super) fn shadow(mut self, offset_mm: [f64; 2], blur_mm: f64, depth: f64) -> Self {
        self.surface.shadow = Some(Shadow { offset_mm, blur_mm, depth });
        self
    }

    pub(super) fn shape(mut self, shape: Shape) -> Self {
        self.surface.shape = shape;
        self
    }

    /// Light on it relative to the rest.
    pub(super) fn lit(mut self, lit: f64) -> Self {
        self.surface.lit = lit;
        self
    }

    /// Its colour is told in this rectangle, given in shares of its width and height: x0, y0, x1, y1.
    pub(super) fn region(mut self, [x0, y0, x1, y1]: [f64; 4]) -> Self {
        let [w, h] = self.surface.size_mm;
        self.surface.region_mm = vec![[x0 * w, y0 * h], [x1 * w, y0 * h], [x1 * w, y1 * h], [x0 * w, y1 * h]];
        self
    }
}
