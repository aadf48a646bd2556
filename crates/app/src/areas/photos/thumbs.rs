//! Thumbnails, named by their verdict.

use egui::{Pos2, Rect, ScrollArea, Ui, scroll_area::ScrollBarVisibility};
use workbench::PhotosAction;

use crate::{
    screen::Screen,
    theme,
    widgets::{button, swatch, words},
};

const SIZE: egui::Vec2 = egui::vec2(112.0, 64.0);

/// Draws the thumbnails.
pub(super) fn thumbs_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let mut child = super::super::child(ui, rect, "thumbs");
    ScrollArea::horizontal().scroll_bar_visibility(ScrollBarVisibility::AlwaysHidden).auto_shrink(false).show(
        &mut child,
        |ui| {
            let origin = ui.cursor().min;
            let mut x = origin.x + 16.0;
            for thumb in screen.bench.thumbs() {
                let place = Rect::from_min_size(Pos2::new(x, origin.y + 8.0), SIZE);
                let name = Rect::from_min_size(place.left_bottom(), egui::vec2(SIZE.x, 24.0));
                let response =
                    button::hit(ui, place.union(name), &format!("Photo {}", thumb.name), true, Some(thumb.shown));
                thumb_ui(ui, place, name, &thumb, screen);
                button::focus_ring(ui, place.union(name), &response, 0.0);
                if response.clicked() {
                    screen.act(PhotosAction::Show(thumb.photo));
                }
                x += SIZE.x + 12.0;
            }
            ui.expand_to_include_x(x + 4.0);
        },
    );
}

fn thumb_ui(ui: &Ui, place: Rect, name: Rect, thumb: &workbench::view::photos::Thumb, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    match &thumb.picture {
        Some(picture) => swatch::crop_ui(ui, place, picture, screen.memory),
        None => {
            ui.painter().rect_filled(place, 0, greys.line);
        }
    }
    let at = name.left_center() + egui::vec2(if thumb.shown { 8.0 } else { 0.0 }, 0.0);
    if thumb.shown {
        ui.painter().rect_filled(name, 0, greys.on);
        words::paint_left(ui, at, &[words::bold(&thumb.name, 14.0, greys.on_ink)]);
    } else {
        words::paint_left(ui, at, &[words::plain(&thumb.name, 14.0, greys.ink)]);
    }
}
