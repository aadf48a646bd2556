//! What lies on the photo: the card and its patch grid, regions with their handles. White lines over wider black ones.

use egui::{Align2, Color32, CursorIcon, Pos2, Rect, Role, Sense, Stroke, Ui, WidgetInfo};
use workbench::{PhotosAction, ReadingId, view::photos::Region};

use super::canvas::Frame;
use crate::{screen::Screen, widgets::words};

/// A handle as it is drawn, and as it is hit, points.
const HANDLE: f32 = 14.0;
const HIT: f32 = 40.0;

/// Draws a closed or open line.
pub(super) fn outline(ui: &Ui, frame: &Frame, points_px: &[[f64; 2]], closed: bool) {
    let mut points: Vec<Pos2> = points_px.iter().map(|px| frame.at(*px)).collect();
    if closed && let Some(first) = points.first().copied() {
        points.push(first);
    }
    double_line(ui, points, 2.0);
}

/// A place that does not count: its outline, and lines from its middle to its corners.
fn struck_out(ui: &Ui, frame: &Frame, points_px: &[[f64; 2]]) {
    outline(ui, frame, points_px, true);
    let middle = [0, 1].map(|axis| points_px.iter().map(|px| px[axis]).sum::<f64>() / points_px.len() as f64);
    for corner in points_px {
        double_line(ui, vec![frame.at(middle), frame.at(*corner)], 1.0);
    }
}

/// A white line over a wider black one.
pub(super) fn double_line(ui: &Ui, points: Vec<Pos2>, width: f32) {
    if points.len() > 1 {
        ui.painter().line(points.clone(), Stroke::new(width + 2.0, Color32::BLACK));
        ui.painter().line(points, Stroke::new(width, Color32::WHITE));
    }
}

/// The card's outline, and a small square on each patch.
pub(super) fn card_ui(ui: &Ui, frame: &Frame, screen: &Screen<'_>) {
    let Some((_, view)) = screen.bench.photo_view() else { return };
    if screen.bench.photos().corners.is_some() {
        return;
    }
    let Some(card) = view.card() else { return };
    outline(ui, frame, &card.corners_px, true);
    let patches = screen.bench.patches();
    let across = frame.at(card.corners_px[1]) - frame.at(card.corners_px[0]);
    let size = (across.length() / (patches.len() as f32).sqrt().max(1.0) * 0.2).clamp(3.0, 16.0);
    for patch in &patches {
        let square = Rect::from_center_size(frame.at(patch.centre_px), egui::Vec2::splat(size));
        ui.painter().rect_stroke(square, 0, Stroke::new(2.0, Color32::from_gray(0x20)), egui::StrokeKind::Outside);
        ui.painter().rect_stroke(square, 0, Stroke::new(1.0, Color32::WHITE), egui::StrokeKind::Inside);
    }
    let corners = card.corners_px.map(|px| frame.at(px));
    let (left, top) = (corners.map(|p| p.x), corners.map(|p| p.y));
    let at =
        Pos2::new(left.into_iter().fold(f32::INFINITY, f32::min), top.into_iter().fold(f32::INFINITY, f32::min) - 6.0);
    let text = format!("card, {} patches{}", patches.len(), if card.mirrored { ", mirrored" } else { "" });
    let galley = ui.painter().layout_no_wrap(text, crate::theme::regular(14.0), crate::theme::TAG_INK);
    let tag = Align2::LEFT_BOTTOM.anchor_size(at, egui::vec2(galley.size().x + 16.0, 24.0));
    ui.painter().rect_filled(tag, 0, crate::theme::TAG);
    ui.painter().galley(tag.left_center() + egui::vec2(8.0, -galley.size().y / 2.0), galley, crate::theme::TAG_INK);
}

/// The regions; the chosen one with handles. Their names keep off what is taken already.
pub(super) fn regions_ui(
    ui: &mut Ui,
    frame: &Frame,
    canvas: &egui::Response,
    taken: Vec<Rect>,
    screen: &mut Screen<'_>,
) {
    let mut clicked = canvas.clicked() && screen.memory.drawing.is_empty();
    let at = canvas.interact_pointer_pos().map(|at| frame.photo_px(at));
    let mut regions = screen.bench.regions();
    // The chosen one is named first; a name that would lie on another, or on the card, is left out.
    regions.sort_by_key(|region| !region.chosen);
    for region in &mut regions {
        if let Some((_, points)) = screen.memory.moving.as_ref().filter(|(id, _)| *id == region.reading) {
            region.points_px.clone_from(points);
        }
        if clicked && at.is_some_and(|at| contains(&region.points_px, at)) && !region.chosen {
            clicked = false;
            screen.act(PhotosAction::ChooseRegion(Some(region.reading)));
        }
        outline(ui, frame, &region.points_px, true);
        for place in &region.left_out_px {
            struck_out(ui, frame, place);
        }
    }
    names_ui(ui, frame, &regions, taken, screen);
    for region in regions.into_iter().filter(|region| region.chosen) {
        handles_ui(ui, frame, region.reading, region.points_px, &region.name, screen);
    }
}

/// The names of the regions, each below, beside or above its own, where it covers no other; the chosen one always.
fn names_ui(ui: &mut Ui, frame: &Frame, regions: &[Region], mut taken: Vec<Rect>, screen: &Screen<'_>) {
    let around =
        |region: &Region| Rect::from_points(&region.points_px.iter().map(|px| frame.at(*px)).collect::<Vec<_>>());
    taken.extend(regions.iter().map(around).chain(card_place(frame, screen)));
    for region in regions {
        let own = around(region);
        let width = words::line_width(ui, &[words::plain(&region.name, 14.0, Color32::WHITE)]) + 16.0;
        let size = egui::vec2(width, 24.0);
        let places = [
            own.left_bottom() + egui::vec2(0.0, 2.0),
            own.right_top() + egui::vec2(6.0, 0.0),
            own.left_top() - egui::vec2(0.0, 26.0),
        ];
        let places = places.map(|at| Rect::from_min_size(at, size));
        let free = |place: &&Rect| !taken.iter().any(|other| other.intersects(place.shrink(3.0)));
        let always = region.chosen.then_some(&places[0]);
        if let Some(place) = places.iter().find(free).or(always) {
            taken.push(words::tag(ui, place.min, Align2::LEFT_TOP, &region.name));
        }
    }
}

/// The place of the card on screen.
fn card_place(frame: &Frame, screen: &Screen<'_>) -> Option<Rect> {
    let corners = screen.bench.photo_view()?.1.card()?.corners_px;
    Some(Rect::from_points(&corners.map(|px| frame.at(px))))
}

fn handles_ui(
    ui: &mut Ui,
    frame: &Frame,
    reading: ReadingId,
    mut points: Vec<[f64; 2]>,
    name: &str,
    screen: &mut Screen<'_>,
) {
    let mut moved = false;
    let mut done = false;
    for (place, point) in points.clone().into_iter().enumerate() {
        let at = frame.at(point);
        let response = ui.allocate_rect(Rect::from_center_size(at, egui::Vec2::splat(HIT)), Sense::click_and_drag());
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("corner {} of {name}", place + 1)));
        let response = response.on_hover_cursor(CursorIcon::Crosshair);
        let square = Rect::from_center_size(at, egui::Vec2::splat(HANDLE));
        ui.painter().rect_filled(square, 0, Color32::BLACK);
        let inner = if response.has_focus() { 4.0 } else { 2.0 };
        ui.painter().rect_filled(square.shrink(inner), 0, Color32::WHITE);
        if let (true, Some(pointer)) = (response.dragged(), response.interact_pointer_pos()) {
            points[place] = frame.inside(frame.photo_px(pointer));
            moved = true;
        }
        done |= response.drag_stopped();
    }
    if done {
        let points_px = screen.memory.moving.take().map_or(points, |(_, points)| points);
        screen.act(PhotosAction::Move { reading, points_px });
    } else if moved {
        screen.memory.moving = Some((reading, points));
    }
}

/// Whether a point lies within a polygon: crossings of a ray are odd.
fn contains(points: &[[f64; 2]], at: [f64; 2]) -> bool {
    let mut inside = false;
    for (place, a) in points.iter().enumerate() {
        let b = points[(place + points.len() - 1) % points.len()];
        if (a[1] > at[1]) != (b[1] > at[1]) && at[0] < (b[0] - a[0]) * (at[1] - a[1]) / (b[1] - a[1]) + a[0] {
            inside = !inside;
        }
    }
    inside
}
