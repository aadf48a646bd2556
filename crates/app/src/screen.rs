//! What drawing takes: the workbench to show, what the window itself remembers, and the actions it returns.

use std::collections::HashMap;

use egui::{Context, TextureHandle, TextureOptions};
use workbench::{Action, PhotoId, TrialId, Workbench, crop::Crop};

use crate::dialogs::Dialogs;

/// One frame's view of everything.
pub(crate) struct Screen<'a> {
    /// The workbench.
    pub(crate) bench: &'a Workbench,
    /// What the window remembers.
    pub(crate) memory: &'a mut Memory,
    /// What was done.
    pub(crate) actions: &'a mut Vec<Action>,
}

impl Screen<'_> {
    /// Something was done.
    pub(crate) fn act(&mut self, action: impl Into<Action>) {
        self.actions.push(action.into());
    }
}

/// What the window remembers between frames; none of it belongs to the piece.
#[derive(Default)]
pub(crate) struct Memory {
    /// Textures of crops, by key, with the frame they were last used in.
    crops: HashMap<u64, (TextureHandle, u64)>,
    /// Tiles of the photo on show: photo, level, across, down.
    pub(crate) tiles: HashMap<(PhotoId, usize, u32, u32), TextureHandle>,
    /// Where each photo is looked at.
    pub(crate) cameras: HashMap<PhotoId, Camera>,
    /// The shape being drawn, photo pixels.
    pub(crate) drawing: Vec<[f64; 2]>,
    /// A region as it is being dragged.
    pub(crate) moving: Option<(workbench::ReadingId, Vec<[f64; 2]>)>,
    /// The magnifier's texture.
    pub(crate) magnifier: Option<TextureHandle>,
    /// The log line.
    pub(crate) log: String,
    /// The name of the next part.
    pub(crate) part_name: String,
    /// The name of the next part is to be typed now.
    pub(crate) part_name_next: bool,
    /// A field of a part that is being typed in: its name and what stands in it.
    pub(crate) part_field: Option<(String, String)>,
    /// The next stick.
    pub(crate) stick: String,
    /// The file of the shop book while it is typed.
    pub(crate) book: Option<String>,
    /// A path typed in.
    pub(crate) path: String,
    /// The piece's name while it is changed.
    pub(crate) rename: Option<String>,
    /// The trial whose column was last brought into sight.
    pub(crate) trial_in_sight: Option<TrialId>,
    /// What is drawn below the boards.
    pub(crate) drawing_shown: Drawing,
    /// A text field held the keyboard in the last frame.
    pub(crate) typing: bool,
    /// The list of keys is open.
    pub(crate) keys: bool,
    /// The list of parts is open.
    pub(crate) parts: bool,
    /// Dialogs that are open.
    pub(crate) dialogs: Dialogs,
    /// Counts frames.
    frame: u64,
}

/// What is drawn below the boards of Samples.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Drawing {
    /// L* against C*.
    #[default]
    Lightness,
    /// b* against a*.
    Hue,
    /// What the chosen trial's last step does at each strength.
    Strength,
}

/// Where a photo is looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Camera {
    /// The photo pixel in the middle.
    pub(crate) centre: egui::Vec2,
    /// Points per photo pixel.
    pub(crate) scale: f32,
}

impl Memory {
    /// The texture of a crop.
    pub(crate) fn crop(&mut self, ctx: &Context, crop: &Crop) -> egui::TextureId {
        let frame = self.frame;
        let make = || {
            let size = [crop.width_px as usize, crop.height_px as usize];
            let image = egui::ColorImage::from_rgb(size, &crop.rgb);
            (ctx.load_texture(format!("crop {}", crop.key), image, TextureOptions::LINEAR), frame)
        };
        let entry = self.crops.entry(crop.key).or_insert_with(make);
        entry.1 = frame;
        entry.0.id()
    }

    /// Opens the list of parts, ready to type the name of one.
    pub(crate) fn name_parts(&mut self) {
        self.parts = true;
        self.part_name_next = true;
    }

    /// Drops textures that were not used lately, and tiles of photos not on show.
    pub(crate) fn tidy(&mut self, shown: Option<PhotoId>) {
        self.frame += 1;
        let frame = self.frame;
        self.crops.retain(|_, (_, used)| *used + 120 > frame);
        self.tiles.retain(|(photo, ..), _| Some(*photo) == shown);
    }
}
