//! Tonewright.
fn main() {}
