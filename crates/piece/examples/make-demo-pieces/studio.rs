//! Building a demo piece edit by edit, with readings from the panels of its rendered photos.

use std::{error::Error, f64::consts::TAU};

use ::piece::*;
use serde_json::Value;

/// What is made, or why not.
pub(crate) type Made<T> = Result<T, Box<dyn Error>>;

/// Errors as large as they are stated would blur the demo's figures: the readings are moved by this share of a draw.
const ERROR_SHARE: f64 = 0.5;
/// Standard deviations of what readings share, L*, a*, b*: of the card, and of each photo its light and its fit.
const CARD_SD: [f64; 3] = [0.3, 0.18, 0.25];
const LIGHT_SD: [f64; 3] = [0.3, 0.15, 0.2];
const FIT_SD: [f64; 3] = [0.35, 0.2, 0.3];
/// The same of the light's slope, for a region a thousand pixels from the card.
const SLOPE_SD: [f64; 3] = [0.4, 0.03, 0.05];
/// Standard deviation of a region's own error, for grain of unit contrast.
const OWN_SD: [f64; 3] = [0.22, 0.09, 0.14];
/// How L* and b* of a region's own error go together: darker grain is less yellow.
const OWN_CORRELATION: f64 = 0.4;
/// Standard deviations of an instrument's reading and of what two readings with it share.
const INSTRUMENT_SD: [f64; 3] = [0.3, 0.12, 0.2];
const INSTRUMENT_SHARED_SD: [f64; 3] = [0.2, 0.15, 0.15];

/// The spread of a wood's grain about its mean, L*, a*, b*.
pub(crate) struct Wood {
    /// Its name.
    pub(crate) name: &'static str,
    /// Standard deviation of the grain.
    pub(crate) grain_sd: [f64; 3],
}

/// A dye on an earlier piece: the piece and its wood, grams per litre, the colours before and after.
pub(crate) type DyedBefore = ([&'static str; 2], f64, [[f64; 3]; 2]);

/// The piece so far, and the photos it is read from.
pub(crate) struct Studio {
    /// The piece so far.
    pub(crate) piece: Piece,
    truth: Value,
    wood: Wood,
    photos: usize,
}

impl Studio {
    /// An empty piece with the truths of its photos.
    pub(crate) fn new(name: &str, note: &str, truth: &str, wood: Wood) -> Made<Self> {
        let mut studio = Self { piece: Piece::default(), truth: serde_json::from_str(truth)?, wood, photos: 0 };
        studio.edit(Edit::Piece(PieceEdit::Rename(name.into())))?;
        studio.edit(Edit::Piece(PieceEdit::Note(note.into())))?;
        studio.edit(Edit::Piece(PieceEdit::Invented(true)))?;
        Ok(studio)
    }

    /// Makes one edit.
    pub(crate) fn edit(&mut self, edit: Edit) -> Made<()> {
        self.piece = apply(&self.piece, &edit).map_err(|error| format!("{}: {error}", edit.label()))?;
        Ok(())
    }

    /// Adds a part.
    pub(crate) fn part(&mut self, name: &str, construction: Construction, area_m2: f64, note: &str) -> Made<PartId> {
        let id = self.piece.ids.next();
        let bars = match construction {
            Construction::Veneer { .. } => vec![Bar::Sanding, Bar::Water, Bar::Bleach],
            _ => Vec::new(),
        };
        self.edit(Edit::Part(PartEdit::Add(Part {
            construction,
            area_m2: Some(area_m2),
            bars,
            note: note.into(),
            ..Part::new(id, name, self.wood.name)
        })))?;
        Ok(id)
    }

    /// Says how two parts meet.
    pub(crate) fn joint(&mut self, a: PartId, b: PartId, meeting: Meeting) -> Made<()> {
        self.edit(Edit::Joint(JointEdit::Set(Joint { a, b, meeting })))
    }

    /// Adds a board as true to its part as can be.
    pub(crate) fn board(&mut self, name: &str, stands_for: PartId, note: &str) -> Made<Surface> {
        let id = self.piece.ids.next();
        self.edit(Edit::Board(BoardEdit::Add(Board { note: note.into(), ..Board::new(id, name, stands_for) })))?;
        Ok(Surface::Board(id))
    }

    /// Adds a product.
    pub(crate) fn product(&mut self, name: &str, kind: Kind, reducer: &str, cautions: &[&str]) -> Made<ProductId> {
        let id = self.piece.ids.next();
        self.edit(Edit::Product(ProductEdit::Add(Product {
            reducer: reducer.into(),
            cautions: cautions.iter().map(|caution| (*caution).into()).collect(),
            note: "invented".into(),
            ..Product::new(id, name, kind)
        })))?;
        Ok(id)
    }

    /// Takes up from a made-up shop book what a dye did on earlier pieces.
    pub(crate) fn past(&mut self, dye: ProductId, uses: &[DyedBefore]) -> Made<()> {
        let lab = |[l, a, b]: [f64; 3]| colour::Lab::new(l, a, b);
        let past = uses.iter().map(|&([piece, wood], grams_per_litre, [before, after])| PastUse {
            step: Step::Dye { product: dye, grams_per_litre, coats: 1 },
            wood: wood.into(),
            before: lab(before),
            after: lab(after),
            covariance: [[0.3, 0.0, 0.0], [0.0, 0.2, 0.0], [0.0, 0.0, 0.3]],
            lot: String::new(),
            source: PastSource { piece: piece.into(), trial: "t2".into(), stage: 0 },
            made: String::new(),
        });
        self.edit(Edit::Product(ProductEdit::TakeUp(past.collect())))
    }

    /// Adds the next of the rendered photos.
    pub(crate) fn photo(&mut self, note: &str) -> Made<Taken> {
        let shot = self.truth.get(self.photos).ok_or("there are fewer photos than the piece names")?.clone();
        self.photos += 1;
        let file = format!("photos/{}", shot["file"].as_str().ok_or("a photo without a file")?);
        let id = self.piece.ids.next();
        let light = "daylight".to_owned();
        self.edit(Edit::Photo(PhotoEdit::Add(Photo {
            id,
            file,
            light,
            card: None,
            corners_px: None,
            note: note.into(),
        })))?;
        let minute = 10 + 7 * self.photos;
        Ok(Taken { id, shot, taken: format!("2026-03-14T10:{minute:02}:00") })
    }

    /// Reads a panel of a photo in one region, or in several along it; gives the readings.
    pub(crate) fn read(
        &mut self,
        photo: &Taken,
        panel: &str,
        of: Surface,
        state: State,
        regions: usize,
    ) -> Made<Vec<ReadingId>> {
        let panels = photo.shot["panels"].as_array().ok_or("a photo without panels")?;
        let found = panels.iter().find(|one| one["name"] == panel).ok_or_else(|| format!("no panel '{panel}'"))?;
        let lab: [f64; 3] = serde_json::from_value(found["lab"].clone())?;
        let corners: Vec<[f64; 2]> = serde_json::from_value(found["polygon_px"].clone())?;
        let card: Vec<[f64; 2]> = serde_json::from_value(photo.shot["card_corners_px"].clone())?;
        let mut ids = Vec::new();
        for points_px in split(&corners, regions)? {
            let away = middle(&points_px).iter().zip(middle(&card)).map(|(a, b)| a - b).fold(0.0, f64::hypot) / 1000.0;
            let shared = [
                ("card:chart24".to_owned(), CARD_SD),
                (format!("photo:{}:light", photo.id), LIGHT_SD),
                (format!("photo:{}:fit", photo.id), FIT_SD),
                (format!("photo:{}:slope", photo.id), SLOPE_SD.map(|sd| sd * away)),
            ];
            let source = Source::Photo {
                photo: photo.id,
                region: Region::whole(points_px.iter().map(|point| point.map(tenth)).collect()),
                method: "invented figures 1".into(),
            };
            ids.push(self.add(of, &state, lab, &shared, OWN_SD, &photo.taken, source)?);
        }
        Ok(ids)
    }

    /// Reads a spot with the instrument.
    pub(crate) fn instrument(&mut self, of: Surface, state: State, lab: [f64; 3]) -> Made<Vec<ReadingId>> {
        let name = "hand-held spectrometer, 8 mm".to_owned();
        let shared = [("instrument:hand-held".to_owned(), INSTRUMENT_SHARED_SD)];
        let source = Source::Instrument { name };
        Ok(vec![self.add(of, &state, lab, &shared, INSTRUMENT_SD, "2026-03-14T12:00:00", source)?])
    }

    #[expect(clippy::too_many_arguments, reason = "each is one field of the reading")]
    fn add(
        &mut self,
        of: Surface,
        state: &State,
        lab: [f64; 3],
        shared: &[(String, [f64; 3])],
        own_sd: [f64; 3],
        taken: &str,
        source: Source,
    ) -> Made<ReadingId> {
        let id: ReadingId = self.piece.ids.next();
        let mut moved = lab;
        let own = normals(&format!("{} reading {id}", self.piece.name));
        // The root of the covariance below: b* follows L*.
        let rest = (1.0 - OWN_CORRELATION * OWN_CORRELATION).sqrt();
        let own = [own[0], own[1], OWN_CORRELATION * own[0] + rest * own[2]];
        let others = shared.iter().map(|(factor, sd)| (normals(&format!("{} {factor}", self.piece.name)), *sd));
        for (normal, sd) in others.chain([(own, own_sd)]) {
            for axis in 0..3 {
                moved[axis] += ERROR_SHARE * normal[axis].clamp(-1.5, 1.5) * sd[axis];
            }
        }
        let [l, a, b] = moved.map(|value| (value * 100.0).round() / 100.0);
        let mut covariance = diagonal(own_sd.map(|sd| sd * sd));
        covariance[0][2] = OWN_CORRELATION * own_sd[0] * own_sd[2];
        covariance[2][0] = covariance[0][2];
        let from_photo = matches!(source, Source::Photo { .. });
        let shared_error =
            |(factor, sd): &(String, [f64; 3])| SharedError { factor: factor.clone(), loading: diagonal(*sd) };
        self.edit(Edit::Reading(ReadingEdit::Add(Box::new(Reading {
            shared: shared.iter().map(shared_error).collect(),
            grain_sd: from_photo.then_some(self.wood.grain_sd),
            light: if from_photo { "daylight".into() } else { "the instrument's own".into() },
            grain: if from_photo { Grain::Along } else { Grain::NotNoted },
            taken: taken.into(),
            source,
            ..Reading::typed(
                id,
                of,
                state.clone(),
                colour::Lab::new(l, a, b),
                covariance.map(|row| row.map(|value| (value * 1e4).round() / 1e4)),
            )
        }))))?;
        Ok(id)
    }

    /// Logs a trial read with the instrument: what was read before, and after each step.
    pub(crate) fn instrument_trial(
        &mut self,
        on: Surface,
        bare: [f64; 3],
        stages: Vec<(Step, State, [f64; 3])>,
        note: &str,
    ) -> Made<()> {
        let before = self.instrument(on, State::BareDry, bare)?;
        let mut read = Vec::new();
        for (step, state, lab) in stages {
            read.push((step, self.instrument(on, state, lab)?));
        }
        self.trial(on, &before, read, note)?;
        Ok(())
    }

    /// Logs a trial.
    pub(crate) fn trial(
        &mut self,
        on: Surface,
        before: &[ReadingId],
        stages: Vec<(Step, Vec<ReadingId>)>,
        note: &str,
    ) -> Made<TrialId> {
        let id = self.piece.ids.next();
        let stages = stages.into_iter().map(|(step, readings)| Stage { step, readings }).collect();
        let made = "2026-03-14T10:00:00".to_owned();
        self.edit(Edit::Trial(TrialEdit::Log(Trial {
            made,
            note: note.into(),
            ..Trial::new(id, on, before.to_vec(), stages)
        })))?;
        Ok(id)
    }
}

/// A photo in the piece.
pub(crate) struct Taken {
    id: PhotoId,
    shot: Value,
    taken: String,
}

/// A panel of four corners cut across its longer side into so many regions, with gaps between them.
fn split(corners: &[[f64; 2]], regions: usize) -> Made<Vec<Vec<[f64; 2]>>> {
    let [p, q, r, s] = <[[f64; 2]; 4]>::try_from(corners.to_vec()).map_err(|_| "a panel without four corners")?;
    let length = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
    let (p, q, r, s) = if length(p, q) >= length(q, r) { (p, q, r, s) } else { (q, r, s, p) };
    let along = |a: [f64; 2], b: [f64; 2], t: f64| [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
    if regions == 1 {
        return Ok(vec![vec![p, q, r, s]]);
    }
    let part = 1.0 / regions as f64;
    let cut = |index: usize| {
        let (from, to) = ((index as f64 + 0.08) * part, (index as f64 + 0.92) * part);
        vec![along(p, q, from), along(p, q, to), along(s, r, to), along(s, r, from)]
    };
    Ok((0..regions).map(cut).collect())
}

fn middle(points: &[[f64; 2]]) -> [f64; 2] {
    let count = points.len() as f64;
    [0, 1].map(|axis| points.iter().map(|point| point[axis]).sum::<f64>() / count)
}

fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

fn diagonal(values: [f64; 3]) -> [[f64; 3]; 3] {
    let mut matrix = [[0.0; 3]; 3];
    for (index, value) in values.into_iter().enumerate() {
        matrix[index][index] = (value * 1e4).round() / 1e4;
    }
    matrix
}

/// Three made-up normals that depend on a name alone: equal names are the same error.
///
/// # Source
/// Steele, Lea, Flood (2014), Fast splittable pseudorandom number generators: its mixing function; Box, Muller (1958).
fn normals(name: &str) -> [f64; 3] {
    let mut state = name
        .bytes()
        .fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3));
    let mut uniform = || {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = (state ^ (state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    };
    [(); 3].map(|()| (-2.0 * (1.0 - uniform()).ln()).sqrt() * (TAU * uniform()).cos())
}

/// White spirit, wiped on half a minute ago.
pub(crate) fn spirit_wet() -> State {
    State::SpiritWet { liquid: "white spirit".into(), seconds: 30.0 }
}
