//! `routes --json`.

use predict::{Route, Routes};
use serde::Serialize;
use sheet::Units;

use super::{
    BarredRecord, IntervalRecord, MixingRecord, NotComparedRecord, OfferedMixRecord, ProblemRecord, RankRowRecord,
    SetAsideRecord,
    check::problems_beside,
    part_name,
    set_aside::{notes, set_aside},
};

/// Joint plans for a piece.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RoutesRecord {
    /// The piece's name.
    pub piece: String,
    /// True where the data are invented (demo pieces).
    pub invented: bool,
    /// The alternatives.
    pub routes: Vec<RouteRecord>,
    /// What may not be done, and why.
    pub barred: Vec<BarredRecord>,
    /// Parts no route could be made for, and why.
    pub left_out: Vec<NotComparedRecord>,
    /// Trials that cannot be as they are written down, and why.
    pub set_aside: Vec<SetAsideRecord>,
    /// What is assumed of how the parts meet and of the grit, what stands in where a trial's reading is missing, and which trials the others
    /// contradict.
    pub notes: Vec<String>,
    /// What else is wrong with the piece, as `check` says it: numbers made from it are doubtful.
    pub problems: Vec<ProblemRecord>,
}

/// One alternative.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RouteRecord {
    /// What it does.
    pub name: String,
    /// Why one would take it.
    pub why: String,
    /// What each part gets.
    pub schedules: Vec<RouteScheduleRecord>,
    /// The pair that limits it; null where no parts meet and no match sample is set.
    pub worst_pair: Option<WorstPairRecord>,
    /// Chance that all is within tolerance at once.
    pub chance_all_within: f64,
    /// Hours of work.
    pub hours: f64,
    /// Hours of waiting.
    pub wait_hours: f64,
    /// Liquid that is used up, without the clear coats, ml.
    pub product_ml: f64,
    /// What to mix for it.
    pub mixing: Vec<MixingRecord>,
    /// Mixes that its schedules name and that are not in the piece yet.
    pub mixes: Vec<OfferedMixRecord>,
    /// What cannot be undone.
    pub irreversible_steps: Vec<String>,
}

/// What one part gets.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RouteScheduleRecord {
    /// The part.
    pub part: String,
    /// Its schedule.
    #[serde(flatten)]
    pub row: RankRowRecord,
}

/// How far apart the worst pair of a route is, and which pair that is expected to be.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WorstPairRecord {
    /// One part.
    pub a: String,
    /// The other, or 'match sample'.
    pub b: String,
    /// ΔE2000 of the worst pair of each joint draw: median and 90 % interval.
    pub de00: IntervalRecord,
    /// ΔE2000 tolerated between them.
    pub tolerance_de00: f64,
}

impl RoutesRecord {
    /// The record of the routes of this piece, in words in these units.
    pub fn new(piece: &piece::Piece, routes: &Routes, units: Units) -> Self {
        let set_aside = set_aside(piece);
        Self {
            piece: piece.name.clone(),
            invented: piece.invented,
            routes: routes.routes.iter().map(|route| RouteRecord::new(piece, route, units)).collect(),
            barred: routes.barred.iter().map(|barred| BarredRecord::new(piece, barred)).collect(),
            left_out: NotComparedRecord::all(piece, &routes.left_out),
            notes: notes(piece),
            problems: problems_beside(piece, &set_aside),
            set_aside,
        }
    }
}

impl RouteRecord {
    fn new(piece: &piece::Piece, route: &Route, units: Units) -> Self {
        let piece = &*predict::with_mixes(piece, &route.mixes);
        let schedules = route.schedules.iter().map(|schedule| RouteScheduleRecord {
            part: part_name(piece, schedule.part),
            row: RankRowRecord::new(piece, &schedule.row),
        });
        Self {
            name: route.name.clone(),
            why: route.why.clone(),
            schedules: schedules.collect(),
            worst_pair: route.worst_pair.as_ref().map(|pair| WorstPairRecord {
                a: pair.a.clone(),
                b: pair.b.clone(),
                de00: pair.de00.into(),
                tolerance_de00: pair.tolerance_de00,
            }),
            chance_all_within: route.chance_all_within,
            hours: route.hours,
            wait_hours: route.wait_hours,
            product_ml: route.product_ml,
            mixing: sheet::mixing_of(piece, route).iter().map(|mix| MixingRecord::new(mix, units)).collect(),
            mixes: OfferedMixRecord::all(piece, &route.mixes),
            irreversible_steps: route.irreversible_steps.clone(),
        }
    }
}
