//! The few widgets of the window: words, buttons, menus, swatches, tags, cautions.

pub(crate) mod button;
pub(crate) mod caution;
pub(crate) mod check_box;
pub(crate) mod field;
pub(crate) mod menu;
pub(crate) mod swatch;
pub(crate) mod words;
