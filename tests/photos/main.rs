//! Acceptance tests: photos.
