//! Tolerances and the plan.

use std::collections::BTreeSet;

use super::{Checked, above_zero, surface, trial::step};
use crate::{Error, Piece, Plan, Surface, Tolerances};

/// Tolerances above zero, pairs of parts that are there, each pair once.
pub(crate) fn tolerances(piece: &Piece, tolerances: &Tolerances) -> Checked {
    let at = "tolerances";
    let usual = [
        tolerances.same_plane_de00,
        tolerances.fronts_de00,
        tolerances.other_planes_de00,
        tolerances.match_sample_de00,
    ];
    for de00 in usual.into_iter().chain(tolerances.pairs.iter().map(|pair| pair.de00)) {
        above_zero(at, "a tolerance in ΔE2000", de00, 100.0)?;
    }
    for (index, pair) in tolerances.pairs.iter().enumerate() {
        for part in [pair.a, pair.b] {
            surface(piece, Surface::Part(part))?;
        }
        let again = tolerances.pairs[..index].iter().any(|other| other.of(pair.a, pair.b));
        if pair.a == pair.b || again {
            let problem = format!("the pair {} and {} is one part, or stands twice: keep one", pair.a, pair.b);
            return Err(Error::invalid(at, problem));
        }
    }
    Ok(())
}

/// A plan for parts that are there, each once, with steps that can stand.
pub(crate) fn plan(piece: &Piece, plan: &Plan) -> Checked {
    let mut seen = BTreeSet::new();
    for (part, steps) in &plan.schedules {
        let at = format!("plan for {}", piece.surface_name(Surface::Part(*part)));
        surface(piece, Surface::Part(*part))?;
        if !seen.insert(*part) {
            return Err(Error::invalid(at, "stands twice: keep one schedule for each part"));
        }
        for one in steps {
            step(piece, &at, one)?;
        }
    }
    Ok(())
}
