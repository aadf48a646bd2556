//! Shared helpers of the acceptance tests.
