//! The frame round the working area: places, and the tones that divide them.

mod history;
pub(crate) mod problems;
pub(crate) mod status;
pub(crate) mod strip;
pub(crate) mod tabs;
pub(crate) mod top_bar;

use egui::{Pos2, Rect, Ui};

use crate::theme;

/// Below this width the strip and panel are narrower, points.
const NARROW: f32 = 1200.0;

/// Where everything is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Places {
    /// The top bar.
    pub(crate) top: Rect,
    /// The parts strip.
    pub(crate) strip: Rect,
    /// The tabs.
    pub(crate) tabs: Rect,
    /// The working area.
    pub(crate) work: Rect,
    /// The panel.
    pub(crate) panel: Rect,
    /// The status line.
    pub(crate) status: Rect,
}

impl Places {
    /// The places in a window of this size, with so high a status line.
    pub(crate) fn of(all: Rect, status_height: f32) -> Self {
        let narrow = all.width() < NARROW;
        let (strip_width, panel_width) = if narrow { (176.0, 256.0) } else { (208.0, 304.0) };
        let from = |x0: f32, y0: f32, x1: f32, y1: f32| Rect::from_min_max(Pos2::new(x0, y0), Pos2::new(x1, y1));
        let (left, right, bottom) = (all.min.x + strip_width, all.max.x - panel_width, all.max.y - status_height);
        let (bar, tabs) = (all.min.y + 48.0, all.min.y + 104.0);
        Self {
            top: from(all.min.x, all.min.y, all.max.x, bar),
            strip: from(all.min.x, bar, left, bottom),
            tabs: from(left, bar, all.max.x, tabs),
            work: from(left, tabs, right, bottom),
            panel: from(right, tabs, all.max.x, bottom),
            status: from(all.min.x, bottom, all.max.x, all.max.y),
        }
    }

    /// Whether columns give way.
    pub(crate) fn narrow(&self) -> bool {
        self.work.width() < 700.0
    }
}

/// The tones of the frame.
pub(crate) fn ground_ui(ui: &Ui, places: &Places) {
    let greys = theme::of(ui);
    let all = places.top.union(places.status);
    ui.painter().rect_filled(all, 0, greys.frame);
    ui.painter().rect_filled(places.work, 0, greys.bench);
    ui.painter().rect_filled(places.status, 0, greys.status);
}
