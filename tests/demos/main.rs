//! Acceptance tests: demos.
