//! The photo on show, in tiles of the level that has a pixel for each on screen; a few are uploaded per frame.

use egui::{Color32, Pos2, Rect, TextureOptions, Ui};
use workbench::{
    PhotoId,
    photos::PhotoView,
    picture::{Picture, TILE_PX},
};

use super::canvas::Frame;
use crate::screen::Memory;

/// Tiles uploaded in one frame at most, so that a large photo does not stop the window.
const UPLOADS: usize = 3;

/// Draws the photo, or its thumbnail until the tiles are there.
pub(super) fn photo_ui(ui: &Ui, frame: &Frame, id: PhotoId, view: &PhotoView, memory: &mut Memory) {
    let painter = ui.painter().with_clip_rect(frame.rect);
    let Some(picture) = &view.picture else {
        if let Some(thumb) = &view.thumb {
            let all = frame.on_screen([0.0, 0.0], frame.size);
            let texture = memory.crop(ui.ctx(), thumb);
            painter.image(texture, all, Rect::from_min_max(Pos2::ZERO, Pos2::new(1.0, 1.0)), Color32::WHITE);
        }
        return;
    };
    // A coarse level under the sharp one, so that nothing flashes while tiles arrive.
    let coarse = picture.levels().len().saturating_sub(1);
    let sharp = picture.level_for(frame.camera.scale * ui.pixels_per_point());
    let mut budget = UPLOADS;
    level_ui(ui, frame, id, picture, coarse, memory, &mut budget);
    if sharp != coarse {
        level_ui(ui, frame, id, picture, sharp, memory, &mut budget);
    }
    // Tiles of levels not on show make room.
    if memory.tiles.len() > 96 {
        memory.tiles.retain(|(_, level, ..), _| *level == sharp || *level == coarse);
    }
}

fn level_ui(
    ui: &Ui,
    frame: &Frame,
    id: PhotoId,
    picture: &Picture,
    level: usize,
    memory: &mut Memory,
    budget: &mut usize,
) {
    let painter = ui.painter().with_clip_rect(frame.rect);
    let Some(size) = picture.levels().get(level).map(|l| [l.width_px, l.height_px]) else { return };
    // Photo pixels per pixel of the level, across and down.
    let per = [frame.size[0] / f64::from(size[0]), frame.size[1] / f64::from(size[1])];
    let (across, down) = picture.tiles(level);
    for y in 0..down {
        for x in 0..across {
            let from = [f64::from(x * TILE_PX) * per[0], f64::from(y * TILE_PX) * per[1]];
            let to = [
                f64::from(((x + 1) * TILE_PX).min(size[0])) * per[0],
                f64::from(((y + 1) * TILE_PX).min(size[1])) * per[1],
            ];
            let place = frame.on_screen(from, to);
            if !place.intersects(frame.rect) {
                continue;
            }
            let key = (id, level, x, y);
            if let std::collections::hash_map::Entry::Vacant(place) = memory.tiles.entry(key) {
                if *budget == 0 {
                    ui.ctx().request_repaint();
                    continue;
                }
                let Some(tile) = picture.tile(level, x, y) else { continue };
                let image = egui::ColorImage::from_rgb([tile.width_px as usize, tile.height_px as usize], &tile.rgb);
                // Above one to one each pixel is shown as it is.
                let options = TextureOptions { magnification: egui::TextureFilter::Nearest, ..TextureOptions::LINEAR };
                place.insert(ui.ctx().load_texture(format!("tile {level} {x} {y}"), image, options));
                *budget -= 1;
            }
            if let Some(texture) = memory.tiles.get(&key) {
                painter.image(texture.id(), place, Rect::from_min_max(Pos2::ZERO, Pos2::new(1.0, 1.0)), Color32::WHITE);
            }
        }
    }
}
