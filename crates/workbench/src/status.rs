//! The status line: what just happened, and what to do next.

/// One line of status.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Status {
    /// What just happened.
    pub happened: String,
    /// What to do next; empty where nothing presses.
    pub next: String,
    /// Whether it tells of something that could not be done.
    pub failed: bool,
}

impl Default for Status {
    fn default() -> Self {
        Self {
            happened: "No piece is open. Everything stays on this machine, in plain files.".into(),
            next: "drop a photo, or open the oak chest".into(),
            failed: false,
        }
    }
}

impl Status {
    /// Something was done.
    pub fn done(happened: impl Into<String>, next: impl Into<String>) -> Self {
        Self { happened: one_line(happened.into()), next: next.into(), failed: false }
    }

    /// Something could not be done: one plain line with the way out.
    pub fn failed(line: impl Into<String>) -> Self {
        Self { happened: one_line(line.into()), next: String::new(), failed: true }
    }
}

fn one_line(text: String) -> String {
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut letters = line.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
