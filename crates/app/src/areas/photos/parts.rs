//! The parts of the piece: names, the chosen one, how they meet, the topcoat. In the panel of Photos.

use egui::{Align2, Key, Pos2, Rect, Ui};
use workbench::{
    Action, FrameAction, PartId,
    piece::{
        Edit, Joint, Meeting, Part, Piece,
        edit::{JointEdit, PartEdit, TargetEdit},
    },
};

use super::part;
use crate::{
    screen::Screen,
    theme,
    widgets::{
        button::{self, Look},
        field, menu,
        words::{self, Column},
    },
};

const MEETINGS: [(&str, Meeting); 3] = [
    ("in one plane", Meeting::SamePlane),
    ("doors and fronts", Meeting::Fronts),
    ("other planes", Meeting::OtherPlanes),
];

/// Draws the panel.
pub(super) fn panel_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let Some(piece) = screen.bench.piece().cloned() else { return };
    if screen.bench.shown_photo().is_none() {
        column.words(ui, 32.0, &[words::bold("Parts", 24.0, greys.ink)]);
    } else if crate::areas::closing_head_ui(ui, column, "Parts") {
        screen.memory.parts = false;
    }
    column.words(ui, 20.0, &[words::plain("What is coloured as one. Enter adds.", 14.0, greys.ink2)]);
    column.skip(8.0);
    add_ui(ui, column, screen);
    column.skip(12.0);
    for part in &piece.parts {
        part_ui(ui, column, part, screen);
    }
    if let Some(part) = screen.bench.part().and_then(|id| piece.part(id)) {
        column.skip(12.0);
        part::part_ui(ui, column, part, screen);
    }
    if piece.parts.len() > 1 {
        column.skip(12.0);
        joints_ui(ui, column, &piece, screen);
    }
    column.skip(12.0);
    topcoat_ui(ui, column, &piece, screen);
    if screen.bench.shown_photo().is_some() {
        column.skip(12.0);
        let place = column.take(48.0);
        if button::button(ui, place, Look::Main, "Back to the photo", None).clicked() {
            screen.memory.parts = false;
        }
    }
}

fn add_ui(ui: &mut Ui, column: &mut Column, screen: &mut Screen<'_>) {
    let row = column.take(48.0);
    let place = Rect::from_min_max(row.min, Pos2::new(row.max.x - 88.0, row.max.y));
    let mut name = std::mem::take(&mut screen.memory.part_name);
    let hint = if place.width() < 160.0 { "top, side …" } else { "top, side, drawer …" };
    let response = field::field_ui(ui, place, "Name of a part", hint, theme::regular(16.0), &mut name);
    if std::mem::take(&mut screen.memory.part_name_next) {
        response.request_focus();
    }
    let add = Rect::from_min_max(Pos2::new(row.max.x - 80.0, row.min.y), row.max);
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    let pressed = button::button_if(ui, add, Look::Well, "Add", None, !name.trim().is_empty()).clicked();
    if (entered || pressed) && !name.trim().is_empty() {
        screen.act(Action::Edit(Box::new(Edit::Part(PartEdit::Add(new_part(name.trim()))))));
        name.clear();
        response.request_focus();
    }
    screen.memory.part_name = name;
}

/// A part of which only the name is known.
fn new_part(name: &str) -> Part {
    Part::new(PartId(0), name, "")
}

fn part_ui(ui: &mut Ui, column: &mut Column, part: &Part, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let row = column.take(40.0);
    let chosen = screen.bench.chosen().contains(&part.id);
    let response = button::hit(ui, row, &part.name, true, Some(chosen));
    let ink = if chosen { greys.on_ink } else { greys.ink };
    if chosen {
        ui.painter().rect_filled(row.expand2(egui::vec2(8.0, 0.0)), 0, greys.on);
    }
    let units = screen.bench.units();
    let note = [part.area_m2.map(|area| units.area(area)).unwrap_or_default(), part.wood.clone()];
    let note = note.iter().filter(|text| !text.is_empty()).cloned().collect::<Vec<_>>().join(", ");
    let runs = [words::bold(&part.name, 16.0, ink), words::plain("  ", 14.0, ink), words::plain(&note, 14.0, ink)];
    words::short(ui, row.left_center(), Align2::LEFT_CENTER, row.width() - 40.0, &runs);
    button::focus_ring(ui, row, &response, 0.0);
    if response.clicked() {
        screen.act(FrameAction::Choose { part: part.id, add: false });
    }
    let cross = [words::plain("×", 18.0, ink)];
    let name = format!("Remove {}", part.name);
    if button::link(ui, row.right_center() - egui::vec2(4.0, 0.0), Align2::RIGHT_CENTER, &name, &cross, true).clicked()
    {
        screen.act(Action::Edit(Box::new(Edit::Part(PartEdit::Remove(part.id)))));
    }
}

/// How the chosen part meets the others.
fn joints_ui(ui: &mut Ui, column: &mut Column, piece: &Piece, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let Some(of) = screen.bench.part().and_then(|id| piece.part(id)) else { return };
    column.words(ui, 28.0, &[words::bold(&format!("How {} and the others meet", of.name), 18.0, greys.ink)]);
    for other in piece.parts.iter().filter(|other| other.id != of.id) {
        let row = column.take(40.0);
        words::short(ui, row.left_center(), Align2::LEFT_CENTER, 110.0, &[words::plain(&other.name, 16.0, greys.ink)]);
        let now = piece.meeting(of.id, other.id);
        let name = MEETINGS.iter().find(|(_, meeting)| Some(*meeting) == now).map_or("not in sight", |(name, _)| name);
        let ink = if now.is_some() { greys.ink } else { greys.ink2 };
        let label = format!("How {} and {} meet", of.name, other.name);
        menu::menu_ui(ui, row.right_center(), Align2::RIGHT_CENTER, &label, &[words::plain(name, 15.0, ink)], |ui| {
            for (name, meeting) in MEETINGS {
                if menu::row_ui(ui, name, "", Some(meeting) == now) {
                    let joint = Joint { a: of.id, b: other.id, meeting };
                    screen.act(Action::Edit(Box::new(Edit::Joint(JointEdit::Set(joint)))));
                }
            }
            if menu::row_ui(ui, "not in sight", "", now.is_none()) && now.is_some() {
                screen.act(Action::Edit(Box::new(Edit::Joint(JointEdit::Remove(of.id, other.id)))));
            }
        });
    }
}

fn topcoat_ui(ui: &mut Ui, column: &mut Column, piece: &Piece, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let name =
        piece.topcoat.as_ref().map_or_else(|| "not named yet".to_owned(), |(name, sheen)| format!("{name} {sheen}"));
    let row = column.take(40.0);
    words::line(ui, row.left_center(), Align2::LEFT_CENTER, &[words::bold("Topcoat", 18.0, greys.ink)]);
    menu::menu_ui(
        ui,
        row.right_center(),
        Align2::RIGHT_CENTER,
        "Topcoat",
        &[words::plain(&name, 15.0, greys.ink)],
        |ui| {
            for (topcoat, sheen) in [
                ("oil", "satin"),
                ("varnish", "satin"),
                ("water-borne lacquer", "satin"),
                ("shellac", "gloss"),
                ("lacquer", "matt"),
            ] {
                let chosen = piece.topcoat.as_ref().is_some_and(|(t, s)| t == topcoat && s == sheen);
                if menu::row_ui(ui, &format!("{topcoat} {sheen}"), "", chosen) {
                    let edit = TargetEdit::Topcoat(Some((topcoat.into(), sheen.into())));
                    screen.act(Action::Edit(Box::new(Edit::Target(edit))));
                }
            }
        },
    );
}
