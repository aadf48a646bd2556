//! The lower half of Samples: which drawings stand there, one or two beside each other, and their heads.

use egui::{Align2, Pos2, Rect, Ui};
use workbench::view::plot::Axes;

use super::{curve, plot};
use crate::{
    screen::{Drawing, Screen},
    theme,
    widgets::{menu, words},
};

/// From this width on the curve stands beside the plot, points.
const BOTH: f32 = 840.0;
const GAP: f32 = 32.0;
/// Height of a head, and of each further line that its note takes where it does not fit beside the name, points.
const HEAD: f32 = 32.0;
const LINE: f32 = 20.0;
/// Width of the triangle of a list with the room beside it, and least room between a name and its note, points.
const TRIANGLE: f32 = 20.0;
const BETWEEN: f32 = 16.0;

const LIGHTNESS: &str = "Lighter is up, stronger is right";
const HUE: &str = "Yellower is up, redder is right";
const STRENGTH: &str = "By strength";

/// Draws them.
pub(super) fn drawings_ui(ui: &mut Ui, rect: Rect, screen: &mut Screen<'_>) {
    let curve = screen.bench.curve_view();
    let both = rect.width() >= BOTH && curve.is_some();
    if !both && screen.memory.drawing_shown == Drawing::Strength {
        let name = curve.as_ref().map_or(STRENGTH, |view| view.head.as_str());
        let head = Head { name, note: curve.as_ref().map_or("", |view| view.note.as_str()), opens: true };
        let (place, body) = rect.split_top_bottom_at_y(rect.min.y + head.height(ui, rect.width()));
        list_ui(ui, place, &head, true, screen);
        return match &curve {
            Some(view) => curve::curve_ui(ui, body, view),
            None => {
                let text = "No colour step of this trial was read before and after, so there is no curve of it yet.";
                let runs = [words::plain(text, 16.0, theme::of(ui).ink2)];
                words::block(ui, body.min + egui::vec2(0.0, 4.0), body.width(), 22.0, &runs);
            }
        };
    }
    let width = if both { ((rect.width() - GAP) * 0.55).round() } else { rect.width() };
    let left = Rect::from_min_size(rect.min, egui::vec2(width, rect.height()));
    let right = Rect::from_min_max(Pos2::new(left.max.x + GAP, rect.min.y), rect.max);
    let axes = if screen.memory.drawing_shown == Drawing::Hue { Axes::Hue } else { Axes::Lightness };
    let plot = screen.bench.plot(axes);
    let (name, what) = match axes {
        Axes::Lightness => (LIGHTNESS, "L* by C*"),
        Axes::Hue => (HUE, "b* by a*"),
    };
    let dashed = if plot.tolerance.is_empty() { "" } else { "; dashed: within tolerance" };
    let note = format!("{what}, {}{dashed}", plot.judged);
    let head = Head { name, note: &note, opens: true };
    let beside = curve.as_ref().filter(|_| both);
    let beside = beside.map(|view| (Head { name: &view.head, note: &view.note, opens: false }, view));
    // Both drawings begin at one height.
    let high = head.height(ui, left.width());
    let high = beside.as_ref().map_or(high, |(head, _)| high.max(head.height(ui, right.width())));
    let (place, body) = left.split_top_bottom_at_y(left.min.y + high);
    list_ui(ui, place, &head, !both, screen);
    plot::plot_ui(ui, body, &plot);
    if let Some((head, view)) = beside {
        let (place, body) = right.split_top_bottom_at_y(right.min.y + high);
        words::line(ui, head.at(place), Align2::LEFT_CENTER, &[words::bold(head.name, 16.0, theme::of(ui).ink)]);
        head.note_ui(ui, place);
        curve::curve_ui(ui, body, view);
    }
}

/// The head of a drawing: its name, and a note at the right of it, or below it where both do not fit on one line.
struct Head<'a> {
    name: &'a str,
    note: &'a str,
    /// A list opens from the name.
    opens: bool,
}

impl Head<'_> {
    fn at(&self, rect: Rect) -> Pos2 {
        rect.min + egui::vec2(0.0, 10.0)
    }

    fn runs(&self, ui: &Ui) -> [words::Run<'_>; 1] {
        [words::plain(self.note, 14.0, theme::of(ui).ink2)]
    }

    fn fits(&self, ui: &Ui, width: f32) -> bool {
        let name = words::line_width(ui, &[words::bold(self.name, 16.0, theme::of(ui).ink)]);
        let name = if self.opens { name + TRIANGLE } else { name };
        name + BETWEEN + words::line_width(ui, &self.runs(ui)) <= width
    }

    fn height(&self, ui: &Ui, width: f32) -> f32 {
        if self.fits(ui, width) { HEAD } else { HEAD + 4.0 + words::block_height(ui, width, LINE, &self.runs(ui)) }
    }

    fn note_ui(&self, ui: &mut Ui, rect: Rect) {
        let runs = self.runs(ui);
        if self.fits(ui, rect.width()) {
            words::line(ui, Pos2::new(rect.max.x, self.at(rect).y), Align2::RIGHT_CENTER, &runs);
        } else {
            words::block(ui, rect.min + egui::vec2(0.0, HEAD - 8.0), rect.width(), LINE, &runs);
        }
    }
}

/// The head from which a list of the other drawings opens.
fn list_ui(ui: &mut Ui, rect: Rect, head: &Head<'_>, strength: bool, screen: &mut Screen<'_>) {
    let greys = theme::of(ui);
    let shown = screen.memory.drawing_shown;
    let (label, runs) = (format!("Drawing: {}", head.name), [words::bold(head.name, 16.0, greys.ink)]);
    menu::menu_ui(ui, head.at(rect), Align2::LEFT_CENTER, &label, &runs, |ui| {
        let all = [(LIGHTNESS, Drawing::Lightness), (HUE, Drawing::Hue), (STRENGTH, Drawing::Strength)];
        for (label, drawing) in all.into_iter().take(if strength { 3 } else { 2 }) {
            if menu::row_ui(ui, label, "", drawing == shown) {
                screen.memory.drawing_shown = drawing;
            }
        }
    });
    head.note_ui(ui, rect);
}
