//! ΔL*, ΔC* and ΔH* as bars on one zero and one scale; the end block is the interval.

use egui::{Align2, Pos2, Rect, Stroke, Ui};
use workbench::view::side::Bar;

use crate::{theme, widgets::words};

/// Draws the three bars with their numbers.
pub(super) fn bars_ui(ui: &mut Ui, rect: Rect, bars: &[Bar; 3]) {
    let numbers = 150.0;
    let drawing = Rect::from_min_max(Pos2::new(rect.min.x + numbers, rect.min.y), rect.max);
    let reach = bars.iter().flat_map(|bar| bar.value).fold(1.0, |most: f64, v| most.max(v.abs()));
    let negative = bars.iter().map(|bar| bar.value[1].min(0.0)).fold(0.0, f64::min);
    let positive = bars.iter().map(|bar| bar.value[2].max(0.0)).fold(0.0, f64::max);
    // Zero stands where the longer side has room; words need 76 points at either end.
    let span = (drawing.width() - 152.0).max(60.0);
    let sides = (-negative).max(reach * 0.05) + positive.max(reach * 0.05);
    let per = span / sides as f32;
    let zero = drawing.min.x + 76.0 + (-negative).max(reach * 0.05) as f32 * per;
    for (place, bar) in bars.iter().enumerate() {
        let y = rect.min.y + 20.0 + 40.0 * place as f32;
        bar_ui(ui, Pos2::new(rect.min.x, y), zero, per, bar);
    }
}

fn bar_ui(ui: &mut Ui, at: Pos2, zero: f32, per: f32, bar: &Bar) {
    let greys = theme::of(ui);
    let name = words::line(ui, at, Align2::LEFT_CENTER, &[words::bold(bar.name, 16.0, greys.ink)]);
    let runs = [
        words::bold(&bar.number, 18.0, greys.ink),
        words::plain(" ", 14.0, greys.ink),
        words::plain(&bar.plus_minus, 14.0, greys.ink),
    ];
    words::line(ui, Pos2::new(name.min.x + 40.0, at.y), Align2::LEFT_CENTER, &runs);
    let x = |value: f64| zero + value as f32 * per;
    let [mean, low, high] = bar.value;
    let span = |a: f32, b: f32, half: f32| {
        Rect::from_min_max(Pos2::new(a.min(b), at.y - half), Pos2::new(a.max(b), at.y + half))
    };
    ui.painter().rect_filled(span(zero, x(mean), 6.0), 0, greys.ink);
    let mut end = span(x(low), x(high), 12.0);
    if end.width() < 4.0 {
        end = end.expand2(egui::vec2(2.0, 0.0));
    }
    ui.painter().rect_filled(end, 0, greys.ink);
    ui.painter().vline(zero, at.y - 18.0..=at.y + 18.0, Stroke::new(2.0, greys.ink));
    // The word that applies stands in ink at the bar's end; where the interval spans zero neither does.
    let less = if low < 0.0 { greys.ink } else { greys.ink2 };
    let more = if high > 0.0 { greys.ink } else { greys.ink2 };
    words::line(
        ui,
        Pos2::new(end.min.x.min(zero) - 8.0, at.y),
        Align2::RIGHT_CENTER,
        &[words::plain(bar.ends[0], 14.0, less)],
    );
    words::line(
        ui,
        Pos2::new(end.max.x.max(zero) + 8.0, at.y),
        Align2::LEFT_CENTER,
        &[words::plain(bar.ends[1], 14.0, more)],
    );
}
