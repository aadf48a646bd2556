//! card
