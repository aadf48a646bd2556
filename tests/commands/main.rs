//! Acceptance tests: commands.
