//! Acceptance tests: house.
