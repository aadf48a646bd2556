//! The photo with pan and zoom, and drawing on it.

use egui::{Key, Pos2, Rect, Role, Sense, Ui, WidgetInfo, vec2};
use workbench::{PhotoId, PhotosAction, action::Tool};

use super::{corners, evenness, overlay, tiles};
use crate::{
    screen::{Camera, Screen},
    theme,
    widgets::{button, words},
};

/// The largest magnification, points per photo pixel.
const LARGEST: f32 = 16.0;

/// Where the photo lies on screen.
#[derive(Clone, Copy)]
pub(super) struct Frame {
    /// The place on screen.
    pub(super) rect: Rect,
    /// Width and height of the photo, pixels.
    pub(super) size: [f64; 2],
    /// Where it is looked at.
    pub(super) camera: Camera,
}

impl Frame {
    /// A photo pixel on screen.
    pub(super) fn at(&self, px: [f64; 2]) -> Pos2 {
        self.rect.center() + (vec2(px[0] as f32, px[1] as f32) - self.camera.centre) * self.camera.scale
    }

    /// A place on screen as a photo pixel.
    pub(super) fn photo_px(&self, at: Pos2) -> [f64; 2] {
        let px = (at - self.rect.center()) / self.camera.scale + self.camera.centre;
        [f64::from(px.x), f64::from(px.y)]
    }

    /// A rectangle of the photo on screen.
    pub(super) fn on_screen(&self, from: [f64; 2], to: [f64; 2]) -> Rect {
        Rect::from_min_max(self.at(from), self.at(to))
    }

    /// A photo pixel, kept within the photo.
    pub(super) fn inside(&self, px: [f64; 2]) -> [f64; 2] {
        [px[0].clamp(0.0, self.size[0]), px[1].clamp(0.0, self.size[1])]
    }
}

/// Draws the photo on show and all that lies on it.
pub(super) fn canvas_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    ui.painter().rect_filled(rect, 0, greys.line);
    let Some(id) = screen.bench.shown_photo() else { return };
    let response = ui.allocate_rect(rect, Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, "Photo"));
    button::focus_ring(ui, rect.shrink(2.0), &response, 0.0);
    let Some((view, size)) = screen.bench.photo_view().and_then(|(_, view)| Some((view, view.size_px?))) else {
        let text = screen.bench.photo_view().and_then(|(_, view)| view.problem.clone());
        let text = text.unwrap_or_else(|| "Opening the photo …".into());
        let at = Pos2::new(rect.min.x + 24.0, rect.min.y + 24.0);
        words::block(ui, at, rect.width() - 48.0, 24.0, &[words::plain(&text, 16.0, greys.ink)]);
        return;
    };
    let size = size.map(f64::from);
    let mut frame = Frame { rect, size, camera: camera(screen, id, rect, size) };
    move_camera(ui, &mut frame, &response, screen);
    // What shows all of the photo goes on to, however large the window becomes.
    if frame.camera == whole(rect, size) {
        screen.memory.cameras.remove(&id);
    } else {
        screen.memory.cameras.insert(id, frame.camera);
    }
    tiles::photo_ui(ui, &frame, id, view, screen.memory);
    let mut over = super::super::child(ui, rect, "over the photo");
    overlay::card_ui(&over, &frame, screen);
    let numbers = evenness::evenness_ui(&mut over, &frame, screen);
    overlay::regions_ui(&mut over, &frame, &response, numbers, screen);
    draw_ui(&mut over, &frame, id, &response, screen);
    corners::corners_ui(&mut over, &frame, screen);
}

/// Where the photo is looked at; all of it till that is changed.
fn camera(screen: &Screen<'_>, id: PhotoId, rect: Rect, size: [f64; 2]) -> Camera {
    screen.memory.cameras.get(&id).copied().unwrap_or_else(|| whole(rect, size))
}

/// The camera that fills the place with the photo, as much as leaves little of it out.
fn whole(rect: Rect, size: [f64; 2]) -> Camera {
    let (w, h) = (size[0] as f32, size[1] as f32);
    Camera { centre: vec2(w, h) / 2.0, scale: (rect.width() / w).min(rect.height() / h) }
}

fn move_camera(ui: &Ui, frame: &mut Frame, response: &egui::Response, screen: &Screen<'_>) {
    let smallest = whole(frame.rect, frame.size).scale * 0.5;
    let hand = screen.bench.photos().tool == Tool::Hand && screen.memory.moving.is_none();
    if (hand && response.dragged()) || response.dragged_by(egui::PointerButton::Middle) {
        frame.camera.centre -= response.drag_delta() / frame.camera.scale;
    }
    if response.double_clicked() && hand {
        frame.camera = whole(frame.rect, frame.size);
    }
    let over = ui.rect_contains_pointer(frame.rect);
    let (scroll, pinch) = ui.input(|input| (input.smooth_scroll_delta.y, input.zoom_delta()));
    let mut factor = if over { (scroll / 240.0).exp2() * pinch } else { 1.0 };
    let typing = ui.ctx().text_edit_focused();
    let pressed = |key| !typing && ui.input(|input| input.key_pressed(key));
    if pressed(Key::Plus) || pressed(Key::Equals) {
        factor *= 1.5;
    }
    if pressed(Key::Minus) {
        factor /= 1.5;
    }
    if pressed(Key::Num0) {
        frame.camera = whole(frame.rect, frame.size);
    }
    if (factor - 1.0).abs() > 1e-4 {
        // What is under the pointer stays under it.
        let about = ui.input(|input| input.pointer.hover_pos()).filter(|_| over).unwrap_or(frame.rect.center());
        let before = frame.photo_px(about);
        frame.camera.scale = (frame.camera.scale * factor).clamp(smallest, LARGEST.max(smallest));
        let after = frame.photo_px(about);
        frame.camera.centre += vec2((before[0] - after[0]) as f32, (before[1] - after[1]) as f32);
    }
    let (w, h) = (frame.size[0] as f32, frame.size[1] as f32);
    frame.camera.centre = frame.camera.centre.clamp(vec2(0.0, 0.0), vec2(w, h));
}

/// Drawing a rectangle or a polygon.
fn draw_ui(ui: &mut Ui, frame: &Frame, photo: PhotoId, response: &egui::Response, screen: &mut Screen<'_>) {
    let at = response.interact_pointer_pos().map(|at| frame.inside(frame.photo_px(at)));
    match screen.bench.photos().tool {
        Tool::Hand => return,
        Tool::Rectangle => {
            if let (true, Some(at)) = (response.drag_started(), at) {
                screen.memory.drawing = vec![at, at];
            } else if let (true, Some(at), [_, end]) = (response.dragged(), at, &mut screen.memory.drawing[..]) {
                *end = at;
            }
            let drawn = rectangle(&screen.memory.drawing);
            if response.drag_stopped() && !drawn.is_empty() {
                screen.memory.drawing.clear();
                screen.act(PhotosAction::Draw { photo, points_px: drawn });
            } else {
                overlay::outline(ui, frame, &drawn, true);
            }
        }
        Tool::Polygon | Tool::LeaveOut => polygon_ui(ui, frame, photo, response, at, screen),
    }
    let hover = ui.input(|input| input.pointer.hover_pos()).filter(|at| frame.rect.contains(*at));
    if hover.is_some() {
        ui.ctx().set_cursor_icon(egui::CursorIcon::Crosshair);
    }
}

fn polygon_ui(
    ui: &mut Ui,
    frame: &Frame,
    photo: PhotoId,
    response: &egui::Response,
    at: Option<[f64; 2]>,
    screen: &mut Screen<'_>,
) {
    let closes = response.double_clicked() || ui.input(|input| input.key_pressed(Key::Enter));
    if let (true, Some(at)) = (response.clicked() && !response.double_clicked(), at) {
        screen.memory.drawing.push(at);
    }
    let drawn = screen.memory.drawing.clone();
    if closes && drawn.len() >= 3 {
        screen.memory.drawing.clear();
        let photos = screen.bench.photos();
        match photos.region.filter(|_| photos.tool == Tool::LeaveOut) {
            Some(reading) => screen.act(PhotosAction::LeaveOut { reading, points_px: drawn }),
            None => screen.act(PhotosAction::Draw { photo, points_px: drawn }),
        }
    } else {
        overlay::outline(ui, frame, &drawn, drawn.len() > 2);
    }
}

/// The four corners of a rectangle drawn from corner to corner; none for one too small to read.
fn rectangle(drawing: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let [a, b] = drawing else { return Vec::new() };
    let (x0, x1) = (a[0].min(b[0]), a[0].max(b[0]));
    let (y0, y1) = (a[1].min(b[1]), a[1].max(b[1]));
    if x1 - x0 < 8.0 || y1 - y0 < 8.0 {
        return Vec::new();
    }
    vec![[x0, y0], [x1, y0], [x1, y1], [x0, y1]]
}
