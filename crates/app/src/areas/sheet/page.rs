//! The blocks of the page, in ink on paper whatever the theme.

use egui::{Align2, Color32, Pos2, Rect, Stroke, StrokeKind, Ui};
use workbench::view::sheet::{Page, Printed};

use crate::widgets::{swatch, words};

const INK: Color32 = Color32::from_gray(0x0c);
const INK2: Color32 = Color32::from_gray(0x3c);
const LINE: Color32 = Color32::from_gray(0xbd);

/// Draws the page; says where it ends.
pub(super) fn page_ui(ui: &mut Ui, at: Pos2, width: f32, page: &Page) -> f32 {
    let title = [words::bold(&page.title, 24.0, INK)];
    let mut y = words::block(ui, at, width, 32.0, &title).max.y + 8.0;
    for block in &page.blocks {
        y = block_ui(ui, Pos2::new(at.x, y), width, block);
    }
    y
}

fn block_ui(ui: &mut Ui, at: Pos2, width: f32, block: &Printed) -> f32 {
    match block {
        Printed::Heading(level, text) => {
            let size = if *level == 1 { 18.0 } else { 16.0 };
            words::block(ui, at + egui::vec2(0.0, 12.0), width, 26.0, &[words::bold(text, size, INK)]).max.y + 4.0
        }
        Printed::Text(text) => words::block(ui, at, width, 21.0, &[words::plain(text, 14.0, INK)]).max.y + 6.0,
        Printed::Swatches(swatches) => swatches_ui(ui, at, width, swatches),
        Printed::Table(head, rows) => table_ui(ui, at, width, head, rows),
        Printed::Steps(lines) => lines
            .iter()
            .enumerate()
            .fold(at.y, |y, (n, (what, how))| step_ui(ui, Pos2::new(at.x, y), width, n + 1, what, how)),
        Printed::Caution(lead, text) => caution_ui(ui, at, width, lead, text),
    }
}

fn swatches_ui(ui: &mut Ui, at: Pos2, width: f32, swatches: &[(String, workbench::display::Shown)]) -> f32 {
    let each = width / swatches.len().max(1) as f32;
    let mut y = at.y + 52.0;
    for (place, (name, colour)) in swatches.iter().enumerate() {
        let left = at.x + each * place as f32;
        let rect = Rect::from_min_max(Pos2::new(left.round(), at.y), Pos2::new((left + each).round(), at.y + 48.0));
        swatch::flat_ui(ui, rect, *colour);
        let name = [words::plain(name, 14.0, INK)];
        y = words::block(ui, Pos2::new(left, at.y + 52.0), each - 4.0, 17.0, &name).max.y.max(y);
    }
    y + 9.0
}

fn step_ui(ui: &mut Ui, at: Pos2, width: f32, number: usize, what: &str, how: &str) -> f32 {
    let square = Rect::from_min_size(at + egui::vec2(0.0, 4.0), egui::vec2(18.0, 18.0));
    ui.painter().rect_stroke(square, 0, Stroke::new(2.0, INK), StrokeKind::Inside);
    words::line(ui, at + egui::vec2(32.0, 13.0), Align2::LEFT_CENTER, &[words::bold(&number.to_string(), 14.0, INK)]);
    let left = width * 0.4;
    let a = words::block(ui, at + egui::vec2(56.0, 3.0), left - 64.0, 20.0, &[words::bold(what, 14.0, INK)]);
    let b = words::block(ui, at + egui::vec2(left, 3.0), width - left, 20.0, &[words::plain(how, 14.0, INK)]);
    a.max.y.max(b.max.y).max(square.max.y) + 5.0
}

fn table_ui(ui: &mut Ui, at: Pos2, width: f32, head: &[String], rows: &[Vec<String>]) -> f32 {
    let columns = head.len().max(1);
    let share = |column: usize| {
        if columns == 1 {
            1.0
        } else if column == 0 {
            0.3
        } else {
            0.7 / (columns - 1) as f32
        }
    };
    let x = |column: usize| at.x + width * (0..column).map(share).sum::<f32>();
    let mut y = at.y;
    let mut line = |ui: &mut Ui, cells: &[String], bold: bool| {
        let mut end: f32 = y + 20.0;
        for (column, text) in cells.iter().enumerate() {
            let run = if bold || column == 0 { words::bold(text, 14.0, INK) } else { words::plain(text, 14.0, INK2) };
            let rect = words::block(ui, Pos2::new(x(column), y + 3.0), width * share(column) - 8.0, 19.0, &[run]);
            end = end.max(rect.max.y);
        }
        y = end + 4.0;
        ui.painter().hline(at.x..=at.x + width, y - 1.0, Stroke::new(1.0, LINE));
    };
    if head.iter().any(|text| !text.is_empty()) {
        line(ui, head, true);
    }
    for row in rows {
        line(ui, row, false);
    }
    y + 8.0
}

fn caution_ui(ui: &mut Ui, at: Pos2, width: f32, lead: &str, text: &str) -> f32 {
    let runs = [words::bold(lead, 14.0, INK), words::plain(" ", 14.0, INK), words::plain(text, 14.0, INK)];
    let words_at = at + egui::vec2(14.0, 16.0);
    let end = words::block(ui, words_at, width - 28.0, 21.0, &runs).max.y;
    let frame = Rect::from_min_max(at + egui::vec2(0.0, 6.0), Pos2::new(at.x + width, end + 10.0));
    ui.painter().rect_stroke(frame, 0, Stroke::new(2.0, INK), StrokeKind::Inside);
    end + 16.0
}
