//! Shared helpers of the acceptance tests and the measuring commands.

pub mod rendered;
