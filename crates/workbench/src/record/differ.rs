//! `differ`: one row per pair.

use serde::Serialize;

/// CIEDE2000 of one pair, with its parts.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DifferRecord {
    /// The first colour.
    pub lab1: [f64; 3],
    /// The second colour.
    pub lab2: [f64; 3],
    /// ΔE2000.
    pub de00: f64,
    /// ΔL′: positive when the second is lighter.
    pub dl: f64,
    /// ΔC′: positive when the second is stronger.
    pub dc: f64,
    /// ΔH′.
    pub dh: f64,
}

impl DifferRecord {
    /// The difference of two colours, CIELAB D50.
    pub fn new(lab1: [f64; 3], lab2: [f64; 3]) -> Self {
        let [first, second] = [lab1, lab2].map(|[l, a, b]| colour::Lab::new(l, a, b));
        let difference = colour::difference(first, second);
        Self { lab1, lab2, de00: difference.de00, dl: difference.dl, dc: difference.dc, dh: difference.dh }
    }
}
