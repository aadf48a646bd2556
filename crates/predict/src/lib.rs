//! predict
