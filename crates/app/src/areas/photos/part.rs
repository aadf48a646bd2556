//! The chosen part: its wood, area, grit and construction, and what may not be done to it.

use egui::{Align2, Key, Pos2, Rect, Ui};
use workbench::{
    Action, PartsAction,
    piece::{Bar, Construction, Edit, Glue, Part, edit::PartEdit},
};

use crate::{
    screen::Screen,
    theme,
    widgets::{
        check_box, field, menu,
        words::{self, Column},
    },
};

/// How a part may be built. A veneer's thickness is what is usual; under 1 mm it is thin.
const CONSTRUCTIONS: [(&str, Construction); 6] = [
    ("solid", Construction::Solid),
    ("thin veneer, hide glue", Construction::Veneer { thickness_mm: 0.6, glue: Glue::Hide }),
    ("thin veneer, modern glue", Construction::Veneer { thickness_mm: 0.6, glue: Glue::Modern }),
    ("thin veneer, glue not known", Construction::Veneer { thickness_mm: 0.6, glue: Glue::Unknown }),
    ("sawn veneer, hide glue", Construction::Veneer { thickness_mm: 1.5, glue: Glue::Hide }),
    ("end grain", Construction::EndGrain),
];
const BARS: [(&str, Bar); 3] = [("no sanding", Bar::Sanding), ("no water", Bar::Water), ("no bleach", Bar::Bleach)];

/// Draws what can be changed of the chosen part.
pub(super) fn part_ui(ui: &mut Ui, column: &mut Column, part: &Part, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    column.words(ui, 28.0, &[words::bold(&workbench::words::capital(&part.name), 18.0, greys.ink)]);
    let renamed =
        typed_ui(ui, column, &format!("Rename {}", part.name), "name", "top, side, drawer …", &part.name, screen);
    if let Some(name) = renamed {
        screen.act(Action::Edit(Box::new(Edit::Part(PartEdit::Rename(part.id, name)))));
    }
    let wood = typed_ui(ui, column, &format!("Wood of {}", part.name), "wood", "oak, quarter-sawn", &part.wood, screen);
    if let Some(wood) = wood {
        screen.act(PartsAction::Wood(part.id, wood));
    }
    let units = screen.bench.units();
    let area = part.area_m2.map(|area| units.area(area)).unwrap_or_default();
    let hint = units.area(1.6);
    if let Some(area) = typed_ui(ui, column, &format!("Area of {}", part.name), "area", &hint, &area, screen) {
        screen.act(PartsAction::Area(part.id, area));
    }
    let grit = part.sanded_to.map(|grit| grit.to_string()).unwrap_or_default();
    let hint = "sanded to, as 180";
    if let Some(grit) = typed_ui(ui, column, &format!("Grit of {}", part.name), "grit", hint, &grit, screen) {
        screen.act(PartsAction::SandedTo(part.id, grit));
    }
    construction_ui(ui, column, part, screen);
    for (name, bar) in BARS {
        let barred = part.bars.contains(&bar);
        if check_box::check_box(ui, column.take(36.0), name, barred).clicked() {
            let mut changed = part.clone();
            if barred {
                changed.bars.retain(|other| *other != bar);
            } else {
                changed.bars.push(bar);
            }
            screen.act(change(changed));
        }
    }
}

fn change(part: Part) -> Action {
    Action::Edit(Box::new(Edit::Part(PartEdit::Change(part))))
}

/// A field with its word before it; what was typed, once it is entered or left.
fn typed_ui(
    ui: &mut Ui,
    column: &mut Column,
    name: &str,
    word: &str,
    hint: &str,
    now: &str,
    screen: &mut Screen<'_>,
) -> Option<String> {
    let greys = theme::of(ui);
    let row = column.take(48.0);
    words::line(ui, row.left_center(), Align2::LEFT_CENTER, &[words::plain(word, 16.0, greys.ink)]);
    let place = Rect::from_min_max(Pos2::new(row.min.x + 56.0, row.min.y), row.max);
    let mine = screen.memory.part_field.take_if(|(field, _)| field == name).map(|(_, text)| text);
    let typing = mine.is_some();
    let mut text = mine.unwrap_or_else(|| now.to_owned());
    let response = field::field_ui(ui, place, name, hint, theme::regular(15.0), &mut text);
    column.skip(4.0);
    if response.lost_focus() {
        let given_up = ui.input(|input| input.key_pressed(Key::Escape));
        return (typing && !given_up && text.trim() != now).then_some(text);
    }
    if response.has_focus() {
        screen.memory.part_field = Some((name.to_owned(), text));
    }
    None
}

fn construction_ui(ui: &mut Ui, column: &mut Column, part: &Part, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let row = column.take(40.0);
    words::line(ui, row.left_center(), Align2::LEFT_CENTER, &[words::plain("built", 16.0, greys.ink)]);
    let name = construction_words(part.construction);
    let at = row.right_center();
    let label = format!("Construction of {}", part.name);
    menu::menu_ui(ui, at, Align2::RIGHT_CENTER, &label, &[words::plain(&name, 15.0, greys.ink)], |ui| {
        for (name, construction) in CONSTRUCTIONS {
            if menu::row_ui(ui, name, "", construction == part.construction) {
                screen.act(change(Part { construction, ..part.clone() }));
            }
        }
    });
}

fn construction_words(construction: Construction) -> String {
    if let Some((name, _)) = CONSTRUCTIONS.iter().find(|(_, known)| *known == construction) {
        return (*name).to_owned();
    }
    match construction {
        Construction::Solid => "solid".to_owned(),
        Construction::EndGrain => "end grain".to_owned(),
        Construction::Veneer { thickness_mm, glue } => {
            let glue = match glue {
                Glue::Hide => "hide glue",
                Glue::Modern => "modern glue",
                Glue::Unknown => "glue not known",
            };
            format!("veneer {thickness_mm} mm, {glue}")
        }
    }
}
