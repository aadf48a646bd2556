//! How far apart the parts are, and which way.

use colour::{Difference, Lab, de2000};
use piece::{MatchSample, Meeting, Part, PartId, Piece, Reading, Surface};

use crate::{
    Estimate, Interval, Verdict,
    judge::{Judgement, judge},
    lessons::{Lessons, untouched},
    look::{Look, many_reading_draws, pooled_draws, pooled_lab},
    sight,
    target::{Target, as_seen, judged_look, match_target, state_words},
    verdict::sentence,
};

/// What the match sample is called where a part is held against it: which it is stands beside.
const MATCH_SAMPLE: &str = "the match sample";

/// All differences within a piece as read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Comparison {
    /// Pairs of parts: those that meet first, in the order of the piece.
    pub pairs: Vec<PairRow>,
    /// Each part against the match sample, where one is set.
    pub to_match: Vec<MatchRow>,
    /// What could not be compared, and why.
    pub not_compared: Vec<NotCompared>,
}

/// Two parts: what `b` is against `a`. The one that differs from more of the others is `b`; a part that is the match sample
/// is `a`.
#[derive(Clone, Debug, PartialEq)]
pub struct PairRow {
    /// The first part.
    pub a: PartId,
    /// The second part, described against the first.
    pub b: PartId,
    /// How they meet, as entered or assumed ([`sight::assumed_meeting`]); None for parts that do not meet in sight.
    pub meeting: Option<Meeting>,
    /// What was found.
    pub found: Compared,
}

/// A part against the match sample: what the part is against it.
#[derive(Clone, Debug, PartialEq)]
pub struct MatchRow {
    /// The part.
    pub part: PartId,
    /// The match sample in words.
    pub against: String,
    /// What was found.
    pub found: Compared,
}

/// What a comparison of two colours found: what the second is against the first.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// The state in which both are compared: 'bare dry'.
    pub state: String,
    /// Difference of the two best estimates.
    pub difference: Difference,
    /// ΔE2000.
    pub de00: Interval,
    /// ΔL′.
    pub dl: Interval,
    /// ΔC′.
    pub dc: Interval,
    /// ΔH′.
    pub dh: Interval,
    /// What the bounds allow to be said.
    pub verdict: Verdict,
    /// In words that suit one and several: 'clear: door darker and a little redder than top'.
    pub words: String,
    /// ΔE2000 that counts as a match here.
    pub tolerance_de00: f64,
    /// Chance that the true difference is within the tolerance.
    pub chance_within: f64,
    /// Where a reading was carried across from another state: which, and how.
    pub carried: Option<String>,
}

/// Something that could not be compared.
#[derive(Clone, Debug, PartialEq)]
pub struct NotCompared {
    /// The parts concerned.
    pub parts: Vec<PartId>,
    /// Why, and what would help.
    pub reason: String,
}

/// Compares the parts that meet, all other pairs, and each part with the match sample.
///
/// Two parts are compared in a look in which both were read in one light: topcoated if there is one, else sealed,
/// spirit-wet, dry. Where there is none, one is carried across and the row says so.
pub fn compare(piece: &Piece) -> Comparison {
    let sound = crate::set_aside::sound(piece);
    let piece = sound.as_ref();
    let lessons = Lessons::learn(piece);
    let mut comparison = Comparison::default();
    let mut read: Vec<&Part> = Vec::new();
    for part in &piece.parts {
        if untouched(piece, Surface::Part(part.id)).is_empty() {
            let is_read = piece.readings.iter().any(|reading| reading.of == Surface::Part(part.id));
            let reason = if is_read {
                format!("no reading shows {} by itself, dry, spirit-wet or coated; read it so", part.name)
            } else {
                format!("no reading of {} can be compared; read the colour", part.name)
            };
            comparison.not_compared.push(NotCompared { parts: vec![part.id], reason });
        } else {
            read.push(part);
        }
    }
    let mut pairs: Vec<(&Part, &Part, Option<Meeting>)> = Vec::new();
    for (index, a) in read.iter().enumerate() {
        pairs.extend(read[index + 1..].iter().map(|b| (*a, *b, sight::meeting(piece, a.id, b.id))));
    }
    // Stable: those that meet come first, each in the order of the piece.
    pairs.sort_by_key(|(_, _, meeting)| meeting.is_none());
    let mut sides = Vec::new();
    for (a, b, meeting) in pairs {
        match Sides::of(piece, &lessons, [a, b], meeting) {
            Ok(found) => sides.push(found),
            Err(reason) => comparison.not_compared.push(NotCompared { parts: vec![a.id, b.id], reason }),
        }
    }
    let match_part = match piece.match_sample {
        MatchSample::Part(id) => Some(id),
        _ => None,
    };
    let over = |part: PartId| sides.iter().filter(|one| one.has(part) && one.is_over()).count();
    let described: Vec<usize> = sides
        .iter()
        .map(|one| match one.parts.map(|part| part.id) {
            [a, _] if Some(a) == match_part => 1,
            [_, b] if Some(b) == match_part => 0,
            [a, b] => usize::from(over(a) <= over(b)),
        })
        .collect();
    comparison.pairs = sides.iter().zip(described).map(|(one, described)| one.row(described, match_part)).collect();
    let look = judged_look(piece);
    match match_target(piece, &lessons, look) {
        Ok(Some(target)) => {
            let others = read.iter().filter(|part| target.part != Some(part.id));
            comparison.to_match = others.filter_map(|part| match_row(piece, &lessons, part, &target, look)).collect();
        }
        Ok(None) => {}
        Err(error) => comparison.not_compared.push(NotCompared { parts: Vec::new(), reason: error.to_string() }),
    }
    comparison
}

/// What the second of two readings is against the first, each with its name: judged as [`compare`] judges two parts that
/// were read once each. What they share of their errors cancels; their ids must differ.
pub fn compare_readings(first: (&str, &Reading), second: (&str, &Reading), tolerance_de00: f64) -> Compared {
    let (lab, state) = (first.1.lab, state_words(&first.1.state));
    let judged = judge(lab, second.1.lab, &many_reading_draws(first.1), &many_reading_draws(second.1), tolerance_de00);
    Compared::new(judged, [first.0, second.0], lab, state, tolerance_de00, None)
}

/// Readings of a part in one look and one light.
struct Seen<'a> {
    look: Look,
    light: String,
    readings: Vec<&'a Reading>,
}

/// The looks and lights in which a part was read, the look nearest to the finished piece first.
fn seen(piece: &Piece, part: PartId) -> Vec<Seen<'_>> {
    let moment = untouched(piece, Surface::Part(part));
    let mut all: Vec<Seen<'_>> = Vec::new();
    for look in Look::ALL.into_iter().rev() {
        for reading in moment.in_look(look) {
            let light = reading.light.trim().to_lowercase();
            match all.iter_mut().find(|one| one.look == look && one.light == light) {
                Some(one) => one.readings.push(reading),
                None => all.push(Seen { look, light, readings: vec![reading] }),
            }
        }
    }
    all
}

/// Two parts in one look and light, before it is settled which is described against the other.
struct Sides<'a> {
    parts: [&'a Part; 2],
    meeting: Option<Meeting>,
    labs: [Lab; 2],
    draws: [Vec<Lab>; 2],
    state: String,
    tolerance_de00: f64,
    carried: Option<String>,
}

impl<'a> Sides<'a> {
    fn of(
        piece: &'a Piece,
        lessons: &Lessons,
        parts: [&'a Part; 2],
        meeting: Option<Meeting>,
    ) -> std::result::Result<Self, String> {
        let [a, b] = parts;
        let (seen_a, seen_b) = (seen(piece, a.id), seen(piece, b.id));
        let one_light = |x: &Seen<'_>, y: &Seen<'_>| x.light == y.light || x.light.is_empty() || y.light.is_empty();
        let alike =
            seen_a.iter().find_map(|x| seen_b.iter().find(|y| x.look == y.look && one_light(x, y)).map(|y| (x, y)));
        let nearest = || seen_a.iter().find_map(|x| seen_b.iter().find(|y| one_light(x, y)).map(|y| (x, y)));
        let Some((x, y)) = alike.or_else(nearest) else {
            return Err(format!(
                "{} and {} were read in different lights ({} / {}); read both in one light",
                a.name, b.name, seen_a[0].light, seen_b[0].light
            ));
        };
        let (Some(draws_a), Some(draws_b)) = (pooled_draws(&x.readings), pooled_draws(&y.readings)) else {
            return Err("no reading".to_owned());
        };
        let mut labs = [pooled_lab(&x.readings), pooled_lab(&y.readings)];
        let mut draws = [draws_a, draws_b];
        let mut carried = None;
        let mut look = x.look;
        if x.look != y.look {
            // The one nearer to bare wood is carried towards the other.
            look = x.look.max(y.look);
            let (at, from) = if x.look < y.look { (0, x.look) } else { (1, y.look) };
            let who = parts[at];
            let (over, how) = lessons.coats.carry(&draws[at], from, look, (&who.id.to_string(), &who.wood));
            labs[at] = Estimate::from_draws(over.clone()).mean;
            draws[at] = over;
            carried = how.map(|how| how.words(&who.name, from, look));
        }
        let tolerance_de00 = piece.tolerances.of(a.id, b.id, meeting.unwrap_or(Meeting::OtherPlanes));
        let state = if carried.is_some() { look.words().to_owned() } else { state_words(&x.readings[0].state) };
        Ok(Self { parts, meeting, labs, draws, state, tolerance_de00, carried })
    }

    fn has(&self, part: PartId) -> bool {
        self.parts.iter().any(|one| one.id == part)
    }

    fn is_over(&self) -> bool {
        de2000(self.labs[0], self.labs[1]) > self.tolerance_de00
    }

    /// The row that describes the part at this place against the other.
    fn row(&self, described: usize, match_part: Option<PartId>) -> PairRow {
        let against = 1 - described;
        let [a, b] = [against, described].map(|at| self.parts[at]);
        let [lab_a, lab_b] = [against, described].map(|at| self.labs[at]);
        let judged = judge(lab_a, lab_b, &self.draws[against], &self.draws[described], self.tolerance_de00);
        let first = if Some(a.id) == match_part { format!("{} ({MATCH_SAMPLE})", a.name) } else { a.name.clone() };
        let (state, carried) = (self.state.clone(), self.carried.clone());
        let found = Compared::new(judged, [&first, &b.name], lab_a, state, self.tolerance_de00, carried);
        PairRow { a: a.id, b: b.id, meeting: self.meeting, found }
    }
}

fn match_row(piece: &Piece, lessons: &Lessons, part: &Part, target: &Target, look: Look) -> Option<MatchRow> {
    let (draws, from) =
        as_seen(piece, lessons, &untouched(piece, Surface::Part(part.id)), look, (&part.id.to_string(), &part.wood))?;
    let (lab_target, lab) = (Estimate::from_draws(target.draws.clone()).mean, Estimate::from_draws(draws.clone()).mean);
    let tolerance_de00 = piece.tolerances.match_sample_de00;
    let judged = judge(lab_target, lab, &target.draws, &draws, tolerance_de00);
    let own =
        (from != look).then(|| format!("{}, read {}, carried across to {}", part.name, from.words(), look.words()));
    let carried: Vec<String> = own.into_iter().chain(target.carried.clone()).collect();
    let carried = (!carried.is_empty()).then(|| carried.join("; "));
    let found =
        Compared::new(judged, [MATCH_SAMPLE, &part.name], lab_target, look.words().to_owned(), tolerance_de00, carried);
    Some(MatchRow { part: part.id, against: target.words.clone(), found })
}

impl Compared {
    /// What was judged of two colours of these names, the second against the first, whose best estimate is `lab`.
    fn new(
        judged: Judgement,
        [first, second]: [&str; 2],
        lab: Lab,
        state: String,
        tolerance_de00: f64,
        carried: Option<String>,
    ) -> Self {
        let verdict = Verdict::of(judged.de00);
        let words = sentence(verdict, first, second, &judged, lab);
        let Judgement { difference, de00, dl, dc, dh, chance_within } = judged;
        Self { state, difference, de00, dl, dc, dh, verdict, words, tolerance_de00, chance_within, carried }
    }
}
