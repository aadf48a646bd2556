//! The cards known, and card files.

use std::{fs, path::Path};

use card::{Card, layout};

use super::{Error, Result, file_error};
use crate::record::{CardRecord, CardsRecord};

/// No card file is larger.
const LARGEST_BYTES: u64 = 4 << 20;

/// The cards that come with the program.
pub fn cards_known() -> CardsRecord {
    CardsRecord { cards: layout::known().iter().map(CardRecord::from).collect() }
}

/// Reads a card file and checks it.
///
/// # Errors
/// Where it cannot be read, or does not describe a card.
pub fn check_card_file(path: &Path) -> Result<CardsRecord> {
    card_of_file(path).map(|card| CardsRecord { cards: vec![CardRecord::from(&card)] })
}

/// The card by id, `id/edition` or file, and the edition where one is named.
///
/// # Errors
/// Where no card has this id and there is no such file, or the file does not describe a card.
pub fn choose_card(name: &str) -> Result<(Card, Option<String>)> {
    let (id, edition) = match name.split_once('/') {
        Some((id, edition)) => (id, Some(edition.to_owned())),
        None => (name, None),
    };
    let known = layout::known();
    if let Some(card) = known.iter().find(|card| card.id == id) {
        return Ok((card.clone(), edition));
    }
    let path = Path::new(name);
    if path.exists() {
        return card_of_file(path).map(|card| (card, None));
    }
    let ids: Vec<&str> = known.iter().map(|card| card.id.as_str()).collect();
    let problem = format!("is no card known here and no file: known are {}; or name a card file", ids.join(", "));
    Err(Error::Input { at: name.to_owned(), problem })
}

fn card_of_file(path: &Path) -> Result<Card> {
    let too_large = fs::metadata(path).map_err(|error| file_error(path, &error))?.len() > LARGEST_BYTES;
    let refuse = |problem: String| Error::File { path: path.display().to_string(), problem };
    if too_large {
        return Err(refuse("is larger than 4 MiB: a card file is a short JSON text".into()));
    }
    let bytes = fs::read(path).map_err(|error| file_error(path, &error))?;
    let text = String::from_utf8(bytes).map_err(|_| refuse("is not text: a card file is JSON in UTF-8".into()))?;
    Card::from_json(&text).map_err(|error| refuse(error.to_string()))
}
