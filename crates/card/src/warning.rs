//! What the user should know about a photo, in plain words with a remedy.

/// A warning: a stable code for programs and a sentence for people.
#[derive(Clone, Debug, PartialEq)]
pub struct Warning {
    /// Stable code, lower case with hyphens: `glare`.
    pub code: &'static str,
    /// What is wrong and what to do about it.
    pub text: String,
}

impl Warning {
    /// A warning from its code and words.
    pub fn new(code: &'static str, text: impl Into<String>) -> Self {
        Self { code, text: text.into() }
    }
}
