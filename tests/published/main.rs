//! Acceptance tests: published.
