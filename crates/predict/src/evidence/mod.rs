//! What a step does, learned from readings before and after it.
//!
//! [`learn()`] weighs every law of a family by how well it explains the observations, and gives an [`Effect`]: a mixture
//! of laws that predicts the step on another wood or at another strength.

mod acting;
mod candidate;
mod draws;
mod effect;
mod learn;
mod mixed;
mod normal;
mod observation;
mod problem;
mod scatter;

pub use effect::{Application, Effect};
pub use learn::learn;
pub(crate) use mixed::glimpse;
pub use observation::{Expectation, Modifier, Observation, Unlike};
pub(crate) use scatter::pooled_beliefs;
pub use scatter::{Belief, Scatter};
