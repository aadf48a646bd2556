//! CIEDE2000, with its parts.

use crate::Lab;

/// A CIEDE2000 difference and its weighted parts, each with its sign: what the second colour is against the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Difference {
    /// ΔE2000, never negative.
    pub de00: f64,
    /// ΔL′: positive when the second colour is lighter.
    pub dl: f64,
    /// ΔC′: positive when the second colour is stronger.
    pub dc: f64,
    /// ΔH′: positive when the hue angle of the second colour is larger.
    pub dh: f64,
    /// S_L, S_C and S_H, the weights that divide the parts.
    pub weights: [f64; 3],
    /// R_T, the rotation term between chroma and hue.
    pub rotation: f64,
}

/// ΔE2000 of two colours (k_L = k_C = k_H = 1).
pub fn de2000(first: Lab, second: Lab) -> f64 {
    difference(first, second).de00
}

/// CIEDE2000 of `second` against `first`, with its parts.
///
/// # Source
/// ISO/CIE 11664-6:2014; symbols and order as in Sharma, Wu, Dalal (2005), DOI 10.1002/col.20070.
pub fn difference(first: Lab, second: Lab) -> Difference {
    let (c1, c2) = (first.a.hypot(first.b), second.a.hypot(second.b));
    let c_mean7 = ((c1 + c2) / 2.0).powi(7);
    let g = 0.5 * (1.0 - (c_mean7 / (c_mean7 + 25f64.powi(7))).sqrt());
    let (a1, a2) = ((1.0 + g) * first.a, (1.0 + g) * second.a);
    let (c1, c2) = (a1.hypot(first.b), a2.hypot(second.b));
    let hue = |a: f64, b: f64| if a == 0.0 && b == 0.0 { 0.0 } else { b.atan2(a).to_degrees().rem_euclid(360.0) };
    let (h1, h2) = (hue(a1, first.b), hue(a2, second.b));

    let dl = second.l - first.l;
    let dc = c2 - c1;
    let neutral = c1 * c2 == 0.0;
    // Hues exactly opposite are a tie that rounding in atan2 would decide. The cross product of the colours as given is
    // exactly zero there (the stretch 1 + G is common to both). Sharma's rule for |h2 − h1| = 180 then applies: Δh keeps
    // the sign of h2 − h1, and the mean hue is half the sum.
    let opposite = first.a * second.b - second.a * first.b == 0.0 && a1 * a2 + first.b * second.b < 0.0;
    let mut dh_deg = if neutral { 0.0 } else { h2 - h1 };
    if opposite {
        dh_deg = 180f64.copysign(dh_deg);
    } else if dh_deg > 180.0 {
        dh_deg -= 360.0;
    } else if dh_deg < -180.0 {
        dh_deg += 360.0;
    }
    let dh = 2.0 * (c1 * c2).sqrt() * (dh_deg / 2.0).to_radians().sin();

    let l_mean = (first.l + second.l) / 2.0;
    let c_mean = (c1 + c2) / 2.0;
    let sum = h1 + h2;
    let h_mean = if neutral {
        sum
    } else if opposite || (h1 - h2).abs() <= 180.0 {
        sum / 2.0
    } else if sum < 360.0 {
        (sum + 360.0) / 2.0
    } else {
        (sum - 360.0) / 2.0
    };
    let cos = |deg: f64| deg.to_radians().cos();
    let t = 1.0 - 0.17 * cos(h_mean - 30.0) + 0.24 * cos(2.0 * h_mean) + 0.32 * cos(3.0 * h_mean + 6.0)
        - 0.20 * cos(4.0 * h_mean - 63.0);
    let dtheta = 30.0 * (-((h_mean - 275.0) / 25.0).powi(2)).exp();
    let c7 = c_mean.powi(7);
    let r_c = 2.0 * (c7 / (c7 + 25f64.powi(7))).sqrt();
    let l50 = (l_mean - 50.0).powi(2);
    let s_l = 1.0 + 0.015 * l50 / (20.0 + l50).sqrt();
    let s_c = 1.0 + 0.045 * c_mean;
    let s_h = 1.0 + 0.015 * c_mean * t;
    let rotation = -(2.0 * dtheta).to_radians().sin() * r_c;
    let (l, c, h) = (dl / s_l, dc / s_c, dh / s_h);
    let squared = l * l + c * c + h * h + rotation * c * h;
    // Rounding may leave a tiny negative square. Not `max`, which would turn NaN into a difference of zero.
    let de00 = if squared < 0.0 { 0.0 } else { squared.sqrt() };
    Difference { de00, dl, dc, dh, weights: [s_l, s_c, s_h], rotation }
}
