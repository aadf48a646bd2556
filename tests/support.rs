//! Shared helpers of the acceptance tests and the measuring commands.

pub mod figures;
pub mod rendered;
pub mod repeat;
pub mod stated;
