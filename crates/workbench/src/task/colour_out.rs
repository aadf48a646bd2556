//! Colouring out: the reading of the spot, and which sticks to mix for it.

use ::piece::{Piece, Reading, ReadingId, State, Surface};

use super::{Error, Result, piece::predict_error};
use crate::record::ColouringOutRecord;

/// Which sticks to mix for the colour of a spot, and in what parts.
///
/// # Errors
/// Where there is no such reading, no stick, or one that is no colour.
pub fn colour_out(piece: &Piece, spot: ReadingId, sticks: &[predict::Stick]) -> Result<ColouringOutRecord> {
    let mixes = predict::colouring_out(piece, spot, sticks).map_err(|source| predict_error(piece, source))?;
    Ok(ColouringOutRecord::new(piece, spot, sticks, &mixes))
}

/// The reading that is meant: by its id, or by the name of a part or board: of its readings the one nearest to the finished
/// look, and of several the newest.
///
/// # Errors
/// Where nothing has this name, or it was not read yet.
pub fn spot_named(piece: &Piece, name: &str) -> Result<ReadingId> {
    let refuse = |problem: String| Error::Input { at: name.to_owned(), problem };
    let wanted = name.trim().to_lowercase();
    if let Some(reading) = wanted.parse::<ReadingId>().ok().and_then(|id| piece.reading(id)) {
        return Ok(reading.id);
    }
    let board =
        || piece.boards.iter().find(|board| board.name.to_lowercase() == wanted).map(|board| Surface::Board(board.id));
    let named = piece.part_named(&wanted).map(|part| Surface::Part(part.id)).or_else(board);
    let of = named.ok_or_else(|| {
        let names =
            piece.parts.iter().map(|part| part.name.as_str()).chain(piece.boards.iter().map(|b| b.name.as_str()));
        let names: Vec<&str> = names.collect();
        refuse(format!("is no part, board or reading of this piece: name one of {}", names.join(", ")))
    })?;
    let found = piece.readings.iter().filter(|reading| reading.of == of).max_by_key(|reading| finish(reading));
    found.map(|reading| reading.id).ok_or_else(|| refuse("was not read yet: read its colour first".to_owned()))
}

/// How near to the finished look a reading is; of equals the later one counts.
fn finish(reading: &Reading) -> u8 {
    match reading.state {
        State::Topcoated { .. } => 6,
        State::Sealed => 5,
        State::Washcoated => 4,
        State::ColourDry => 3,
        State::SpiritWet { .. } => 2,
        State::ColourWet => 1,
        State::BareDry => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::oak_chest;

    #[test]
    fn a_spot_is_named_by_its_part_or_its_reading() {
        let piece = oak_chest();
        let id = spot_named(&piece, "Front four").unwrap();
        let reading = piece.reading(id).unwrap();
        let part = piece.part_named("front four").unwrap().id;
        assert_eq!(reading.of, Surface::Part(part));
        let nearer = piece.readings.iter().filter(|r| r.of == reading.of && finish(r) > finish(reading)).count();
        assert_eq!(nearer, 0);
        assert_eq!(spot_named(&piece, &id.to_string()).unwrap(), id);
        assert!(spot_named(&piece, "drawer").unwrap_err().to_string().contains("front four"));
    }
}
