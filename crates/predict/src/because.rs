//! What evidence a prediction rests on, in words.

use std::collections::BTreeMap;

use piece::{Id, Part, Piece, TrialId};

use crate::{EvidenceKind, lessons::part_of, trade::trials_words};

/// 'because of trials 2 and 5 on the same wood and trial 1 on oak'; None where nothing is done.
pub(crate) fn because(piece: &Piece, part: Option<&Part>, trials: &[TrialId], kind: EvidenceKind) -> Option<String> {
    match kind {
        EvidenceKind::NoEffect => return None,
        EvidenceKind::PublishedOnly if trials.is_empty() => {
            return Some("because of published figures only".to_owned());
        }
        _ => {}
    }
    let wood = |part: &Part| part.wood.trim().to_lowercase();
    let here = part.map(wood);
    let mut same: Vec<TrialId> = Vec::new();
    let mut others: BTreeMap<String, Vec<TrialId>> = BTreeMap::new();
    for id in trials {
        let of = piece.trial(*id).and_then(|trial| part_of(piece, trial.on)).and_then(|id| piece.part(id));
        match of {
            Some(of) if Some(wood(of)) != here => others.entry(of.wood.trim().to_owned()).or_default().push(*id),
            _ => same.push(*id),
        }
    }
    let on = |(wood, trials): (String, Vec<TrialId>)| {
        let wood = if wood.is_empty() { "another wood".to_owned() } else { wood };
        format!("{} on {wood}", trials_words(&trials))
    };
    let mut said: Vec<String> = Vec::new();
    said.extend((!same.is_empty()).then(|| format!("{} on the same wood", trials_words(&same))));
    // The wood tried first comes first.
    let mut others: Vec<(String, Vec<TrialId>)> = others.into_iter().collect();
    others.sort_by_key(|(_, trials)| trials.first().map(|id| id.number()));
    said.extend(others.into_iter().map(on));
    match said.as_slice() {
        [] => None,
        [one] => Some(format!("because of {one}")),
        [most @ .., last] => Some(format!("because of {} and {last}", most.join(", "))),
    }
}
