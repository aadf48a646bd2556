//! Cautions, by step.

use piece::{Piece, Step};

/// A caution: its first clause stands out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caution {
    /// First clause, to be set bold.
    pub lead: String,
    /// The rest.
    pub text: String,
}

/// The cautions that belong to these steps, each once, in the order of the steps; the general one last.
pub fn for_steps(steps: &[Step], piece: &Piece) -> Vec<Caution> {
    let _ = (steps, piece);
    Vec::new()
}
