//! Routes named by what they do.

use piece::Piece;

use super::{Route, field::Field, judged::Judged};
use crate::{NotCompared, WayBack, odds::per_cent, time};

/// A change of L* below this is neither lighter nor darker.
const NO_LIGHTER: f64 = 1.0;

/// 'Leave natural', 'Lighten front four', 'Darken the rest', 'Meet between', 'Tone the sides'.
pub(crate) fn name(field: &Field<'_>, judged: &Judged) -> String {
    let change = |place: &usize| field.mean(*place, judged.choices[*place]).l - field.mean(*place, 0).l;
    let changes: Vec<f64> = judged.changed.iter().map(change).collect();
    let all = |wanted: fn(f64) -> bool| changes.iter().all(|change| wanted(*change));
    let some = |wanted: fn(f64) -> bool| changes.iter().any(|change| wanted(*change));
    if changes.is_empty() {
        return "Leave natural".to_owned();
    }
    if some(|change| change > NO_LIGHTER) && some(|change| change < -NO_LIGHTER) {
        return "Meet between".to_owned();
    }
    let verb = if all(|change| change.abs() <= NO_LIGHTER) {
        "Tone"
    } else if all(|change| change > -NO_LIGHTER) {
        "Lighten"
    } else {
        "Darken"
    };
    format!("{verb} {}", names(field, judged))
}

/// The changed parts: by name where few, 'the rest' where one group alone stays as it is.
fn names(field: &Field<'_>, judged: &Judged) -> String {
    let changed = |place: &usize| judged.changed.contains(place);
    if judged.changed.len() == field.parts.len() {
        return "all parts".to_owned();
    }
    let untouched = field.groups.iter().filter(|group| !group.iter().any(changed)).count();
    if untouched == 1 && judged.changed.len() > 1 {
        return "the rest".to_owned();
    }
    some(judged.changed.iter().map(|place| field.parts[*place].0.name.as_str()).collect())
}

/// Names in a row: all of three, the first two of more.
fn some(mut names: Vec<&str>) -> String {
    let more = names.len().saturating_sub(3);
    if more > 0 {
        names.truncate(2);
        return format!("{} and {} more", names.join(", "), more + 1);
    }
    match names.as_slice() {
        [most @ .., last] if !most.is_empty() => format!("{} and {last}", most.join(", ")),
        _ => names.join(", "),
    }
}

/// Of which pairs odds are told: 'every pair', or, where parts are left out, 'every pair that can be judged, without rail,'.
pub fn every_pair(piece: &Piece, left_out: &[NotCompared]) -> String {
    let parts = left_out.iter().flat_map(|one| &one.parts).filter_map(|id| piece.part(*id));
    let names: Vec<&str> = parts.map(|part| part.name.as_str()).collect();
    if names.is_empty() {
        return "every pair".to_owned();
    }
    format!("every pair that can be judged, without {},", some(names))
}

/// Odds, worst pair, work and what cannot be undone, and the evidence, in one sentence.
pub(super) fn why(piece: &Piece, route: &Route) -> String {
    let every_pair = every_pair(piece, &route.left_out);
    let odds = format!("{} chance that {every_pair} is within tolerance", per_cent(route.chance_all_within));
    let worst = route.worst_pair.as_ref().map(|pair| format!("worst pair {}", pair.words()));
    let (hours, wait_hours) = (route.hours, route.wait_hours);
    let work = if hours <= 0.0 {
        "no work before the clear coats".to_owned()
    } else {
        format!(
            "{} of work and {} of drying before the clear coats, {}",
            time::hours(hours),
            time::wait(wait_hours),
            way_back(route)
        )
    };
    // The part with most behind it speaks for all.
    let rows = route.schedules.iter().map(|schedule| &schedule.row);
    let because = rows.max_by_key(|row| row.evidence.trials.len()).and_then(|row| row.because.clone());
    [Some(odds), worst, Some(work), because].into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// What of a route can be taken back.
fn way_back(route: &Route) -> String {
    let worst = route.schedules.iter().map(|schedule| schedule.row.reversible).max();
    match (route.irreversible_steps.len(), worst) {
        (0, Some(WayBack::Whole) | None) => "all of which can be taken back".to_owned(),
        (0, _) => "what the wood takes up comes out in part only".to_owned(),
        (1, _) => "one step that cannot be undone".to_owned(),
        (count, _) => format!("{count} steps that cannot be undone"),
    }
}

/// What routes are compared by: less is better.
type Value = fn(&Route) -> f64;

/// Says of each route what it is best in among those that change something: why one would take it.
pub(super) fn say_what_each_is_best_in(routes: &mut [Route]) {
    let changes = |route: &Route| route.name != "Leave natural";
    if routes.iter().filter(|route| changes(route)).count() < 2 {
        return;
    }
    let best = |value: Value| {
        let mut values: Vec<f64> = routes.iter().filter(|route| changes(route)).map(value).collect();
        values.sort_by(f64::total_cmp);
        // Shared by two it tells them not apart.
        (values[1] > values[0] + 1e-9).then_some(values[0])
    };
    let claims: [(Value, &str); 5] = [
        (|route| -route.chance_all_within, "the best odds"),
        (|route| route.hours, "the least work"),
        (|route| route.wait_hours, "the least waiting"),
        (|route| route.irreversible_steps.len() as f64, "the fewest steps that cannot be undone"),
        (|route| route.product_ml, "the least product"),
    ];
    let best = claims.map(|(value, words)| (value, best(value), words));
    for route in routes.iter_mut().filter(|route| changes(route)) {
        let best_in: Vec<&str> =
            best.iter().filter(|(value, best, _)| *best == Some(value(route))).map(|(_, _, words)| *words).collect();
        if !best_in.is_empty() {
            route.why = format!("{} of all that change something: {}", best_in.join(", "), route.why);
        }
    }
}
