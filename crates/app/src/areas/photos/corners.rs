//! Four corners of the card to drag, with a magnifier on the far side of the photo.

use egui::{Align2, Color32, EventFilter, Key, Pos2, Rect, Role, Sense, Stroke, TextureOptions, Ui, WidgetInfo};
use workbench::{PhotosAction, photos::Corners};

use super::{canvas::Frame, overlay};
use crate::{screen::Screen, theme, widgets::words};

/// Side of the magnifier, points, and photo pixels across it: ten points to the pixel.
const MAGNIFIER: f32 = 240.0;
const ACROSS_PX: u32 = 24;

/// Draws the corners being placed.
pub(super) fn corners_ui(ui: &mut Ui, frame: &Frame, screen: &mut Screen<'_>) {
    let Some(corners) = screen.bench.photos().corners else { return };
    overlay::outline(ui, frame, &corners.at_px, true);
    let mut held = None;
    for (place, px) in corners.at_px.into_iter().enumerate() {
        if corner_ui(ui, frame, &corners, place, px, screen) {
            held = Some(place);
        }
    }
    let active = held.unwrap_or(corners.active);
    magnifier_ui(ui, frame, corners.at_px[active], active, screen);
    if !ui.ctx().text_edit_focused() && ui.input(|input| input.modifiers.is_none() && input.key_pressed(Key::Enter)) {
        screen.act(PhotosAction::ReadWithCorners);
    }
}

/// One corner: a ring with its number; true while it is held.
fn corner_ui(
    ui: &mut Ui,
    frame: &Frame,
    corners: &Corners,
    place: usize,
    px: [f64; 2],
    screen: &mut Screen<'_>,
) -> bool {
    let at = frame.at(px);
    let hit = Rect::from_center_size(at, egui::vec2(40.0, 40.0));
    let id = ui.make_persistent_id(("corner", place));
    let response = ui.interact(hit, id, Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("card corner {}", place + 1)));
    ui.memory_mut(|memory| {
        let arrows = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
        memory.set_focus_lock_filter(id, arrows);
    });
    ui.painter().circle_stroke(at, 14.0, Stroke::new(4.0, Color32::BLACK));
    ui.painter().circle_stroke(at, 14.0, Stroke::new(2.0, Color32::WHITE));
    let chosen = corners.active == place;
    let out = outward(&corners.at_px, place);
    let tag = Rect::from_center_size(at + out * 34.0, egui::vec2(24.0, 24.0));
    let (fill, ink) = if chosen { (theme::TAG_INK, theme::TAG) } else { (theme::TAG, theme::TAG_INK) };
    ui.painter().rect_filled(tag, 0, fill);
    words::paint_centred(ui, tag, &[words::bold(&format!("{}", place + 1), 16.0, ink)]);
    if response.clicked() {
        response.request_focus();
    }
    if response.drag_started() || response.gained_focus() || response.clicked() {
        screen.act(PhotosAction::MoveCorner { corner: place, to_px: px });
    }
    if let (true, Some(pointer)) = (response.dragged(), response.interact_pointer_pos()) {
        screen.act(PhotosAction::MoveCorner { corner: place, to_px: frame.inside(frame.photo_px(pointer)) });
    }
    let no_other_focus = ui.memory(|memory| memory.focused().is_none());
    if response.has_focus() || chosen && no_other_focus {
        nudge(ui, place, px, screen);
    }
    response.dragged()
}

/// Arrow keys move a corner by one pixel.
fn nudge(ui: &Ui, corner: usize, px: [f64; 2], screen: &mut Screen<'_>) {
    let step = |key| ui.input_mut(|input| input.count_and_consume_key(egui::Modifiers::NONE, key)) as f64;
    let x = step(Key::ArrowRight) - step(Key::ArrowLeft);
    let y = step(Key::ArrowDown) - step(Key::ArrowUp);
    if x != 0.0 || y != 0.0 {
        screen.act(PhotosAction::MoveCorner { corner, to_px: [px[0] + x, px[1] + y] });
    }
}

/// Away from the middle of the card.
fn outward(at_px: &[[f64; 2]; 4], place: usize) -> egui::Vec2 {
    let mean = |axis: usize| at_px.iter().map(|p| p[axis]).sum::<f64>() / 4.0;
    let out = egui::vec2((at_px[place][0] - mean(0)) as f32, (at_px[place][1] - mean(1)) as f32);
    out.normalized()
}

/// The photo about a corner, ten times as large, nearest neighbour, with a cross that is open in the middle.
fn magnifier_ui(ui: &mut Ui, frame: &Frame, px: [f64; 2], corner: usize, screen: &mut Screen<'_>) {
    let Some(picture) = screen.bench.photo_view().and_then(|(_, view)| view.picture.clone()) else { return };
    let tile = picture.around(px, ACROSS_PX);
    let image = egui::ColorImage::from_rgb([tile.width_px as usize, tile.height_px as usize], &tile.rgb);
    match &mut screen.memory.magnifier {
        Some(texture) => texture.set(image, TextureOptions::NEAREST),
        None => screen.memory.magnifier = Some(ui.ctx().load_texture("magnifier", image, TextureOptions::NEAREST)),
    }
    let Some(texture) = &screen.memory.magnifier else { return };
    let far_left = frame.at(px).x > frame.rect.center().x;
    let x = if far_left { frame.rect.min.x + 24.0 } else { frame.rect.max.x - 24.0 - MAGNIFIER };
    let square = Rect::from_min_size(Pos2::new(x, frame.rect.min.y + 28.0), egui::Vec2::splat(MAGNIFIER));
    ui.painter().rect_filled(square.expand(4.0), 0, Color32::BLACK);
    ui.painter().rect_filled(square.expand(2.0), 0, Color32::WHITE);
    ui.painter().rect_filled(square, 0, Color32::BLACK);
    // The corner itself stands in the middle: it lies within its pixel by the fraction.
    let offset = |v: f64| (v.fract() as f32) / ACROSS_PX as f32;
    let uv = Rect::from_min_size(Pos2::new(offset(px[0]), offset(px[1])), egui::vec2(1.0, 1.0));
    let clipped = ui.painter().with_clip_rect(square);
    clipped.image(texture.id(), square, uv, Color32::WHITE);
    let (c, gap) = (square.center(), 16.0);
    let arms = [
        [Pos2::new(square.min.x, c.y), Pos2::new(c.x - gap, c.y)],
        [Pos2::new(c.x + gap, c.y), Pos2::new(square.max.x, c.y)],
        [Pos2::new(c.x, square.min.y), Pos2::new(c.x, c.y - gap)],
        [Pos2::new(c.x, c.y + gap), Pos2::new(c.x, square.max.y)],
    ];
    for arm in arms {
        overlay::double_line(ui, arm.to_vec(), 2.0);
    }
    let text = format!("corner {}, ten times as large", corner + 1);
    words::tag(ui, square.left_bottom() + egui::vec2(0.0, 6.0), Align2::LEFT_TOP, &text);
}

/// What the keys do, under the photo.
pub(super) fn help_ui(ui: &mut Ui, rect: Rect) {
    let greys = theme::of(ui);
    let at = rect.min + egui::vec2(16.0, 14.0);
    words::block(
        ui,
        at,
        rect.width() - 32.0,
        24.0,
        &[words::bold("Arrow keys move the corner by one pixel.", 16.0, greys.ink)],
    );
    let text = "Tab goes to the next corner. Scroll to zoom, drag the wood to move the photo.";
    words::block(ui, at + egui::vec2(0.0, 24.0), rect.width() - 32.0, 24.0, &[words::plain(text, 16.0, greys.ink)]);
}
