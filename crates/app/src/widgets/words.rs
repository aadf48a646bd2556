//! Words at a place, each with an accessible name.

use crate::theme;
use egui::{
    Align2, Color32, FontId, Pos2, Rect, Role, Sense, Ui, WidgetInfo,
    text::{LayoutJob, TextFormat},
};

/// A run of words in one face.
pub(crate) struct Run<'a> {
    text: &'a str,
    font: FontId,
    colour: Color32,
}

/// Regular words.
pub(crate) fn plain(text: &str, size: f32, colour: Color32) -> Run<'_> {
    Run { text, font: theme::regular(size), colour }
}

/// Semibold words.
pub(crate) fn bold(text: &str, size: f32, colour: Color32) -> Run<'_> {
    Run { text, font: theme::semibold(size), colour }
}

/// Height of a line of the typeface, and its descent below the baseline, per point of size.
///
/// # Source
/// IBM Plex Sans, table hhea: ascender 1025, descender −275 of 1000 units.
const LINE: f32 = 1.3;
const DESCENT: f32 = 0.275;

/// Lays runs on one baseline, or several lines within `width`.
fn job(runs: &[Run<'_>], width: f32, line_height: Option<f32>) -> LayoutJob {
    let mut job = LayoutJob::default();
    job.wrap.max_width = width;
    let largest = runs.iter().map(|run| run.font.size).fold(0.0, f32::max);
    for run in runs {
        let mut format = TextFormat::simple(run.font.clone(), run.colour);
        format.valign = egui::Align::BOTTOM;
        // Runs end at the foot of the line, each in the middle of its own height: smaller ones are made this much less
        // high than the largest, so that they stand on its baseline.
        let less = (largest - run.font.size) * (LINE - 2.0 * DESCENT);
        format.line_height = Some(line_height.unwrap_or(LINE * largest - less));
        job.append(&unbroken(run.text), 0.0, format);
    }
    job
}

/// What follows a number and is not parted from it.
const UNITS: [&str; 14] = ["%", "h", "min", "s", "d", "day", "days", "ml", "L", "fl", "g/L", "m²", "sq", "mm"];

/// Words as they are set: no line ends between a number and its unit. Their names keep the plain blank.
fn unbroken(text: &str) -> String {
    let mut set = String::with_capacity(text.len());
    for (place, word) in text.split(' ').enumerate() {
        if place > 0 {
            let unit = word.trim_end_matches([',', ';', ':', '.', ')']);
            let counted = set.ends_with(|last: char| last.is_numeric()) && UNITS.contains(&unit);
            set.push(if counted { '\u{a0}' } else { ' ' });
        }
        set.push_str(word);
    }
    set
}

fn name_label(ui: &mut Ui, rect: Rect, name: &str) -> egui::Response {
    let response = ui.allocate_rect(rect, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, name));
    response
}

/// Names words that may end in `…`; those are told in full under the pointer.
fn name_cut(ui: &mut Ui, rect: Rect, runs: &[Run<'_>], cut: bool) {
    let name: String = runs.iter().map(|run| run.text).collect();
    let response = name_label(ui, rect, &name);
    if cut {
        response.on_hover_text(unbroken(&name));
    }
}

/// Draws runs on one line, anchored at `at`; says where.
pub(crate) fn line(ui: &mut Ui, at: Pos2, anchor: Align2, runs: &[Run<'_>]) -> Rect {
    let galley = ui.painter().layout_job(job(runs, f32::INFINITY, None));
    let rect = anchor.anchor_size(at, galley.size());
    ui.painter().galley(rect.min, galley, Color32::BLACK);
    let name: String = runs.iter().map(|run| run.text).collect();
    name_label(ui, rect, &name);
    rect
}

/// Draws runs on one line no wider than `width`; where they would be, they end in `…` and are told under the pointer.
pub(crate) fn short(ui: &mut Ui, at: Pos2, anchor: Align2, width: f32, runs: &[Run<'_>]) -> Rect {
    let mut job = job(runs, width, None);
    job.wrap.max_rows = 1;
    job.wrap.break_anywhere = true;
    let galley = ui.painter().layout_job(job);
    let (rect, cut) = (anchor.anchor_size(at, galley.size()), galley.elided);
    ui.painter().galley(rect.min, galley, Color32::BLACK);
    name_cut(ui, rect, runs, cut);
    rect
}

/// Draws runs in two close lines at most within a place, in its middle from top to bottom.
pub(crate) fn lines(ui: &mut Ui, place: Rect, runs: &[Run<'_>]) {
    let mut job = job(runs, place.width(), Some(16.0));
    job.wrap.max_rows = 2;
    let galley = ui.painter().layout_job(job);
    let (at, cut) = (Align2::LEFT_CENTER.anchor_size(place.left_center(), galley.size()), galley.elided);
    ui.painter().galley(at.min, galley, Color32::BLACK);
    name_cut(ui, at, runs, cut);
}

/// Draws runs on one line from the middle of a place's left edge, or in two where one is too short.
pub(crate) fn fitted(ui: &mut Ui, place: Rect, runs: &[Run<'_>]) {
    if line_width(ui, runs) <= place.width() {
        line(ui, place.left_center(), Align2::LEFT_CENTER, runs);
    } else {
        lines(ui, place, runs);
    }
}

/// Draws runs wrapped to `width` from a top left corner; says where.
pub(crate) fn block(ui: &mut Ui, at: Pos2, width: f32, line_height: f32, runs: &[Run<'_>]) -> Rect {
    let galley = ui.painter().layout_job(job(runs, width, Some(line_height)));
    let rect = Rect::from_min_size(at, galley.size());
    ui.painter().galley(rect.min, galley, Color32::BLACK);
    let name: String = runs.iter().map(|run| run.text).collect();
    name_label(ui, rect, &name);
    rect
}

/// Paints runs in the middle of a rectangle without naming them: the widget around them has the name.
pub(crate) fn paint_centred(ui: &Ui, rect: Rect, runs: &[Run<'_>]) {
    let galley = ui.painter().layout_job(job(runs, f32::INFINITY, None));
    ui.painter().galley(rect.center() - galley.size() / 2.0, galley, Color32::BLACK);
}

/// Paints runs on one line from the middle of their left edge, without naming them.
pub(crate) fn paint_left(ui: &Ui, at: Pos2, runs: &[Run<'_>]) {
    let galley = ui.painter().layout_job(job(runs, f32::INFINITY, None));
    ui.painter().galley(at - egui::vec2(0.0, galley.size().y / 2.0), galley, Color32::BLACK);
}

/// The height `block` would take.
pub(crate) fn block_height(ui: &Ui, width: f32, line_height: f32, runs: &[Run<'_>]) -> f32 {
    ui.painter().layout_job(job(runs, width, Some(line_height))).size().y
}

/// The width `line` would take.
pub(crate) fn line_width(ui: &Ui, runs: &[Run<'_>]) -> f32 {
    ui.painter().layout_job(job(runs, f32::INFINITY, None)).size().x
}

/// A dark tag with words, over photos and wood.
pub(crate) fn tag(ui: &mut Ui, at: Pos2, anchor: Align2, text: &str) -> Rect {
    let galley = ui.painter().layout_no_wrap(text.to_owned(), theme::regular(14.0), theme::TAG_INK);
    let rect = anchor.anchor_size(at, egui::vec2(galley.size().x + 16.0, 24.0));
    ui.painter().rect_filled(rect, 0, theme::TAG);
    ui.painter().galley(rect.left_center() + egui::vec2(8.0, -galley.size().y / 2.0), galley, theme::TAG_INK);
    name_label(ui, rect, text);
    rect
}

/// A column that words are set into from the top, the way the panels are.
pub(crate) struct Column {
    /// Left edge.
    pub(crate) x: f32,
    /// Where the next line starts.
    pub(crate) y: f32,
    /// Width to wrap at.
    pub(crate) width: f32,
}

impl Column {
    /// A column from a top left corner.
    pub(crate) fn new(at: Pos2, width: f32) -> Self {
        Self { x: at.x, y: at.y, width }
    }

    /// Sets a paragraph and goes on below it.
    pub(crate) fn words(&mut self, ui: &mut Ui, line_height: f32, runs: &[Run<'_>]) {
        let rect = block(ui, Pos2::new(self.x, self.y), self.width, line_height, runs);
        self.y = rect.max.y;
    }

    /// Leaves room.
    pub(crate) fn skip(&mut self, points: f32) {
        self.y += points;
    }

    /// Draws a thin line across.
    pub(crate) fn rule(&mut self, ui: &Ui, colour: Color32) {
        let y = self.y.round() + 0.5;
        ui.painter().hline(self.x..=self.x + self.width, y, egui::Stroke::new(1.0, colour));
        self.y += 1.0;
    }

    /// The next rectangle of this height across the column.
    pub(crate) fn take(&mut self, height: f32) -> Rect {
        let rect = Rect::from_min_size(Pos2::new(self.x, self.y), egui::vec2(self.width, height));
        self.y += height;
        rect
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blanks_stay_where_they_were() {
        for text in ["", " ", "  ", " a  b ", "h 2", "for 2 hands"] {
            assert_eq!(unbroken(text), text);
        }
        assert_eq!(unbroken("2 h, or (3½ d)."), "2\u{a0}h, or (3½\u{a0}d).");
    }

    /// However narrow the column, no line begins with a unit or the sign of a per cent, as far as a whole number fits beside it.
    #[test]
    fn a_number_and_its_unit_stay_on_one_line() {
        let ctx = egui::Context::default();
        ctx.set_fonts(theme::fonts());
        let text = "1.6 m², once at 10 m²/L (common practice), waste 20 %: 192 ml; 18 % across; 45 min, 2 d; 1½ h of that over 2 days";
        let mut wrapped = 0;
        let output = ctx.run_ui(egui::RawInput::default(), |ui| {
            for width in 80..400 {
                let runs = [plain(text, 15.0, Color32::BLACK)];
                let galley = ui.painter().layout_job(job(&runs, width as f32, Some(20.0)));
                let rows: Vec<String> = galley.rows.iter().map(|row| row.text()).collect();
                let unit =
                    |row: &String| row.split([' ', ',', ';', ':']).next().is_some_and(|word| UNITS.contains(&word));
                assert!(!rows.iter().any(unit), "{width}: {rows:?}");
                wrapped += rows.len() - 1;
            }
        });
        output.drop_without_applying_deltas();
        assert!(wrapped > 320, "the widths are narrow enough to wrap: {wrapped}");
    }
}
