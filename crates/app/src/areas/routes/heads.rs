//! The heads of the strips: every part's name over its own share of the strip, in as many rows as it takes.

use egui::{Align2, Pos2, Rangef, Rect, Stroke, Ui};
use workbench::{FrameAction, view::routes::RoutesView};

use crate::{
    screen::Screen,
    theme,
    widgets::{button, words},
};

/// Height of one row, room above and below, and between two names, points.
const ROW: f32 = 18.0;
const PAD: f32 = 7.0;
const GAP: f32 = 6.0;
/// Rows at most: with more parts than that takes, names are cut and told under the pointer.
const MOST: usize = 3;

/// Draws the names across the strip from its top left corner; says how high they stand.
pub(super) fn parts_ui(ui: &mut Ui, at: Pos2, strip: f32, view: &RoutesView, screen: &mut Screen<'_>) -> f32 {
    let greys = theme::of(ui);
    let mut left = at.x;
    let columns: Vec<Rangef> = view
        .parts
        .iter()
        .map(|(.., share, _)| {
            let column = Rangef::new(left, left + strip * share);
            left = column.max;
            column
        })
        .collect();
    let width = |((_, name, _, chosen), column): (&(_, String, f32, bool), &Rangef)| {
        (column.center(), words::line_width(ui, &[run(greys, name, *chosen)]))
    };
    let wanted: Vec<(f32, f32)> = view.parts.iter().zip(&columns).map(width).collect();
    let placed = placed(&wanted, Rangef::new(at.x + 2.0, at.x + strip));
    let rows = placed.iter().map(|(_, row)| row + 1).max().unwrap_or(1);
    let height = ROW * rows as f32 + 2.0 * PAD;
    let y = |row: usize| at.y + height - PAD - ROW * (row as f32 + 0.5);
    for (((part, name, _, chosen), column), (left, row)) in view.parts.iter().zip(&columns).zip(&placed) {
        let place = Rect::from_x_y_ranges(*column, at.y..=at.y + height);
        let response = button::hit(ui, place, &format!("Part {name}"), true, Some(*chosen));
        words::short(
            ui,
            Pos2::new(*left, y(*row)),
            Align2::LEFT_CENTER,
            at.x + strip - left,
            &[run(greys, name, *chosen)],
        );
        if *row > 0
            && !placed.iter().zip(&wanted).any(|((left, other), (_, width))| {
                other < row && Rangef::new(left - 2.0, left + width + 2.0).contains(column.center())
            })
        {
            let down = y(*row) + ROW / 2.0..=at.y + height - 2.0;
            ui.painter().vline(column.center().round() + 0.5, down, Stroke::new(1.0, greys.ink2));
        }
        button::focus_ring(ui, place, &response, 0.0);
        if response.on_hover_text(name).clicked() {
            screen.act(FrameAction::Choose { part: *part, add: false });
        }
    }
    height
}

fn run(greys: theme::Greys, name: &str, chosen: bool) -> words::Run<'_> {
    if chosen { words::bold(name, 14.0, greys.ink) } else { words::plain(name, 14.0, greys.ink) }
}

/// Where names stand that want a centre and a width: their left edges and rows, the lowest row first. None lies on another,
/// and each begins within the strip.
fn placed(wanted: &[(f32, f32)], strip: Rangef) -> Vec<(f32, usize)> {
    let mut ends = [f32::NEG_INFINITY; MOST];
    let place = |&(centre, width): &(f32, f32)| {
        let left = (centre - width / 2.0).min(strip.max - width).max(strip.min);
        let least = || (0..MOST).min_by(|a, b| ends[*a].total_cmp(&ends[*b])).unwrap_or(0);
        let row = ends.iter().position(|end| *end + GAP <= left).unwrap_or_else(least);
        let left = left.max(ends[row] + GAP);
        ends[row] = left + width;
        (left, row)
    };
    wanted.iter().map(place).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Six parts as they are called on a bureau, over the narrowest strip: each name is whole and none lies on another.
    #[test]
    fn names_of_many_parts_stand_in_rows_and_none_on_another() {
        let widths = [56.0, 34.0, 26.0, 25.0, 34.0, 56.0];
        let centres = [27.0, 80.0, 117.0, 137.0, 157.0, 178.0];
        let wanted: Vec<(f32, f32)> = centres.into_iter().zip(widths).collect();
        let placed = placed(&wanted, Rangef::new(0.0, 190.0));
        for (n, ((left, row), (_, width))) in placed.iter().zip(&wanted).enumerate() {
            assert!(*left >= 0.0 && left + width <= 190.0, "{n}: {left} {width}");
            for ((other, at), (_, wide)) in placed[..n].iter().zip(&wanted) {
                assert!(at != row || other + wide + GAP <= *left, "{n}: {placed:?}");
            }
        }
        assert_eq!(super::placed(&[(50.0, 40.0)], Rangef::new(0.0, 100.0)), [(30.0, 0)]);
    }
}
