//! How the window looks: the neutral theme it is judged in.

/// The neutral themes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// L* about 58: the one to judge colour in.
    #[default]
    MidGrey,
    /// For a dark room.
    Dark,
    /// For a bright one.
    Light,
}

impl Theme {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::MidGrey, Self::Dark, Self::Light];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::MidGrey => "mid-grey",
            Self::Dark => "dark",
            Self::Light => "light",
        }
    }
}
