//! Greys, type and measures. The only colours on screen are wood and patches; everything here has R = G = B.

use egui::{Color32, FontData, FontDefinitions, FontFamily, FontId, Stroke, Style, Visuals, style::WidgetVisuals};
use std::sync::Arc;
use workbench::Theme;

/// The greys of a theme. `ink` on any of the fills has a contrast of 5.9 or more, `ink2` of 4.5.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Greys {
    /// The working area; the ground colours are judged on.
    pub bench: Color32,
    /// Bars, strip, panel.
    pub frame: Color32,
    /// Buttons and raised ground.
    pub well: Color32,
    /// Words.
    pub ink: Color32,
    /// Words that matter less.
    pub ink2: Color32,
    /// What cannot be used now.
    pub off: Color32,
    /// Thin lines.
    pub line: Color32,
    /// Ground of what is chosen, and of the main button.
    pub on: Color32,
    /// Words on `on`.
    pub on_ink: Color32,
    /// The status line.
    pub status: Color32,
    /// Words on the status line.
    pub status_ink: Color32,
}

/// The paper of the sheet: no pure white beside swatches.
pub const PAPER: Color32 = Color32::from_gray(0xf4);
/// Ink on paper and in tags over photos.
pub const TAG: Color32 = Color32::from_gray(0x1c);
/// Words in tags.
pub const TAG_INK: Color32 = Color32::from_gray(0xf0);

/// The greys of a theme.
pub fn greys(theme: Theme) -> Greys {
    let g = Color32::from_gray;
    match theme {
        Theme::MidGrey => Greys {
            bench: g(0x8c),
            frame: g(0x9c),
            well: g(0xb4),
            ink: g(0x08),
            ink2: g(0x26),
            off: g(0x5e),
            line: g(0x74),
            on: g(0x1c),
            on_ink: g(0xf0),
            status: g(0x1c),
            status_ink: g(0xf0),
        },
        Theme::Dark => Greys {
            bench: g(0x2b),
            frame: g(0x38),
            well: g(0x4c),
            ink: g(0xf0),
            ink2: g(0xc8),
            off: g(0x8a),
            line: g(0x5c),
            on: g(0xe6),
            on_ink: g(0x10),
            status: g(0x1a),
            status_ink: g(0xe8),
        },
        Theme::Light => Greys {
            bench: g(0xd6),
            frame: g(0xe4),
            well: g(0xf2),
            ink: g(0x0c),
            ink2: g(0x3c),
            off: g(0x8a),
            line: g(0xbd),
            on: g(0x1c),
            on_ink: g(0xf4),
            status: g(0x1c),
            status_ink: g(0xf4),
        },
    }
}

impl Greys {
    /// The fill under the pointer: the well, one step on.
    pub fn hover(&self) -> Color32 {
        let towards = if self.ink.r() < 0x80 { 12i16 } else { -12 };
        let step = |grey: u8| (i16::from(grey) + towards).clamp(0, 255) as u8;
        Color32::from_gray(step(self.well.r()))
    }
}

/// The greys of the theme in use, kept with the context so that widgets need no argument for them.
pub fn of(ui: &egui::Ui) -> Greys {
    ui.ctx().data(|data| data.get_temp(egui::Id::unique("greys"))).unwrap_or_else(|| greys(Theme::MidGrey))
}

/// Regular type.
pub fn regular(size: f32) -> FontId {
    FontId::new(size, FontFamily::Proportional)
}

/// Semibold type.
pub fn semibold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name("semibold".into()))
}

/// The fonts: one family in two weights, figures of one width.
pub fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::default();
    let mut insert = |name: &str, bytes: &'static [u8]| {
        fonts.font_data.insert(name.into(), Arc::new(FontData::from_static(bytes)));
    };
    insert("sans", include_bytes!("../../../assets/fonts/IBMPlexSans-Regular.ttf"));
    insert("sans-semibold", include_bytes!("../../../assets/fonts/IBMPlexSans-SemiBold.ttf"));
    let fallback = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    let family = |first: &str| std::iter::once(first.to_owned()).chain(fallback.iter().cloned()).collect();
    fonts.families.insert(FontFamily::Name("semibold".into()), family("sans-semibold"));
    fonts.families.insert(FontFamily::Proportional, family("sans"));
    fonts
}

/// Puts a theme in force.
pub fn install(ctx: &egui::Context, theme: Theme) {
    let greys = greys(theme);
    ctx.data_mut(|data| data.insert_temp(egui::Id::unique("greys"), greys));
    let dark = theme == Theme::Dark;
    ctx.set_theme(if dark { egui::Theme::Dark } else { egui::Theme::Light });
    ctx.all_styles_mut(|style| apply(style, greys, dark));
}

fn apply(style: &mut Style, greys: Greys, dark: bool) {
    let mut visuals = if dark { Visuals::dark() } else { Visuals::light() };
    let widget = |fill: Color32, ring: Stroke| WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: ring,
        corner_radius: 4.into(),
        fg_stroke: Stroke::new(1.0, greys.ink),
        expansion: 0.0,
    };
    visuals.widgets.noninteractive = widget(greys.frame, Stroke::new(1.0, greys.line));
    visuals.widgets.inactive = widget(greys.well, Stroke::NONE);
    visuals.widgets.hovered = widget(greys.hover(), Stroke::NONE);
    visuals.widgets.active = widget(greys.hover(), Stroke::new(2.0, greys.ink));
    visuals.widgets.open = widget(greys.well, Stroke::NONE);
    visuals.selection.bg_fill = greys.line;
    visuals.selection.stroke = Stroke::new(2.0, greys.ink);
    visuals.override_text_color = Some(greys.ink);
    visuals.hyperlink_color = greys.ink;
    visuals.warn_fg_color = greys.ink;
    visuals.error_fg_color = greys.ink;
    visuals.extreme_bg_color = greys.well;
    visuals.text_edit_bg_color = Some(greys.well);
    visuals.panel_fill = greys.frame;
    // Menus and what is told under the pointer stand off the frame they lie on.
    visuals.window_fill = greys.well;
    visuals.window_stroke = Stroke::new(1.0, greys.ink2);
    visuals.window_corner_radius = 4.into();
    visuals.menu_corner_radius = 4.into();
    visuals.window_shadow = egui::Shadow::NONE;
    visuals.popup_shadow = egui::Shadow::NONE;
    visuals.text_cursor.stroke = Stroke::new(2.0, greys.ink);
    visuals.text_cursor.blink = false;
    style.visuals = visuals;
    style.animation_time = 0.0;
    style.spacing.item_spacing = egui::vec2(8.0, 8.0);
    style.spacing.button_padding = egui::vec2(16.0, 10.0);
    style.spacing.interact_size.y = 40.0;
    style.override_font_id = Some(regular(16.0));
    style.spacing.scroll.bar_width = 4.0;
    style.spacing.scroll.floating = true;
    // What is longer than its place shows that it is.
    style.spacing.scroll.dormant_handle_opacity = 0.6;
    style.scroll_animation = egui::style::ScrollAnimation::none();
}

#[cfg(test)]
mod tests {
    use super::*;

    /// WCAG 2.2, 'relative luminance' and 'contrast ratio'.
    fn contrast(a: Color32, b: Color32) -> f64 {
        let luminance = |grey: Color32| {
            let c = f64::from(grey.r()) / 255.0;
            if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
        };
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// WCAG 2.2, success criterion 1.4.3: 4.5 to 1 for text; 1.4.6: 7 to 1, kept by what is inverted.
    #[test]
    fn words_can_be_read_on_every_ground_of_every_theme() {
        for theme in Theme::ALL {
            let g = greys(theme);
            for ground in [g.bench, g.frame, g.well] {
                assert!(contrast(g.ink, ground) >= 4.5, "{theme:?}: {}", contrast(g.ink, ground));
                assert!(contrast(g.ink2, ground) >= 4.5, "{theme:?}: {}", contrast(g.ink2, ground));
            }
            assert!(contrast(g.on, g.on_ink) >= 7.0 && contrast(g.status, g.status_ink) >= 7.0);
        }
    }

    #[test]
    fn every_grey_is_a_grey() {
        for theme in Theme::ALL {
            let g = greys(theme);
            for c in [g.bench, g.frame, g.well, g.ink, g.ink2, g.off, g.line, g.on, g.on_ink, g.status, g.hover()] {
                assert!(c.r() == c.g() && c.g() == c.b(), "{theme:?} {c:?}");
            }
        }
    }
}
